#include "tests/output/python.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <sys/wait.h>

namespace fettle {

Folder::Folder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "fettle-test-XXXXXX").string();
    if (!mkdtemp(pattern.data())) {
        throw std::runtime_error("no temporary folder: " + pattern);
    }
    path_ = pattern;
}

Folder::~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::string Folder::write(std::string_view name, const std::string& text) const {
    std::string path = path_ + "/" + std::string(name);
    std::ofstream(path, std::ios::binary) << text;
    return path;
}

std::string Folder::read(std::string_view name) const {
    std::ifstream file(path_ + "/" + std::string(name), std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

int run_python(std::string_view script, const std::vector<std::string>& arguments) {
    std::string command = "/usr/bin/python3 '" FETTLE_SOURCE_DIR "/tests/output/";
    command += script;
    command += '\'';
    for (const std::string& argument : arguments) {
        command += " '" + argument + "'";
    }
    const int status = std::system(command.c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

} // namespace fettle
