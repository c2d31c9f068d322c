#include "compiler/lowering/rule_book.h"

#include <algorithm>

namespace fettle {
namespace {

bool needs_a_local(const Module& module, NodeId node) {
    if (module.info[node].kind == RefKind::local)
        return true;
    for (std::uint32_t i = 0; i < module.tree.count(node); ++i) {
        if (needs_a_local(module, module.child(node, i)))
            return true;
    }
    return false;
}

} // namespace

PreparedLet RuleBook::prepare_let(ModuleId id, NodeId let) {
    const Module& module = program_.modules[id];
    PreparedLet prepared{module.info[let].index, module.child(let, 1), none};
    if (!needs_a_local(module, prepared.value)) {
        const auto next = static_cast<std::uint32_t>(shared_lets_.size());
        const auto words = std::pair(id, module.tree.source(prepared.value));
        prepared.shared = shared_lets_.try_emplace(words, next).first->second;
    }
    return prepared;
}

PreparedRule RuleBook::prepare(DeclarationId id) {
    const Declaration& rule = program_.declarations[id];
    const Module& module = program_.modules[rule.module];
    const NodeId block = module.child(rule.node, 4);
    PreparedRule prepared;
    prepared.declaration = id;
    if (const NodeId title = module.child(rule.node, 3); module.tree.present(title)) {
        prepared.title = title;
    }
    for (std::uint32_t i = 0; i < module.tree.count(block); ++i) {
        const NodeId item = module.child(block, i);
        const NodeId part = module.tree.count(item) > 0 ? module.child(item, 0) : none;
        switch (module.tree[item].kind) {
        case NodeKind::level: {
            const std::string_view word = module.tree.source(part);
            prepared.level = word == "error"     ? CheckLevel::error
                             : word == "caution" ? CheckLevel::caution
                                                 : CheckLevel::advice;
            break;
        }
        case NodeKind::applies: prepared.applies = part; break;
        case NodeKind::check: prepared.check = part; break;
        case NodeKind::because: prepared.because = part; break;
        case NodeKind::remedy: prepared.remedy = part; break;
        case NodeKind::source: prepared.source = part; break;
        case NodeKind::waivable: prepared.waivable = part; break;
        case NodeKind::let: prepared.lets.push_back(prepare_let(rule.module, item)); break;
        default: break;
        }
    }
    return prepared;
}

RuleBook::RuleBook(const Program& program) : program_(program), by_module_(program.modules.size()) {
    std::vector<std::vector<DeclarationId>> own(program.modules.size());
    std::vector<DeclarationId> standard;
    for (DeclarationId id = 0; id < program.declarations.size(); ++id) {
        const Declaration& declaration = program.declarations[id];
        if (declaration.kind != DeclarationKind::rule || !declaration.usable)
            continue;
        PreparedRule prepared = prepare(id);
        if (prepared.check == none)
            continue; // it did not parse, which was said
        index_[id] = prepared_.size();
        prepared_.push_back(std::move(prepared));
        const Module& module = program.modules[declaration.module];
        const bool always = module.standard &&
                            (module.name == "std.rules" || module.name == "std.glaze_rules");
        (always ? standard : own[declaration.module]).push_back(id);
    }
    for (ModuleId id = 0; id < program.modules.size(); ++id) {
        std::vector<DeclarationId>& rules = by_module_[id];
        rules = standard;
        rules.insert(rules.end(), own[id].begin(), own[id].end());
        for (const Import& import : program.modules[id].imports) {
            if (import.module == none)
                continue;
            rules.insert(rules.end(), own[import.module].begin(), own[import.module].end());
        }
    }
    // Every pair of a firing's file and a template's file that can meet.
    for (const Declaration& declaration : program.declarations) {
        if (declaration.kind == DeclarationKind::template_) {
            const Modules alone{none, declaration.module}; // made in place in a test
            in_force_.try_emplace(alone, rules_of(alone));
        }
        if (declaration.kind != DeclarationKind::firing || !declaration.usable)
            continue;
        Modules modules{declaration.module, none};
        const Module& module = program.modules[declaration.module];
        const NodeInfo& origin = module.info[module.child(declaration.node, 2)];
        if (origin.kind == RefKind::call) {
            modules.second = program.declarations[module.calls[origin.index].index].module;
        }
        if (in_force_.find(modules) == in_force_.end())
            in_force_.emplace(modules, rules_of(modules));
    }
}

std::vector<PreparedRule> RuleBook::rules_of(Modules modules) const {
    std::vector<DeclarationId> ids;
    for (ModuleId module : {modules.first, modules.second}) {
        if (module == none)
            continue;
        for (DeclarationId id : by_module_[module]) {
            if (std::find(ids.begin(), ids.end(), id) == ids.end())
                ids.push_back(id);
        }
    }
    std::vector<PreparedRule> rules;
    for (DeclarationId id : ids)
        rules.push_back(prepared_[index_.at(id)]);
    return rules;
}

const std::vector<PreparedRule>& RuleBook::rules_for(const Firing& firing) const {
    const auto module_of = [&](DeclarationId id) {
        return id == none ? none : program_.declarations[id].module;
    };
    static const std::vector<PreparedRule> no_rules;
    const auto found = in_force_.find({module_of(firing.declaration), module_of(firing.template_)});
    return found == in_force_.end() ? no_rules : found->second;
}

} // namespace fettle
