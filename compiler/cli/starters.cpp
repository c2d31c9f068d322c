#include "compiler/cli/starters.h"

#include "compiler/source/embedded.h"

#include <algorithm>
#include <array>
#include <span>
#include <utility>

namespace fettle {

std::span<const EmbeddedFile> starter_texts(); // made by fettle_embed

std::vector<StarterFile> starter_files(std::string_view kind) {
    constexpr std::string_view library = "library/";
    std::vector<StarterFile> files;
    for (const EmbeddedFile& file : starter_texts()) {
        const bool in_library = file.name.starts_with(library);
        if (in_library != (kind == "library"))
            continue;
        const std::string_view path = in_library ? file.name.substr(library.size()) : file.name;
        files.push_back({std::string(path), file.text});
    }
    return files;
}

std::string renamed_starter(std::string_view text, std::string_view name) {
    std::string title(name);
    std::replace(title.begin(), title.end(), '_', ' ');
    if (!title.empty() && title[0] >= 'a' && title[0] <= 'z')
        title[0] = static_cast<char>(title[0] - 'a' + 'A');
    const std::array<std::pair<std::string_view, std::string_view>, 3> changes = {
        {{"my_firing", name}, {"my_library", name}, {"My firing", title}}};
    std::string renamed(text);
    for (const auto& [from, to] : changes) {
        if (text.find(from) == std::string_view::npos)
            continue; // it stands in the new name at the most
        for (std::size_t at = renamed.find(from); at != std::string::npos;
             at = renamed.find(from, at + to.size())) {
            renamed.replace(at, from.size(), to);
        }
    }
    return renamed;
}

} // namespace fettle
