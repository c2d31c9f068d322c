#include "compiler/meaning/written_text.h"

#include "compiler/meaning/text_layout.h"

#include <fmt/format.h>

namespace fettle {

std::string written_text(const Tree& tree, NodeId text) {
    if (!tree.is(text, NodeKind::text))
        return "";
    TextParts parts;
    std::vector<std::string> computed;
    for (std::uint32_t i = 0; i < tree.count(text); ++i) {
        const NodeId part = tree.child(text, i);
        const bool plain = tree.is(part, NodeKind::text_part);
        parts.push_back(plain ? std::optional(tree.source(part)) : std::nullopt);
        computed.push_back(plain ? "" : fmt::format("{{{}}}", tree.source(part)));
    }
    std::string words;
    if (tree[text].flag == 1) {
        const std::vector<std::string> lines = laid_out(parts);
        for (std::size_t i = 0; i < parts.size(); ++i)
            words += parts[i] ? (i < lines.size() ? lines[i] : "") : computed[i];
        return words;
    }
    for (std::size_t i = 0; i < parts.size(); ++i)
        words += parts[i] ? without_escapes(*parts[i]) : computed[i];
    return words;
}

} // namespace fettle
