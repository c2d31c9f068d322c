#include "compiler/library/prints.h"

#include "compiler/source/sha256.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

void write_words(const Module& module, NodeId node, std::string& text) {
    if (module.tree.is(node, NodeKind::text)) {
        text += module.tree.source(node);
        text += '\n';
        return;
    }
    for (std::uint32_t i = 0; i < module.tree.count(node); ++i)
        write_words(module, module.child(node, i), text);
}

} // namespace

Prints::Prints(const Program& program)
    : program_(program), known_(program.declarations.size()), open_(program.declarations.size()),
      rules_(program.modules.size()) {
    for (DeclarationId id = 0; id < program.declarations.size(); ++id) {
        if (program.declarations[id].kind == DeclarationKind::rule)
            rules_[program.declarations[id].module].push_back(id);
    }
}

void Prints::write(const Module& module, NodeId node, std::string& text) const {
    const Node& at = module.tree[node];
    text += static_cast<char>('!' + static_cast<int>(at.kind) % 90);
    text += static_cast<char>('!' + static_cast<int>(at.flag) % 90);
    if (at.kind == NodeKind::text || at.kind == NodeKind::note || at.kind == NodeKind::about)
        return;
    if (at.count == 0) {
        text += module.tree.source(node);
        text += ' ';
    }
    for (std::uint32_t i = 0; i < at.count; ++i)
        write(module, module.child(node, i), text);
    text += ')';
}

DeclarationId Prints::visible(ModuleId module, std::string_view name) const {
    const NameId id = program_.names.find(name);
    return id == 0 ? none : program_.visible.find(module, id);
}

// By the names that stand in it: rather one too many than one too few.
void Prints::find_uses(ModuleId id, NodeId node, std::vector<DeclarationId>& uses) const {
    const Module& module = program_.modules[id];
    const Node& at = module.tree[node];
    const auto use = [&](DeclarationId found) {
        if (found != none && std::find(uses.begin(), uses.end(), found) == uses.end())
            uses.push_back(found);
    };
    if (at.kind == NodeKind::word || at.kind == NodeKind::name) {
        use(visible(id, module.tree.source(node)));
    } else if ((at.kind == NodeKind::path || at.kind == NodeKind::field_access) && at.count == 2) {
        const std::string_view alias = module.tree.source(module.child(node, 0));
        for (const Import& import : module.imports) {
            if (import.module != none && import.alias != 0 && program_.name(import.alias) == alias)
                use(visible(import.module, module.tree.source(module.child(node, 1))));
        }
    }
    for (std::uint32_t i = 0; i < at.count; ++i)
        find_uses(id, module.child(node, i), uses);
}

const std::string& Prints::meaning(DeclarationId id) {
    std::string& known = known_[id];
    if (!known.empty() || open_[id])
        return known;
    open_[id] = true;
    const Declaration& declaration = program_.declarations[id];
    const Module& module = program_.modules[declaration.module];
    std::string text;
    write(module, declaration.node, text);
    std::vector<DeclarationId> uses;
    find_uses(declaration.module, declaration.node, uses);
    const bool fires = declaration.kind == DeclarationKind::firing ||
                       declaration.kind == DeclarationKind::template_;
    if (fires) {
        uses.insert(uses.end(), rules_[declaration.module].begin(),
                    rules_[declaration.module].end());
        for (const Import& import : module.imports) {
            if (import.module != none)
                uses.insert(uses.end(), rules_[import.module].begin(), rules_[import.module].end());
        }
    }
    for (const DeclarationId used : uses) {
        if (used != id)
            text += fmt::format("\n{} {}", program_.name(program_.declarations[used].name),
                                meaning(used));
    }
    open_[id] = false;
    known_[id] = sha256_of(text);
    return known_[id];
}

std::vector<DeclarationId> Prints::uses(DeclarationId id) const {
    std::vector<DeclarationId> found;
    const Declaration& declaration = program_.declarations[id];
    find_uses(declaration.module, declaration.node, found);
    std::erase(found, id);
    return found;
}

std::string Prints::words(DeclarationId id) const {
    const Declaration& declaration = program_.declarations[id];
    std::string text;
    write_words(program_.modules[declaration.module], declaration.node, text);
    return text;
}

} // namespace fettle
