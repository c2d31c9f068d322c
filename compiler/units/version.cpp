#include "compiler/units/version.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_number(std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), is_digit);
}

// Takes "12" off the front; nothing for a leading zero, or more than 15 digits.
std::optional<std::uint64_t> take_number(std::string_view& text) {
    std::size_t length = 0;
    while (length < text.size() && is_digit(text[length]))
        ++length;
    if (length == 0 || length > 15 || (length > 1 && text.front() == '0'))
        return std::nullopt;
    std::uint64_t number = 0;
    for (const char c : text.substr(0, length))
        number = number * 10 + static_cast<std::uint64_t>(c - '0');
    text.remove_prefix(length);
    return number;
}

// The part up to the next dot.
std::string_view take_identifier(std::string_view& text) {
    const std::size_t dot = text.find('.');
    const std::string_view part = text.substr(0, dot);
    text.remove_prefix(dot == std::string_view::npos ? text.size() : dot + 1);
    return part;
}

bool are_identifiers(std::string_view text, bool zero_may_lead) {
    if (text.empty() || text.back() == '.')
        return false;
    while (!text.empty()) {
        const std::string_view part = take_identifier(text);
        const bool letters = std::all_of(part.begin(), part.end(), [](char c) {
            return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-';
        });
        if (part.empty() || !letters)
            return false;
        if (!zero_may_lead && part.size() > 1 && part.front() == '0' && is_number(part))
            return false;
    }
    return true;
}

// What stands behind the numbers: "-beta.1+7".
bool take_tail(std::string_view text, Version& version) {
    if (const std::size_t plus = text.find('+'); plus != std::string_view::npos) {
        version.build = text.substr(plus + 1);
        text = text.substr(0, plus);
        if (!are_identifiers(version.build, true))
            return false;
    }
    if (text.empty())
        return true;
    version.pre_release = text.substr(1);
    return text.front() == '-' && are_identifiers(version.pre_release, false);
}

std::strong_ordering order_of_identifiers(std::string_view a, std::string_view b) {
    const bool a_number = is_number(a);
    const bool b_number = is_number(b);
    if (a_number != b_number) // numbers come before words
        return a_number ? std::strong_ordering::less : std::strong_ordering::greater;
    if (a_number && a.size() != b.size()) // no zero leads
        return a.size() <=> b.size();
    return a.compare(b) <=> 0;
}

std::strong_ordering order_of_pre_releases(std::string_view a, std::string_view b) {
    if (a.empty() || b.empty()) // a release comes after its pre-releases
        return a.empty() <=> b.empty();
    while (!a.empty() && !b.empty()) {
        const auto order = order_of_identifiers(take_identifier(a), take_identifier(b));
        if (order != std::strong_ordering::equal)
            return order;
    }
    return !a.empty() <=> !b.empty();
}

bool same_numbers(const Version& a, const Version& b) {
    return a.major == b.major && a.minor == b.minor && a.patch == b.patch;
}

Version first_incompatible(const NeededVersion& needed) {
    if (needed.least.major == 0 && needed.given > 1)
        return {0, needed.least.minor + 1, 0, "", ""};
    return {needed.least.major + 1, 0, 0, "", ""};
}

} // namespace

std::optional<Version> parse_version(std::string_view text) {
    Version version;
    std::uint64_t* const numbers[] = {&version.major, &version.minor, &version.patch};
    for (std::uint64_t* number : numbers) {
        if (number != &version.major) {
            if (text.empty() || text.front() != '.')
                return std::nullopt;
            text.remove_prefix(1);
        }
        const std::optional<std::uint64_t> found = take_number(text);
        if (!found)
            return std::nullopt;
        *number = *found;
    }
    if (!take_tail(text, version))
        return std::nullopt;
    return version;
}

std::string to_string(const Version& version) {
    return fmt::format("{}.{}.{}{}{}{}{}", version.major, version.minor, version.patch,
                       version.pre_release.empty() ? "" : "-", version.pre_release,
                       version.build.empty() ? "" : "+", version.build);
}

std::strong_ordering precedence(const Version& a, const Version& b) {
    if (const auto order = a.major <=> b.major; order != std::strong_ordering::equal)
        return order;
    if (const auto order = a.minor <=> b.minor; order != std::strong_ordering::equal)
        return order;
    if (const auto order = a.patch <=> b.patch; order != std::strong_ordering::equal)
        return order;
    return order_of_pre_releases(a.pre_release, b.pre_release);
}

std::optional<NeededVersion> parse_needed_version(std::string_view text) {
    const auto dots = static_cast<int>(std::count(text.begin(), text.end(), '.'));
    std::string whole(text);
    NeededVersion needed;
    if (text.find_first_of("-+") == std::string_view::npos && dots < 2) {
        needed.given = dots + 1;
        whole += dots == 0 ? ".0.0" : ".0";
    }
    const std::optional<Version> least = parse_version(whole);
    if (!least)
        return std::nullopt;
    needed.least = *least;
    return needed;
}

bool satisfies(const Version& version, const NeededVersion& needed) {
    if (!version.pre_release.empty() &&
        (needed.least.pre_release.empty() || !same_numbers(version, needed.least))) {
        return false;
    }
    return precedence(version, needed.least) >= 0 &&
           precedence(version, first_incompatible(needed)) < 0;
}

std::string describe(const NeededVersion& needed) {
    const Version end = first_incompatible(needed);
    return fmt::format("from {} to below {}", to_string(needed.least), to_string(end));
}

Version next_version(const Version& last, VersionStep step) {
    Version next{last.major, last.minor, last.patch, "", ""};
    if (step == VersionStep::same)
        return last;
    if (last.major == 0) // the minor number stands for the major one, the patch for both others
        step = step == VersionStep::major ? VersionStep::minor : VersionStep::patch;
    switch (step) {
    case VersionStep::major: return {last.major + 1, 0, 0, "", ""};
    case VersionStep::minor: return {last.major, last.minor + 1, 0, "", ""};
    default: break;
    }
    if (last.pre_release.empty()) // 1.2.3 comes after 1.2.3-beta
        ++next.patch;
    return next;
}

} // namespace fettle
