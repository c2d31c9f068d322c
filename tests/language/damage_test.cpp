// Programs damaged at random: whatever stands in a file, the compiler answers, and its messages
// point into the file.
#include "tests/language/programs.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <random>

namespace fettle {
namespace {

std::vector<std::string> all_programs() {
    std::vector<std::string> texts;
    std::vector<std::string> paths;
    for (const char* folder : {"wrong", "right"}) {
        const std::string where = std::string(FETTLE_SOURCE_DIR "/tests/language/") + folder;
        for (const auto& entry : std::filesystem::directory_iterator(where))
            paths.push_back(entry.path().string());
    }
    std::sort(paths.begin(), paths.end());
    for (const std::string& path : paths) {
        const std::string text = read_text(path);
        // Those that are made to take long would, damaged, take long a thousand times.
        if (text.size() < 4000 && path.find("too-m") == std::string::npos)
            texts.push_back(text);
    }
    return texts;
}

std::vector<std::string> tokens_of(const std::string& text) {
    std::vector<std::string> tokens;
    const auto is_word = [](char c) {
        return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '.' ||
               static_cast<unsigned char>(c) >= 0x80;
    };
    for (std::size_t i = 0; i < text.size();) {
        std::size_t end = i + 1;
        if (is_word(text[i])) {
            while (end < text.size() && is_word(text[end]))
                ++end;
        }
        tokens.push_back(text.substr(i, end - i));
        i = end;
    }
    return tokens;
}

void expect_places_inside(const Checked& checked) {
    const Sources& sources = checked.compilation->sources();
    const auto inside = [&](Span span) {
        return span.file < sources.size() && span.begin <= span.end &&
               span.end <= sources[span.file].text().size();
    };
    for (const Diagnostic& each : checked.diagnostics.all()) {
        EXPECT_FALSE(each.message.empty());
        EXPECT_TRUE(!each.has_span || inside(each.span)) << each.message;
        for (const Note& note : each.notes)
            EXPECT_TRUE(!note.has_span || inside(note.span)) << note.text;
        for (const Mend& mend : each.mends) {
            for (const Edit& edit : mend.edits)
                EXPECT_TRUE(inside(edit.span)) << mend.text;
        }
    }
}

TEST(Damage, a_line_is_missing) {
    for (const std::string& text : all_programs()) {
        for (std::size_t begin = 0; begin < text.size();) {
            const std::size_t end = std::min(text.find('\n', begin), text.size() - 1) + 1;
            if (text.substr(begin, end - begin).find("# ") == std::string::npos) {
                std::string damaged = text;
                damaged.erase(begin, end - begin);
                expect_places_inside(Checked(split_files(damaged, "example.fettle")));
            }
            begin = end;
        }
    }
}

TEST(Damage, tokens_are_mixed) {
    const std::vector<std::string> texts = all_programs();
    std::vector<std::string> pool;
    for (const std::string& text : texts) {
        const auto tokens = tokens_of(text);
        pool.insert(pool.end(), tokens.begin(), tokens.end());
    }
    const char* rounds = std::getenv("FETTLE_DAMAGE"); // how many; for long hunts
    std::mt19937 random(rounds == nullptr ? 1 : static_cast<unsigned>(std::atoi(rounds)));
    const int count = rounds == nullptr ? 1500 : std::atoi(rounds);
    for (int i = 0; i < count; ++i) {
        std::vector<std::string> tokens = tokens_of(texts[random() % texts.size()]);
        for (int change = 0; change < 3 && !tokens.empty(); ++change) {
            const std::size_t at = random() % tokens.size();
            switch (random() % 3) {
            case 0: tokens[at] = pool[random() % pool.size()]; break;
            case 1: tokens.erase(tokens.begin() + static_cast<std::ptrdiff_t>(at)); break;
            default:
                tokens.insert(tokens.begin() + static_cast<std::ptrdiff_t>(at),
                              pool[random() % pool.size()]);
            }
        }
        std::string damaged;
        for (const std::string& token : tokens)
            damaged += token;
        SCOPED_TRACE(damaged);
        expect_places_inside(Checked(split_files(damaged, "example.fettle")));
    }
}

} // namespace
} // namespace fettle
