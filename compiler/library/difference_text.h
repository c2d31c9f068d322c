// The semantic difference for people, on a terminal and as a page, and for programs.
#pragma once

#include "compiler/library/difference.h"

#include <string>

namespace fettle {

// What the verdict comes to: "it must be 2.0.0 or higher, and says 1.1.0".
struct Verdict {
    bool rises_enough = true;
    std::string words;
};
Verdict verdict(const Difference& difference);

// `curves`: of so many changes, the two curves are drawn.
std::string difference_text(const Difference& difference, std::size_t width, std::size_t curves);
std::string difference_json(const Difference& difference);
// A page with the overlaid curves of all that changed.
std::string difference_page(const Difference& difference);

} // namespace fettle
