#include "tests/docs/document.h"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>

namespace fettle {
namespace {

std::string full_path(std::string_view path) {
    return std::string(FETTLE_SOURCE_DIR "/") + std::string(path);
}

bool accepting() {
    const char* const accept = std::getenv("FETTLE_ACCEPT");
    return accept != nullptr && accept[0] == '1';
}

void write(std::string_view path, const std::string& text) {
    std::filesystem::create_directories(std::filesystem::path(full_path(path)).parent_path());
    std::ofstream(full_path(path), std::ios::binary) << text;
}

std::string line_around(const std::string& text, std::size_t at) {
    const std::size_t before = at == 0 ? std::string::npos : text.rfind('\n', at - 1);
    const std::size_t begin = before == std::string::npos ? 0 : before + 1;
    return text.substr(begin, text.find('\n', at) - begin);
}

void expect_equal(std::string_view path, const std::string& written, const std::string& made) {
    const auto ends = std::mismatch(written.begin(), written.end(), made.begin(), made.end());
    const auto at = static_cast<std::size_t>(ends.first - written.begin());
    ADD_FAILURE() << path << " does not say what the program says"
                  << "\n  written: " << line_around(written, at)
                  << "\n  made:    " << line_around(made, at)
                  << "\nFETTLE_ACCEPT=1 writes what the program says";
}

} // namespace

std::string read_document(std::string_view path) {
    std::ifstream file(full_path(path), std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

void expect_generated(std::string_view path, std::string_view name, const std::string& text) {
    std::string document = read_document(path);
    const std::string opening = "<!-- generated: " + std::string(name) + " -->\n";
    const std::size_t begin = document.find(opening);
    ASSERT_NE(begin, std::string::npos) << path << " has no part " << name;
    const std::size_t inside = begin + opening.size();
    const std::size_t end = document.find("<!-- end -->", inside);
    ASSERT_NE(end, std::string::npos) << path << ": the part " << name << " has no end";
    const std::string written = document.substr(inside, end - inside);
    if (written == text)
        return;
    if (accepting()) {
        write(path, document.replace(inside, end - inside, text));
    } else {
        expect_equal(path, written, text);
    }
}

void expect_file(std::string_view path, const std::string& text) {
    const std::string written = read_document(path);
    if (written == text)
        return;
    if (accepting()) {
        write(path, text);
    } else {
        expect_equal(path, written, text);
    }
}

} // namespace fettle
