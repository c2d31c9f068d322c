#include "tests/output/golden.h"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>

namespace fettle {

namespace {

// The first line in which the two differ, for a message of bearable length.
std::string first_difference(const std::string& expected, const std::string& found) {
    const auto [at, other] =
        std::mismatch(expected.begin(), expected.end(), found.begin(), found.end());
    const auto offset = static_cast<std::size_t>(at - expected.begin());
    const auto line_at = [&](const std::string& text) {
        const std::size_t before = offset == 0 ? std::string::npos : text.rfind('\n', offset - 1);
        const std::size_t begin = before == std::string::npos ? 0 : before + 1;
        return text.substr(begin, text.find('\n', offset) - begin);
    };
    const auto line = 1 + std::count(expected.begin(), at, '\n');
    return "line " + std::to_string(line) + "\n  expected: " + line_at(expected) +
           "\n  found:    " + line_at(found);
}

} // namespace

void expect_golden(std::string_view name, const std::string& text) {
    const std::string path =
        std::string(FETTLE_SOURCE_DIR "/tests/output/golden/") + std::string(name);
    if (const char* accept = std::getenv("FETTLE_ACCEPT"); accept && accept[0] == '1') {
        std::ofstream(path, std::ios::binary) << text;
        return;
    }
    std::ifstream file(path, std::ios::binary);
    ASSERT_TRUE(file) << path << " is missing; FETTLE_ACCEPT=1 writes it";
    const std::string expected{std::istreambuf_iterator<char>(file), {}};
    if (expected == text) {
        return;
    }
    const auto* test = testing::UnitTest::GetInstance()->current_test_info();
    ADD_FAILURE() << path << " differs in " << first_difference(expected, text)
                  << "\nIf what was found is right:\n  FETTLE_ACCEPT=1 output_test --gtest_filter="
                  << test->test_suite_name() << "." << test->name();
}

} // namespace fettle
