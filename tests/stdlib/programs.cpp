#include "tests/stdlib/programs.h"

#include "compiler/source/render.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace fettle {
namespace {

std::string root() {
    return std::string(FETTLE_SOURCE_DIR) + "/";
}

} // namespace

std::optional<std::string> SourceTree::read(const std::string& path, std::string&) {
    std::ifstream file(root() + path);
    if (!file)
        return std::nullopt;
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

std::optional<std::string> OneText::read(const std::string& path, std::string&) {
    return path == "mugs.fettle" ? std::optional(text_) : std::nullopt;
}

std::vector<std::string> programs_in(const std::string& folder) {
    std::vector<std::string> paths;
    const std::string below = "tests/stdlib/" + folder;
    for (const auto& entry : std::filesystem::directory_iterator(root() + below)) {
        if (entry.path().extension() == ".fettle")
            paths.push_back(below + "/" + entry.path().filename().string());
    }
    std::sort(paths.begin(), paths.end());
    return paths;
}

std::string mark_of(const std::string& path, const std::string& key) {
    std::string problem;
    std::istringstream lines(SourceTree().read(path, problem).value_or(""));
    const std::string start = "# " + key + ": ";
    for (std::string line; std::getline(lines, line) && line.starts_with("#");) {
        if (line.starts_with(start))
            return line.substr(start.size());
    }
    return "";
}

void for_each_firing(const Compilation& compilation,
                     const std::function<void(const CompiledFiring&)>& use,
                     Diagnostics& diagnostics) {
    compilation.compile_all(
        compilation.firings(), 1, diagnostics,
        [&](std::size_t, const CompiledFiring& compiled) { use(compiled); },
        [](std::size_t, std::size_t) {});
}

std::string rendered(const Compilation& compilation, const Diagnostics& diagnostics) {
    return render_text(compilation.sources(), diagnostics, {});
}

} // namespace fettle
