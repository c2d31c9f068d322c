// Any bytes must parse to a tree; what parses without a message must format to an equal tree, and
// formatting again must change nothing.
#include "compiler/syntax/dump.h"
#include "compiler/syntax/format.h"
#include "compiler/syntax/parse.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

namespace {

using namespace fettle;

void require(bool holds) {
    if (!holds) {
        std::abort();
    }
}

// Every node lies in the text, and its children lie before it in the array and inside it.
void check_tree(const Tree& tree) {
    require(!tree.nodes.empty());
    for (NodeId id = 0; id < tree.nodes.size(); ++id) {
        const Node& node = tree[id];
        require(std::size_t{node.begin} + node.length <= tree.text.size());
        require(std::size_t{node.first_child} + node.count <= id || node.count == 0);
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const SourceFile source("fuzz.fettle", std::string(reinterpret_cast<const char*>(data), size));
    Diagnostics diagnostics;
    const Tree tree = parse(0, source, diagnostics);
    check_tree(tree);
    for (const Diagnostic& d : diagnostics.all()) {
        require(d.span.begin <= d.span.end && d.span.end <= size);
        for (const Mend& mend : d.mends) {
            for (const Edit& edit : mend.edits) {
                require(edit.span.begin <= edit.span.end && edit.span.end <= size);
            }
        }
    }
    if (!diagnostics.all().empty()) {
        return 0;
    }
    const SourceFile once("once.fettle", format(tree));
    Diagnostics more;
    const Tree again = parse(0, once, more);
    require(more.all().empty());
    require(dump(tree) == dump(again));
    require(format(again) == once.text());
    return 0;
}
