#include "compiler/source/nearest.h"

#include "compiler/source/characters.h"

#include <algorithm>
#include <string>
#include <tuple>

namespace fettle {

namespace {

constexpr std::size_t longest_word = 64; // past that nobody has mistyped, but meant something else

char32_t folded(char32_t code) {
    const bool upper =
        (code >= 'A' && code <= 'Z') || (code >= 0xC0 && code <= 0xDE && code != 0xD7);
    return upper ? code + 0x20 : code;
}

std::u32string decoded(std::string_view text, bool fold) {
    std::u32string result;
    while (!text.empty()) {
        const Character character = first_character(text);
        result += fold ? folded(character.code) : character.code;
        text.remove_prefix(character.length);
    }
    return result;
}

std::size_t distance(const std::u32string& a, const std::u32string& b, std::size_t limit) {
    const std::size_t apart = a.size() > b.size() ? a.size() - b.size() : b.size() - a.size();
    if (apart > limit) {
        return limit + 1;
    }
    std::vector<std::size_t> two_up(b.size() + 1);
    std::vector<std::size_t> above(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        row[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::swap(two_up, above);
        std::swap(above, row);
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = above[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({above[j] + 1, row[j - 1] + 1, replaced});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                row[j] = std::min(row[j], two_up[j - 2] + 1);
            }
        }
    }
    return std::min(row[b.size()], limit + 1);
}

std::vector<std::u32string> words_of(const std::u32string& name) {
    std::vector<std::u32string> words(1);
    for (const char32_t letter : name) {
        if (letter == '_' || letter == '.') {
            words.emplace_back();
        } else {
            words.back() += letter;
        }
    }
    std::sort(words.begin(), words.end());
    return words;
}

std::size_t allowed_slips(std::size_t letters) {
    return letters < 2 ? 0 : std::max<std::size_t>(letters / 3, 1);
}

struct Match {
    std::size_t slips;
    std::size_t case_slips; // with upper and lower case told apart
    std::string_view candidate;
};

// The slips between the two, or more than `limit`.
std::size_t slips_between(const std::u32string& wanted, const std::u32string& candidate,
                          std::size_t limit) {
    const std::size_t slips = distance(wanted, candidate, limit);
    if (slips > 1 && wanted.size() == candidate.size() && words_of(wanted) == words_of(candidate)) {
        return 1;
    }
    return slips;
}

bool begins(const std::u32string& candidate, const std::u32string& wanted) {
    return wanted.size() >= 3 && candidate.size() > wanted.size() && candidate.starts_with(wanted);
}

} // namespace

std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t limit) {
    return distance(decoded(a, false), decoded(b, false), limit);
}

std::vector<std::string_view> nearest_all(std::string_view wanted,
                                          std::span<const std::string_view> candidates,
                                          std::size_t most) {
    const std::u32string exact = decoded(wanted.substr(0, 4 * longest_word), false);
    const std::u32string plain = decoded(wanted.substr(0, 4 * longest_word), true);
    if (plain.empty() || plain.size() > longest_word) {
        return {};
    }
    std::vector<Match> matches;
    std::vector<std::string_view> longer;
    for (const std::string_view candidate : candidates) {
        const std::u32string other = decoded(candidate, true);
        const std::size_t limit = allowed_slips(std::min(plain.size(), other.size()));
        const std::size_t slips = slips_between(plain, other, limit);
        if (slips <= limit) {
            matches.push_back(
                {slips, distance(exact, decoded(candidate, false), longest_word), candidate});
        }
        if (begins(other, plain)) {
            longer.push_back(candidate);
        }
    }
    std::sort(longer.begin(), longer.end());
    longer.erase(std::unique(longer.begin(), longer.end()), longer.end());
    if (longer.size() == 1) {
        matches.push_back({1, longest_word, longer.front()});
    }
    std::sort(matches.begin(), matches.end(), [](const Match& a, const Match& b) {
        return std::tie(a.slips, a.case_slips, a.candidate) <
               std::tie(b.slips, b.case_slips, b.candidate);
    });
    std::vector<std::string_view> result;
    for (const Match& match : matches) {
        if (result.size() < most &&
            std::find(result.begin(), result.end(), match.candidate) == result.end()) {
            result.push_back(match.candidate);
        }
    }
    return result;
}

std::optional<std::string_view> nearest(std::string_view wanted,
                                        std::span<const std::string_view> candidates) {
    const auto all = nearest_all(wanted, candidates, 1);
    return all.empty() ? std::nullopt : std::optional(all.front());
}

} // namespace fettle
