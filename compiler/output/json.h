// The JSON document of a firing, described by docs/schedule.schema.json.
//
// Always in degrees Celsius and seconds, as the field names say; only `steps` are in their
// controller's scale. What is not known, or was not given, is null. The same document gives the
// same bytes everywhere.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/source/json_writer.h"

#include <string>
#include <string_view>

namespace fettle {

// `compact` is one line; `indented` keeps on one line what fits there. Both end with a newline.
std::string json(const FiringDocument& document, JsonLayout layout = JsonLayout::indented);
// Appends: for many firings into one text that keeps its memory.
void append_json(std::string& text, const FiringDocument& document, JsonLayout layout);

// Lays out any compact JSON text in the indented layout.
std::string indented_json(std::string_view compact);

} // namespace fettle
