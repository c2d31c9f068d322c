// Text laid out in the columns of a terminal. Widths are columns, not bytes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// Safe for a terminal and on one line: line ends become spaces, control characters are spelled out.
std::string one_line(std::string_view text);

// `one_line` broken at spaces into lines of at most `width` columns; a longer word is cut. At least
// one line.
std::vector<std::string> wrapped(std::string_view text, std::size_t width);

// Cut to `width` columns, the last of them an ellipsis ("..." where it must be ASCII).
std::string shortened(std::string_view safe_text, std::size_t width, bool ascii);

std::string left_in(std::string_view safe_text, std::size_t width);  // spaces after it
std::string right_in(std::string_view safe_text, std::size_t width); // spaces before it

// Every stretch of text that runs from right to left is put between marks that keep a terminal from
// turning round what stands beside it. Other text is as it was. For the last moment: the marks take
// no room on the screen, but the other functions here would spell them out.
std::string isolated(std::string_view safe_text);

} // namespace fettle
