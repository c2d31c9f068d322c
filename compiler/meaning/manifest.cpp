#include "compiler/meaning/manifest.h"

#include "compiler/meaning/written_text.h"
#include "compiler/syntax/parse.h"

namespace fettle {
namespace {

std::string dotted(const Tree& tree, NodeId path) {
    std::string name;
    for (std::uint32_t i = 0; i < tree.count(path); ++i) {
        if (i > 0)
            name += '.';
        name += tree.source(tree.child(path, i));
    }
    return name;
}

void take_field(Manifest& manifest, const Tree& tree, NodeId field) {
    if (tree.count(field) != 2)
        return;
    const std::string_view word = tree.source(tree.child(field, 0));
    const NodeId value = tree.child(field, 1);
    if (word == "version" && tree.is(value, NodeKind::version)) {
        manifest.version = tree.source(value);
        manifest.version_span = tree.span(value);
    } else if (word == "licence") {
        manifest.licence = written_text(tree, value);
        manifest.licence_span = tree.span(value);
    }
}

void take_need(Manifest& manifest, const Tree& tree, NodeId node) {
    const NodeId name = tree.child(node, 0);
    const NodeId version = tree.child(node, 1);
    if (!tree.present(name) || !tree.present(version))
        return;
    LibraryNeed need;
    need.name = dotted(tree, name);
    need.version = tree.source(version);
    need.span = tree.span(node);
    need.name_span = tree.span(name);
    need.version_span = tree.span(version);
    if (const NodeId from = tree.child(node, 2); tree.present(from)) {
        need.from = written_text(tree, from);
        need.from_span = tree.span(from);
    }
    manifest.needs.push_back(std::move(need));
}

} // namespace

Manifest read_manifest(const Tree& tree) {
    Manifest manifest;
    for (std::uint32_t i = 0; i < tree.count(tree.root()) && !manifest.found; ++i) {
        const NodeId declaration = tree.child(tree.root(), i);
        if (!tree.is(declaration, NodeKind::library))
            continue;
        manifest.found = true;
        manifest.name = dotted(tree, tree.child(declaration, 0));
        manifest.name_span = tree.span(tree.child(declaration, 0));
        const NodeId block = tree.child(declaration, 1);
        if (!tree.is(block, NodeKind::block))
            continue;
        for (std::uint32_t k = 0; k < tree.count(block); ++k) {
            const NodeId item = tree.child(block, k);
            if (tree.is(item, NodeKind::field))
                take_field(manifest, tree, item);
            else if (tree.is(item, NodeKind::needs))
                take_need(manifest, tree, item);
            else if (tree.is(item, NodeKind::about))
                manifest.about = written_text(tree, tree.child(item, 0));
        }
    }
    return manifest;
}

Manifest read_manifest(std::string_view text) {
    const SourceFile file{std::string(manifest_name), std::string(text)};
    Diagnostics ignored;
    return read_manifest(parse(0, file, ignored));
}

const LibraryNeed* need_of_module(const Manifest& manifest, std::string_view use) {
    const LibraryNeed* found = nullptr;
    for (const LibraryNeed& need : manifest.needs) {
        const bool fits = use.starts_with(need.name) && use.size() > need.name.size() &&
                          use[need.name.size()] == '.';
        if (fits && (found == nullptr || need.name.size() > found->name.size()))
            found = &need;
    }
    return found;
}

} // namespace fettle
