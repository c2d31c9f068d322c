#include "compiler/syntax/tree_builder.h"

#include <fmt/format.h>
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
    constexpr std::size_t longest = 400;
    if (quiet || reported > message_limit) {
        unheard = {};
        return unheard;
    }
    if (++reported > message_limit) {
        return diagnostics.report(
            DiagnosticKind::too_many_mistakes, span(from, to),
            fmt::format("there are more than {} mistakes; those from here on are not listed",
                        message_limit));
    }
    if (message.size() > longest) {
        message.resize(longest);
        while ((static_cast<unsigned char>(message.back()) & 0xC0U) == 0x80U) {
            message.pop_back();
        }
        message.back() = '.'; // in place of a character that may be cut in two
        message += "..";
    }
    return diagnostics.report(kind, span(from, to), std::move(message));
}

} // namespace fettle
