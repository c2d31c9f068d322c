#include "compiler/syntax/dump.h"

#include <fmt/format.h>
#include <iterator>

namespace fettle {
namespace {

std::string flag_in_words(const Node& node) {
    static constexpr std::string_view limits[] = {"rise", "fall", "peak"};
    switch (node.kind) {
    case NodeKind::binary: return std::string(to_string(static_cast<BinaryOp>(node.flag)));
    case NodeKind::profile: return std::string(to_string(static_cast<ProfileKind>(node.flag)));
    case NodeKind::limit: return std::string(limits[node.flag]);
    default: return node.flag == 0 ? "" : fmt::format("flag {}", std::uint32_t{node.flag});
    }
}

bool has_text(NodeKind kind) {
    switch (kind) {
    case NodeKind::yes:
    case NodeKind::no:
    case NodeKind::at_full:
    case NodeKind::freely:
    case NodeKind::opened:
    case NodeKind::block:
    case NodeKind::parameters:
    case NodeKind::file:
    case NodeKind::text:
    case NodeKind::list_literal: return false;
    default: return true;
    }
}

// "cone   6" is the same as "cone 6".
std::string one_space(std::string_view source, NodeKind kind) {
    if (kind != NodeKind::cone || source.size() < 5)
        return std::string(source);
    const std::size_t number = source.find_first_of("0123456789");
    return "cone " + std::string(source.substr(number));
}

void dump_node(const Tree& tree, NodeId id, int depth, std::string& out) {
    const Node& node = tree[id];
    fmt::format_to(std::back_inserter(out), "{:{}}{}", "", depth * 2, to_string(node.kind));
    if (const std::string flag = flag_in_words(node); !flag.empty())
        out += " " + flag;
    if (node.count == 0 && node.length != 0 && has_text(node.kind)) {
        out += " `";
        out += one_space(tree.source(id), node.kind);
        out += '`';
    }
    out += '\n';
    for (std::uint32_t i = 0; i < node.count; ++i) {
        dump_node(tree, tree.child(id, i), depth + 1, out);
    }
}

} // namespace

std::string dump(const Tree& tree) {
    std::string out;
    if (!tree.nodes.empty())
        dump_node(tree, tree.root(), 0, out);
    return out;
}

} // namespace fettle
