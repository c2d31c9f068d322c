#include "compiler/meaning/checker.h"
#include "compiler/source/nearest.h"

namespace fettle {
namespace {

Slot slot_of(const Types& types, TypeId type, std::string_view name) {
    if (types.kind(type) == TypeKind::profile) {
        switch (types[type].profile) {
        case ProfileKind::body: return Slot::body;
        case ProfileKind::kiln: return Slot::kiln;
        case ProfileKind::glaze: return Slot::glaze;
        default: return Slot::plain;
        }
    }
    if (name == "thickness" && type == Types::length)
        return Slot::thickness;
    if (name == "moisture" && type == Types::fraction)
        return Slot::moisture;
    if (name == "mass" && type == Types::mass)
        return Slot::mass;
    return Slot::plain;
}

std::string_view to_string(Slot slot) {
    constexpr std::string_view words[] = {"value",     "body",     "kiln", "glaze",
                                          "thickness", "moisture", "mass"};
    return words[static_cast<std::size_t>(slot)];
}

constexpr int deepest_constants = 500; // each costs several stack frames

} // namespace

// --- shared ---

Diagnostic& Checker::report(DiagnosticKind kind, Span span, std::string message) {
    if (entry(kind).level == Level::error)
        frame_->errors = true;
    return diagnostics_.report(kind, span, std::move(message));
}

Diagnostic& Checker::report(DiagnosticKind kind, NodeId node, std::string message) {
    return report(kind, tree().span(node), std::move(message));
}

TypeId Checker::set(NodeId node, TypeId type, RefKind kind, std::uint32_t index) {
    frame_->module->info[node] = {type, kind, index};
    return type;
}

TypeId Checker::set_literal(NodeId node, TypeId type, const Value& value) {
    frame_->module->literals.push_back(value);
    return set(node, type, RefKind::literal,
               static_cast<std::uint32_t>(frame_->module->literals.size() - 1));
}

void Checker::depend_on(DeclarationId id, NodeId where) {
    if (frame_->declaration != none)
        edges_[frame_->declaration].push_back({id, tree().span(where)});
}

std::uint32_t Checker::add_local(NodeId word, TypeId type, bool parameter) {
    const std::uint32_t slot = frame_->next_slot++;
    frame_->most_slots = std::max(frame_->most_slots, frame_->next_slot);
    if (kind(word) != NodeKind::word)
        return slot;
    const NameId name = intern(word);
    for (const Local& local : frame_->locals) {
        if (local.name != name)
            continue;
        report(
            DiagnosticKind::shadowed_name, word,
            fmt::format("`{}` has a meaning here already; a name is never changed", source(word)))
            .note(tree().span(local.node), "it was given here")
            .mend("choose another name");
        return slot;
    }
    const std::uint32_t outer = program_.visible.find(frame_->module_id, name);
    if (outer != PairMap::none) {
        const Declaration& declaration = program_.declarations[outer];
        report(DiagnosticKind::shadowed_name, word,
               fmt::format("`{}` is the name of a {} already", source(word),
                           to_string(declaration.kind)))
            .note(program_.span(declaration.module,
                                program_.modules[declaration.module].child(declaration.node, 0)),
                  "it is declared here")
            .mend("choose another name");
        // Used on: what follows means this one.
    }
    frame_->locals.push_back({name, type, slot, word, false, parameter});
    return slot;
}

void Checker::leave_scope(std::size_t locals_before) {
    for (std::size_t i = locals_before; i < frame_->locals.size(); ++i) {
        const Local& local = frame_->locals[i];
        if (local.used || frame_->errors)
            continue;
        report(DiagnosticKind::unused_name, local.node,
               fmt::format("`{}` is not used", program_.name(local.name)))
            .mend("take it out, or use it");
    }
    frame_->locals.resize(locals_before);
}

// --- all of them ---

void Checker::check_declarations() {
    for (DeclarationId id = 0; id < program_.declarations.size(); ++id)
        check_signature(id);
    for (DeclarationId id = 0; id < program_.declarations.size(); ++id) {
        if (state_[id] == 0)
            check_body(id);
    }
    report_unused_imports();
}

TypeId Checker::check_type(NodeId node) {
    switch (kind(node)) {
    case NodeKind::type_name: {
        const TypeId type = types_.named(source(node));
        if (type == Types::poison) {
            Diagnostic& d = report(DiagnosticKind::unknown_type, node,
                                   fmt::format("there is no type `{}`", source(node)));
            if (const auto near = nearest(source(node), Types::type_names())) {
                d.mend(fmt::format("did you mean `{}`?", *near), tree().span(node),
                       std::string(*near));
            } else {
                d.note(fmt::format("types are {}", fmt::join(Types::type_names(), ", ")));
            }
        }
        return type;
    }
    case NodeKind::type_list: return types_.list_of(check_type(child(node, 0)));
    case NodeKind::type_range: return types_.range_of(check_type(child(node, 0)));
    case NodeKind::type_choice: {
        std::vector<NameId> words;
        for (std::uint32_t i = 0; i < count(node); ++i) {
            if (kind(child(node, i)) == NodeKind::word)
                words.push_back(intern(child(node, i)));
        }
        return types_.choice(std::move(words));
    }
    default: return Types::poison;
    }
}

void Checker::check_signature(DeclarationId id) {
    Declaration& declaration = program_.declarations[id];
    const NodeKind node_kind = program_.modules[declaration.module].tree[declaration.node].kind;
    if (node_kind != NodeKind::function && node_kind != NodeKind::phase &&
        node_kind != NodeKind::template_) {
        return;
    }
    Frame frame;
    frame.declaration = id;
    frame.module_id = declaration.module;
    frame.module = &program_.modules[declaration.module];
    frame_ = &frame;
    const NodeId list = child(declaration.node, 1);
    declaration.first_parameter = static_cast<std::uint32_t>(program_.parameters.size());
    bool default_before = false;
    if (kind(list) == NodeKind::parameters) {
        for (std::uint32_t i = 0; i < count(list); ++i) {
            const NodeId node = child(list, i);
            if (kind(node) != NodeKind::parameter)
                continue;
            Parameter parameter;
            parameter.node = node;
            if (kind(child(node, 0)) == NodeKind::word)
                parameter.name = intern(child(node, 0));
            parameter.type = check_type(child(node, 1));
            if (present(child(node, 2))) {
                parameter.default_value = child(node, 2);
                default_before = true;
            } else if (default_before) {
                report(DiagnosticKind::missing_default, node,
                       fmt::format("`{}` has no default, but one before it has",
                                   source(child(node, 0))))
                    .mend("put the parameters without defaults first");
            }
            if (declaration.kind == DeclarationKind::template_) {
                parameter.slot = slot_of(types_, parameter.type, program_.name(parameter.name));
            }
            if (parameter.slot != Slot::plain) {
                for (std::size_t k = declaration.first_parameter; k < program_.parameters.size();
                     ++k) {
                    if (program_.parameters[k].slot != parameter.slot)
                        continue;
                    report(DiagnosticKind::slot_twice, node,
                           fmt::format("`{}` and `{}` would both be the {} of the firing",
                                       program_.name(program_.parameters[k].name),
                                       program_.name(parameter.name), to_string(parameter.slot)))
                        .note(tree().span(program_.parameters[k].node), "the other is here");
                }
            }
            program_.parameters.push_back(parameter);
        }
    }
    declaration.parameter_count =
        static_cast<std::uint32_t>(program_.parameters.size()) - declaration.first_parameter;
    if (declaration.kind == DeclarationKind::function) {
        const NodeId origin = child(declaration.node, 2);
        declaration.type =
            kind(origin) == NodeKind::list ? check_type(child(origin, 0)) : Types::poison;
    }
    if (frame.errors)
        declaration.usable = false;
    frame_ = nullptr;
}

void Checker::check_body(DeclarationId id) {
    // A copy: the vector does not grow while bodies are checked, but keep this local and clear.
    const Declaration declaration = program_.declarations[id];
    Frame frame;
    frame.declaration = id;
    frame.module_id = declaration.module;
    frame.module = &program_.modules[declaration.module];
    frame.errors = !declaration.usable;
    frame.outer = frame_;
    frame_ = &frame;
    state_[id] = 1;
    switch (declaration.kind) {
    case DeclarationKind::constant: check_constant(id); break;
    case DeclarationKind::function: check_function(id); break;
    case DeclarationKind::profile: check_profile(id); break;
    case DeclarationKind::phase: check_phase_like(id, Where::steps); break;
    case DeclarationKind::template_:
    case DeclarationKind::firing: check_phase_like(id, Where::firing); break;
    case DeclarationKind::rule: check_rule(id); break;
    case DeclarationKind::memory: check_memory(id); break;
    case DeclarationKind::test: check_test(id); break;
    }
    state_[id] = 2;
    Declaration& checked = program_.declarations[id];
    checked.frame_size = frame.most_slots;
    if (frame.errors)
        checked.usable = false;
    frame_ = frame.outer;
}

void Checker::check_constant(DeclarationId id) {
    if (++constant_depth_ > deepest_constants) {
        report(DiagnosticKind::too_deep, program_.declarations[id].node,
               fmt::format("more than {} constants that each need the next", deepest_constants));
        program_.declarations[id].type = Types::poison;
    } else {
        const TypeId type = expression(child(program_.declarations[id].node, 1));
        program_.declarations[id].type = type;
    }
    --constant_depth_;
}

void Checker::check_parameters(DeclarationId id) {
    const Declaration declaration = program_.declarations[id];
    for (std::uint32_t i = 0; i < declaration.parameter_count; ++i) {
        const Parameter parameter = program_.parameters[declaration.first_parameter + i];
        // A default may refer to the parameters before it.
        if (parameter.default_value != none) {
            require(parameter.default_value, parameter.type,
                    fmt::format("the default of `{}`", program_.name(parameter.name)));
        }
        add_local(child(parameter.node, 0), parameter.type, true);
        if (parameter.slot != Slot::plain && !frame_->locals.empty()) {
            frame_->locals.back().used = true; // fills a slot of the firing
        }
    }
}

void Checker::check_function(DeclarationId id) {
    const Declaration declaration = program_.declarations[id];
    check_parameters(id);
    const NodeId origin = child(declaration.node, 2);
    if (kind(origin) == NodeKind::list && count(origin) > 1) {
        require(child(origin, 1), declaration.type,
                fmt::format("the result of `{}`", program_.name(declaration.name)));
    }
    leave_scope(0);
}

void Checker::check_phase_like(DeclarationId id, Where where) {
    const Declaration declaration = program_.declarations[id];
    check_parameters(id);
    const NodeId title = child(declaration.node, 3);
    const NodeId block = child(declaration.node, 4);
    const NodeId origin = child(declaration.node, 2);
    if (present(origin)) { // firing NAME = template(…)
        const NodeId callee = kind(origin) == NodeKind::call ? child(origin, 0) : origin;
        const Meaning meaning =
            kind(callee) == NodeKind::name ? look_up(intern(callee)) : Meaning{};
        const bool other = meaning.kind == RefKind::declaration &&
                           program_.declarations[meaning.index].kind != DeclarationKind::template_;
        const TypeId type = other ? Types::number : expression(origin);
        if (type != Types::firing && type != Types::poison) {
            report(DiagnosticKind::not_a_template, callee,
                   other
                       ? fmt::format("`{}` is a {}; a firing is made of a template", source(callee),
                                     to_string(program_.declarations[meaning.index].kind))
                       : fmt::format("`{}` is not a template, so no firing can be made of it",
                                     source(callee)));
        }
    }
    if (present(title))
        require(title, Types::text, "a title");
    if (present(block))
        check_block(block, where);
    leave_scope(0);
}

} // namespace fettle
