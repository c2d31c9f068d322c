#include "compiler/cli/explanations.h"

#include "compiler/source/embedded.h"

#include <algorithm>
#include <span>

namespace fettle {

std::span<const EmbeddedFile> explanation_files(); // made by fettle_embed, sorted by name

std::string_view explanation(std::string_view name) {
    constexpr std::string_view ending = ".md";
    for (const EmbeddedFile& file : explanation_files()) {
        if (file.name.size() == name.size() + ending.size() && file.name.starts_with(name))
            return file.text;
    }
    return {};
}

} // namespace fettle
