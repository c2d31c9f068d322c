// The parts of the written documentation that are made from the program. They stand between
// `<!-- generated: NAME -->` and `<!-- end -->` in docs/*.md, or are whole files.
#pragma once

#include <string>
#include <string_view>

namespace fettle {

std::string read_document(std::string_view path); // from the top of the project; empty: none

// Compares, or with FETTLE_ACCEPT=1 in the environment rewrites, the part NAME of a document.
void expect_generated(std::string_view path, std::string_view name, const std::string& text);
// The same for a whole file.
void expect_file(std::string_view path, const std::string& text);

} // namespace fettle
