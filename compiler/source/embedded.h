// Text files that are built into the program by `fettle_embed` of compiler/source/embed.cmake.
#pragma once

#include <string_view>

namespace fettle {

struct EmbeddedFile {
    std::string_view name;   // its path below the BASE given to fettle_embed, with forward slashes
    std::string_view text;   // its bytes, unchanged
    std::string_view sha256; // of them, 64 hexadecimal digits, lower case
};

} // namespace fettle
