#include "compiler/meaning/checker.h"
#include "compiler/source/edits.h"
#include "compiler/source/nearest.h"

#include <algorithm>
#include <array>

namespace fettle {
namespace {

DeclarationKind declaration_kind(NodeKind kind) {
    switch (kind) {
    case NodeKind::let: return DeclarationKind::constant;
    case NodeKind::function: return DeclarationKind::function;
    case NodeKind::profile: return DeclarationKind::profile;
    case NodeKind::phase: return DeclarationKind::phase;
    case NodeKind::template_: return DeclarationKind::template_;
    case NodeKind::firing: return DeclarationKind::firing;
    case NodeKind::rule: return DeclarationKind::rule;
    case NodeKind::memory: return DeclarationKind::memory;
    default: return DeclarationKind::test;
    }
}

// What a rule speaks of, in the order of `Environment`.
constexpr std::array<std::string_view, 5> environment_words = {"ware", "body", "kiln", "glaze",
                                                               "controller"};

} // namespace

std::string_view to_string(DeclarationKind kind) {
    constexpr std::string_view words[] = {"constant", "function", "profile", "phase", "template",
                                          "firing",   "rule",     "memory",  "test"};
    return words[static_cast<std::size_t>(kind)];
}

void Checker::collect() {
    import_used_.resize(program_.modules.size());
    for (ModuleId id = 0; id < program_.modules.size(); ++id)
        collect_module(id);
    for (ModuleId id = 0; id < program_.modules.size(); ++id)
        collect_imports(id);
    state_.assign(program_.declarations.size(), 0);
    edges_.resize(program_.declarations.size());
}

void Checker::set_aside_what_did_not_parse() {
    if (!diagnostics_.has_errors())
        return;
    // Declarations stand in the order of their file.
    std::vector<std::vector<DeclarationId>> in_file(program_.sources->size());
    for (DeclarationId id = 0; id < program_.declarations.size(); ++id) {
        const Declaration& declaration = program_.declarations[id];
        in_file[program_.modules[declaration.module].file].push_back(id);
    }
    const auto span_of = [&](DeclarationId id) {
        return program_.span(program_.declarations[id].module, program_.declarations[id].node);
    };
    for (const Diagnostic& diagnostic : diagnostics_.all()) {
        if (diagnostic.level != Level::error || !diagnostic.has_span)
            continue;
        const auto& ids = in_file[diagnostic.span.file];
        const auto after = std::partition_point(ids.begin(), ids.end(), [&](DeclarationId id) {
            return span_of(id).begin <= diagnostic.span.begin;
        });
        if (after != ids.begin() && diagnostic.span.begin <= span_of(after[-1]).end)
            program_.declarations[after[-1]].usable = false;
        if (diagnostic.kind == DiagnosticKind::too_many_mistakes) {
            for (auto id = after; id != ids.end(); ++id) // what is wrong in them is not listed
                program_.declarations[*id].usable = false;
        }
    }
}

void Checker::collect_module(ModuleId id) {
    Module& module = program_.modules[id];
    module.info.resize(module.tree.nodes.size());
    import_used_[id].resize(module.imports.size());
    Frame frame;
    frame.module_id = id;
    frame.module = &module;
    frame_ = &frame;
    const NodeId root = module.tree.root();
    program_.declarations.reserve(program_.declarations.size() + module.tree.count(root));
    for (std::uint32_t i = 0; i < module.tree.count(root); ++i) {
        NodeId node = module.child(root, i);
        bool is_private = false;
        if (kind(node) == NodeKind::private_) {
            node = child(node, 0);
            is_private = true;
        }
        collect_declaration(id, node, is_private);
    }
    frame_ = nullptr;
}

void Checker::collect_declaration(ModuleId id, NodeId node, bool is_private) {
    switch (kind(node)) {
    case NodeKind::let:
    case NodeKind::function:
    case NodeKind::profile:
    case NodeKind::phase:
    case NodeKind::template_:
    case NodeKind::firing:
    case NodeKind::rule:
    case NodeKind::memory:
    case NodeKind::test: break;
    case NodeKind::library: check_library(id, node); return;
    default: return; // `use`, and what did not parse
    }
    Declaration declaration;
    declaration.kind = declaration_kind(kind(node));
    declaration.is_private = is_private;
    declaration.module = id;
    declaration.node = node;
    const auto index = static_cast<DeclarationId>(program_.declarations.size());
    const NodeId word = child(node, 0);
    if (kind(node) != NodeKind::test && kind(word) == NodeKind::word) {
        declaration.name = intern(word);
        const std::uint32_t before = program_.visible.find(id, declaration.name);
        if (before != PairMap::none) {
            const Declaration& first = program_.declarations[before];
            report(DiagnosticKind::duplicate_name, word,
                   fmt::format("there are two things called `{}`", source(word)))
                .note(program_.span(first.module, child(first.node, 0)), "the first is here");
            declaration.usable = false;
        } else {
            program_.visible.insert(id, declaration.name, index);
        }
    } else if (kind(node) != NodeKind::test) {
        declaration.usable = false;
    }
    if (declaration.kind == DeclarationKind::profile) {
        declaration.profile = static_cast<std::uint32_t>(program_.profiles.size());
        Profile profile;
        profile.kind = static_cast<ProfileKind>(tree()[node].flag);
        profile.declaration = index;
        declaration.type = types_.profile(profile.kind);
        program_.profiles.push_back(std::move(profile));
    }
    program_.declarations.push_back(declaration);
}

bool Checker::visible_from(ModuleId from, const Declaration& declaration) const {
    if (!declaration.is_private || declaration.module == from)
        return true;
    const std::string& library = program_.modules[declaration.module].library;
    return !library.empty() && library == program_.modules[from].library;
}

void Checker::collect_imports(ModuleId id) {
    Module& module = program_.modules[id];
    Frame frame;
    frame.module_id = id;
    frame.module = &module;
    frame_ = &frame;
    const NodeId root = module.tree.root();
    std::size_t import = 0;
    for (std::uint32_t i = 0; i < module.tree.count(root); ++i) {
        const NodeId use = module.child(root, i);
        if (kind(use) != NodeKind::use || !present(child(use, 0)))
            continue;
        const Import& imported = module.imports[import++];
        if (imported.module != none && present(child(use, 1))) {
            import_names(id, imported, use);
        } else if (imported.module == none) {
            miss_names(id, imported, use);
        }
    }
    frame_ = nullptr;
}

// Of a module that could not be found: said once, and not again where its names are used.
void Checker::miss_names(ModuleId id, const Import& import, NodeId use) {
    if (import.alias != 0)
        missed_.insert(id, import.alias, 1);
    const NodeId words = child(use, 1);
    for (std::uint32_t i = 0; present(words) && i < count(words); ++i) {
        if (kind(child(words, i)) == NodeKind::word)
            missed_.insert(id, intern(child(words, i)), 1);
    }
}

void Checker::import_names(ModuleId id, const Import& import, NodeId use) {
    const NodeId words = child(use, 1);
    for (std::uint32_t i = 0; i < count(words); ++i) {
        const NodeId word = child(words, i);
        if (kind(word) != NodeKind::word)
            continue;
        const NameId name = intern(word);
        const std::uint32_t found = program_.visible.find(import.module, name);
        const bool own =
            found != PairMap::none && program_.declarations[found].module == import.module;
        if (!own || !visible_from(id, program_.declarations[found])) {
            missed_.insert(id, name, 1);
            if (own) {
                report(DiagnosticKind::private_name, word,
                       fmt::format("`{}` is private to its library", source(word)));
            } else {
                report_not_in_module(word, import.module);
            }
            continue;
        }
        if (program_.visible.find(id, name) != PairMap::none) {
            report(DiagnosticKind::duplicate_name, word,
                   fmt::format("there are two things called `{}` here", source(word)))
                .mend(fmt::format("use the module's name instead: `use {0}`, then `…{1}`",
                                  source(child(use, 0)), source(word)));
            continue;
        }
        program_.visible.insert(id, name, found);
        imported_index_.insert(id, name, static_cast<std::uint32_t>(imported_.size()));
        imported_.push_back({id, name, tree().span(word)});
    }
}

void Checker::report_not_in_module(NodeId word, ModuleId module) {
    Diagnostic& d =
        report(DiagnosticKind::unknown_name, word,
               fmt::format("module `{}` has no `{}`", program_.modules[module].name, source(word)));
    std::vector<std::string_view> names;
    for (const Declaration& other : program_.declarations) {
        if (other.module == module && other.name != 0 && visible_from(frame_->module_id, other))
            names.push_back(program_.name(other.name));
    }
    if (const auto near = nearest(source(word), names)) {
        d.mend(fmt::format("did you mean `{}`?", *near), tree().span(word), std::string(*near));
        // Where it is used it may well be spelt right: no second message for the one slip.
        missed_.insert(frame_->module_id, program_.names.intern(*near), 1);
    }
}

void Checker::mark_imported(ModuleId module, NameId name) {
    const std::uint32_t index = imported_index_.find(module, name);
    if (index != PairMap::none)
        imported_[index].used = true;
}

Checker::Meaning Checker::look_up(NameId name) {
    for (std::size_t i = frame_->locals.size(); i-- > 0;) {
        Local& local = frame_->locals[i];
        if (local.name == name) {
            local.used = true;
            return {RefKind::local, static_cast<std::uint32_t>(i)};
        }
    }
    if (frame_->in_rule) {
        for (std::uint32_t i = 0; i < environment_words.size(); ++i) {
            if (program_.name(name) == environment_words[i])
                return {RefKind::environment, i};
        }
    }
    const std::uint32_t declaration = program_.visible.find(frame_->module_id, name);
    if (declaration != PairMap::none) {
        mark_imported(frame_->module_id, name);
        return {RefKind::declaration, declaration};
    }
    const auto& imports = frame_->module->imports;
    for (std::size_t i = 0; i < imports.size(); ++i) {
        if (imports[i].alias == name && imports[i].module != none) {
            import_used_[frame_->module_id][i] = true;
            return {RefKind::nothing, 0, imports[i].module};
        }
    }
    if (missed_.find(frame_->module_id, name) != PairMap::none) {
        frame_->errors = true;
        Meaning missed;
        missed.reported = true;
        return missed;
    }
    const int builtin = find_builtin(program_.name(name));
    if (builtin >= 0)
        return {RefKind::builtin, static_cast<std::uint32_t>(builtin)};
    return {};
}

std::vector<std::string_view> Checker::names_in_reach() const {
    std::vector<std::string_view> names;
    for (const Local& local : frame_->locals)
        names.push_back(program_.name(local.name));
    for (DeclarationId id = 0; id < program_.declarations.size() && names.size() < 5000; ++id) {
        const Declaration& declaration = program_.declarations[id];
        if (declaration.name != 0 && declaration.module == frame_->module_id) {
            names.push_back(program_.name(declaration.name));
        }
    }
    for (const ImportedName& imported : imported_) {
        if (imported.module == frame_->module_id)
            names.push_back(program_.name(imported.name));
    }
    for (const Import& import : frame_->module->imports) {
        if (import.alias != 0)
            names.push_back(program_.name(import.alias));
    }
    if (frame_->in_rule)
        names.insert(names.end(), environment_words.begin(), environment_words.end());
    for (const Builtin& builtin : builtins()) {
        if (!builtin.of_curve || frame_->in_rule)
            names.push_back(builtin.name);
    }
    return names;
}

void Checker::report_unknown_name(NodeId node, std::string_view name, TypeId hint) {
    if (types_.kind(hint) == TypeKind::choice) {
        Diagnostic& d = report(DiagnosticKind::unknown_choice, node,
                               fmt::format("`{}` is not {}", name, types_.describe(hint)));
        std::vector<std::string_view> words;
        for (NameId word : types_[hint].words)
            words.push_back(program_.name(word));
        if (const auto near = nearest(name, words))
            d.mend(fmt::format("did you mean `{}`?", *near), tree().span(node), std::string(*near));
        return;
    }
    Diagnostic& d = report(DiagnosticKind::unknown_name, node,
                           fmt::format("nothing is called `{}` here", name));
    const std::vector<std::string_view> names = names_in_reach();
    if (const auto near = nearest(name, names)) {
        d.mend(fmt::format("did you mean `{}`?", *near), tree().span(node), std::string(*near));
        return;
    }
    // Somewhere else in the program, perhaps.
    const NameId id = program_.names.find(name);
    for (const Declaration& declaration : program_.declarations) {
        if (id == 0 || declaration.name != id || declaration.is_private)
            continue;
        const std::string& module = program_.modules[declaration.module].name;
        d.mend(fmt::format("`{0}` has one: add `use {0} ({1})` at the top", module, name),
               {tree().file, 0, 0}, fmt::format("use {} ({})\n", module, name));
        return;
    }
}

DeclarationId Checker::find_path(NodeId path, std::string_view wanted) {
    if (!present(path) || kind(path) != NodeKind::path || count(path) == 0)
        return none;
    const NodeId first = child(path, 0);
    const Meaning meaning = look_up(intern(first));
    if (count(path) == 1) {
        if (meaning.kind == RefKind::declaration)
            return meaning.index;
        if (!meaning.reported)
            report_unknown_name(path, source(first), Types::poison);
        return none;
    }
    if (meaning.reported)
        return none;
    if (meaning.alias == none || count(path) != 2) {
        report(DiagnosticKind::unknown_name, path,
               fmt::format("`{}` is not the name of {}", source(path), wanted));
        return none;
    }
    const NodeId last = child(path, 1);
    const std::uint32_t found = program_.visible.find(meaning.alias, intern(last));
    if (found == PairMap::none || program_.declarations[found].module != meaning.alias) {
        report_not_in_module(last, meaning.alias);
        return none;
    }
    if (!visible_from(frame_->module_id, program_.declarations[found])) {
        report(DiagnosticKind::private_name, last,
               fmt::format("`{}` is private to its library", source(last)));
        return none;
    }
    return found;
}

void Checker::report_unused_imports() {
    std::vector<bool> has_rules(program_.modules.size());
    std::vector<bool> in_trouble(program_.modules.size()); // what is unused there can't be told
    for (const Declaration& declaration : program_.declarations) {
        if (!declaration.usable)
            in_trouble[declaration.module] = true;
        if (declaration.kind == DeclarationKind::rule)
            has_rules[declaration.module] = true;
    }
    for (const ImportedName& imported : imported_) {
        if (imported.used || in_trouble[imported.module])
            continue;
        const std::uint32_t id = program_.visible.find(imported.module, imported.name);
        if (has_rules[program_.declarations[id].module])
            continue;
        Diagnostic& d = diagnostics_.report(
            DiagnosticKind::unused_import, imported.span,
            fmt::format("`{}` is not used in this file", program_.name(imported.name)));
        const SourceFile& file = (*program_.sources)[imported.span.file];
        if (const auto entry = entry_and_comma(file, imported.span)) {
            d.mend("take it out of the `use` line", *entry, "");
        } else {
            d.mend("take the `use` line out");
        }
    }
    for (ModuleId id = 0; id < program_.modules.size(); ++id) {
        const Module& module = program_.modules[id];
        for (std::size_t i = 0; !in_trouble[id] && i < module.imports.size(); ++i) {
            const Import& import = module.imports[i];
            if (import.alias == 0 || import_used_[id][i] || import.module == none ||
                has_rules[import.module]) {
                continue;
            }
            Diagnostic& d =
                diagnostics_.report(DiagnosticKind::unused_import, import.span,
                                    fmt::format("nothing of module `{}` is used in this file",
                                                program_.modules[import.module].name));
            const SourceFile& file = (*program_.sources)[import.span.file];
            if (const auto line = line_with_only(file, import.span, "use")) {
                d.mend("take the `use` line out", *line, "");
            } else {
                d.mend("take the `use` line out");
            }
        }
    }
}

} // namespace fettle
