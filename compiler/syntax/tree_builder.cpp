#include "compiler/syntax/tree_builder.h"

#include <utility>

namespace fettle {

TreeBuilder::TreeBuilder(FileId file_id, std::string_view source, Diagnostics& sink)
    : file(file_id), begin(source.data()), end(source.data() + source.size()), token_end(begin),
      diagnostics(sink) {
    // A card of steps has a node for every five bytes or so; growing would copy them all.
    nodes.reserve(source.size() / 4 + 64);
    stack.reserve(256);
}

Diagnostic& TreeBuilder::report(DiagnosticKind kind, const char* from, const char* to,
                                std::string message) {
    return (quiet ? unheard : diagnostics).report(kind, span(from, to), std::move(message));
}

} // namespace fettle
