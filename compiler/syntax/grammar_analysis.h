// For the tests of the grammar alone.
#pragma once

#include <cstddef>

namespace fettle {

// Rules that could loop without getting further, by PEGTL's analysis; prints them. 0 is right.
std::size_t problems_of_grammar();

} // namespace fettle
