// The words of a text as they are meant, from the way in which they stand in a file.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// The parts of one text in order; nothing stands for a computed part.
using TextParts = std::vector<std::optional<std::string_view>>;

// `\"`, `\\`, `\n`, `\{` resolved.
std::string without_escapes(std::string_view raw);

// Of `"""…"""`: without the line that only opens it, the line that only closes it, and the blanks
// that all lines have in common; every line ends with `\n`, whatever the file uses. Then escapes.
std::vector<std::string> laid_out(const TextParts& parts);

} // namespace fettle
