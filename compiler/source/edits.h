// Mends carried out: edits applied to a text.
#pragma once

#include "compiler/source/diagnostic.h"
#include "compiler/source/source_file.h"
#include "compiler/source/span.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// `text` (of `file`) after those of the edits that are of this file, in any order. Places are those
// of the text before any of them; insertions at one place keep their order. Nothing if two edits
// overlap or one lies outside of the text.
std::optional<std::string> apply_edits(std::string_view text, FileId file,
                                       std::span<const Edit> edits);

// Edits that can be made together: of each diagnostic the first mend that has edits, unless one of
// these overlaps an earlier diagnostic's. A mend is taken whole or not at all.
std::vector<Edit> compatible_edits(std::span<const Diagnostic> diagnostics);

// To take out what stands at `span`: the whole line with its end when nothing else is on it but
// blanks and a remark, otherwise nothing. `word` is what the line may start with before the span.
std::optional<Span> line_with_only(const SourceFile& file, Span span, std::string_view word = "");
// To take out one entry of a list with commas, and the comma that goes with it; nothing when it is
// the only one.
std::optional<Span> entry_and_comma(const SourceFile& file, Span entry);

} // namespace fettle
