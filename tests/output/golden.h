// Texts that an output gave when somebody last looked at them and found them good.
#pragma once

#include <string>
#include <string_view>

namespace fettle {

// The text must be that of tests/output/golden/NAME. With the environment FETTLE_ACCEPT=1 it
// becomes the expected one; then look at the difference that version control shows.
void expect_golden(std::string_view name, const std::string& text);

} // namespace fettle
