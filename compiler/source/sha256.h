// SHA-256 (FIPS 180-4) of a text, as 64 hexadecimal digits in lower case.
#pragma once

#include <string>
#include <string_view>

namespace fettle {

std::string sha256_of(std::string_view bytes);

} // namespace fettle
