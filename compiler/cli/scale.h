// The option `--scale`.
#pragma once

#include "compiler/units/quantity.h"

#include <string_view>

namespace fettle {

inline constexpr std::string_view scale_words[] = {"C", "F"};

constexpr Scale scale_of(std::string_view word) {
    return word == "F" ? Scale::fahrenheit : Scale::celsius;
}

} // namespace fettle
