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

// --- profiles ---

void Checker::check_profile(DeclarationId id) {
    const Declaration declaration = program_.declarations[id];
    const auto profile_kind = static_cast<ProfileKind>(tree()[declaration.node].flag);
    const NodeId parent = child(declaration.node, 2);
    if (present(parent)) {
        const DeclarationId from = find_path(parent, fmt::format("a {}", to_string(profile_kind)));
        if (from != none) {
            const Declaration& other = program_.declarations[from];
            if (other.type != declaration.type) {
                report(DiagnosticKind::wrong_parent, parent,
                       fmt::format("`{}` is not {}, so no {} can be made from it", source(parent),
                                   types_.describe(declaration.type), to_string(profile_kind)))
                    .note(program_.span(other.module,
                                        program_.modules[other.module].child(other.node, 0)),
                          "it is declared here");
            } else {
                set(parent, declaration.type, RefKind::declaration, from);
                depend_on(from, parent);
            }
        }
    }
    if (present(child(declaration.node, 3))) {
        require(child(declaration.node, 3), Types::text, "a title");
    }
    const NodeId block = child(declaration.node, 4);
    if (kind(block) != NodeKind::block)
        return;
    std::vector<std::pair<NameId, NodeId>> seen;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId statement = child(block, i);
        if (kind(statement) == NodeKind::field) {
            check_field(holder_of(profile_kind), statement);
            const NodeId word = child(statement, 0);
            const NameId name = intern(word);
            for (const auto& [other, node] : seen) {
                if (other == name && source(word) != "hazard") {
                    report(DiagnosticKind::field_twice, word,
                           fmt::format("`{}` is written twice", source(word)))
                        .note(tree().span(node), "the first is here");
                }
            }
            seen.emplace_back(name, word);
        } else {
            check_profile_statement(holder_of(profile_kind), statement);
        }
    }
}

void Checker::check_field(Holder holder, NodeId node) {
    const NodeId word = child(node, 0);
    const int index = field_index(holder, source(word));
    if (index < 0) {
        Diagnostic& d = report(DiagnosticKind::unknown_field, word,
                               fmt::format("a {} has no `{}`", to_string(holder), source(word)));
        std::vector<std::string_view> names;
        for (const Field& field : fields_of(holder)) {
            if (!field.computed)
                names.push_back(field.name);
        }
        if (holder == Holder::body || holder == Holder::kiln)
            names.push_back("limit");
        if (holder == Holder::kiln) {
            for (std::string_view other : {"lining", "shelf", "control"})
                names.push_back(other);
        }
        if (const auto near = nearest(source(word), names)) {
            d.mend(fmt::format("did you mean `{}`?", *near), tree().span(word), std::string(*near));
        } else {
            std::string all;
            for (std::string_view name : names)
                all += (all.empty() ? "" : ", ") + std::string(name);
            d.note(fmt::format("a {} has: {}", to_string(holder), all));
        }
        return;
    }
    const Field& field = fields_of(holder)[static_cast<std::size_t>(index)];
    set(word, Types::poison, RefKind::field, static_cast<std::uint32_t>(index));
    if (field.computed) {
        report(DiagnosticKind::computed_field, word,
               fmt::format("`{}` is worked out by the compiler and can't be written", field.name));
        return;
    }
    if (count(node) < 2) {
        report(DiagnosticKind::missing_value, word, fmt::format("`{}` has no value", field.name));
        return;
    }
    if (count(node) > 2 && field.shape != FieldShape::choices) {
        report(DiagnosticKind::one_value, child(node, 2),
               fmt::format("`{}` takes one value", field.name));
        return;
    }
    for (std::uint32_t i = 1; i < count(node); ++i)
        check_field_value(field, word, child(node, i));
}

void Checker::check_field_value(const Field& field, NodeId word, NodeId value) {
    const std::string what = fmt::format("`{}`", source(word));
    TypeId type = field_type(field, types_);
    switch (field.shape) {
    case FieldShape::choices:
    case FieldShape::choice:
        if (types_.kind(type) == TypeKind::list)
            type = types_[type].element;
        check_choice_slot(value, type);
        break;
    case FieldShape::word:
        if (kind(value) != NodeKind::name && kind(value) != NodeKind::word) {
            report(DiagnosticKind::wrong_type, value, fmt::format("{} is a name", what));
        } else {
            set(value, Types::text, RefKind::word, intern(value));
        }
        break;
    case FieldShape::texts: require(value, Types::text, what); break;
    case FieldShape::version:
        if (kind(value) != NodeKind::version) {
            report(DiagnosticKind::wrong_type, value, "a version is three numbers, such as 1.2.0");
        }
        break;
    case FieldShape::quantity:
        if (field.dimension == dimension::difference) {
            require_difference(value, what);
            break;
        }
        [[fallthrough]];
    default: require(value, type, what); break;
    }
}

void Checker::check_choice_slot(NodeId node, TypeId type) {
    // A listed word wins; anything else is an expression (a variable needs parentheses).
    if (kind(node) == NodeKind::word || kind(node) == NodeKind::name) {
        const NameId name = intern(node);
        for (NameId word : types_[type].words) {
            if (word == name) {
                set(node, type, RefKind::word, name);
                return;
            }
        }
        std::vector<std::string_view> words;
        for (NameId word : types_[type].words)
            words.push_back(program_.name(word));
        const Meaning meaning = look_up(name);
        Diagnostic& d = report(DiagnosticKind::unknown_choice, node,
                               fmt::format("`{}` is not {}", source(node), types_.describe(type)));
        if (meaning.kind == RefKind::local || meaning.kind == RefKind::declaration) {
            d.mend("in this place a name needs parentheses", tree().span(node),
                   fmt::format("({})", source(node)));
        } else if (const auto near = nearest(source(node), words)) {
            d.mend(fmt::format("did you mean `{}`?", *near), tree().span(node), std::string(*near));
        }
        return;
    }
    require(node, type, "this");
}

void Checker::check_profile_statement(Holder holder, NodeId node) {
    const auto only_in = [&](Holder wanted, std::string_view word) {
        if (holder == wanted)
            return true;
        report(DiagnosticKind::misplaced_statement, node,
               fmt::format("`{}` belongs to a {}, not to a {}", word, to_string(wanted),
                           to_string(holder)));
        return false;
    };
    switch (kind(node)) {
    case NodeKind::about: require(child(node, 0), Types::text, "`about`"); break;
    case NodeKind::limit: {
        if (holder != Holder::body && holder != Holder::kiln) {
            only_in(Holder::body, "limit");
            break;
        }
        const bool peak = static_cast<LimitKind>(tree()[node].flag) == LimitKind::peak;
        require(child(node, 0), peak ? Types::target : Types::rate,
                peak ? "the limit of the peak" : "a limit of climbs or falls");
        for (std::uint32_t i : {1u, 2u}) {
            if (present(child(node, i))) {
                require(child(node, i), Types::temperature, "the range of a limit");
            }
        }
        break;
    }
    case NodeKind::lining: {
        if (!only_in(Holder::kiln, "lining"))
            break;
        require(child(node, 0), Types::length, "the thickness of a lining");
        const DeclarationId id = find_path(child(node, 1), "an insulation");
        if (id == none)
            break;
        if (program_.declarations[id].type != types_.profile(ProfileKind::insulation)) {
            report(DiagnosticKind::wrong_type, child(node, 1),
                   fmt::format("`{}` is not an insulation", source(child(node, 1))));
        } else {
            set(child(node, 1), program_.declarations[id].type, RefKind::declaration, id);
            depend_on(id, child(node, 1));
        }
        break;
    }
    case NodeKind::shelf:
        if (holder == Holder::ware) {
            if (present(child(node, 1))) {
                report(DiagnosticKind::one_value, child(node, 1),
                       "`shelf` of ware is a name alone; how much hotter it is, the kiln says");
            }
            break;
        }
        if (!only_in(Holder::kiln, "shelf"))
            break;
        if (!present(child(node, 1))) {
            report(DiagnosticKind::missing_value, node,
                   "how much hotter or colder than the sensor is this shelf?")
                .mend(fmt::format("write `shelf {} 5dC`, or 0dC", source(child(node, 0))));
            break;
        }
        require_difference(child(node, 1), "a shelf");
        break;
    case NodeKind::control:
        if (only_in(Holder::kiln, "control")) {
            const TypeId type = check_type(child(node, 1));
            set(child(node, 1), type);
        }
        break;
    case NodeKind::price:
        if (!only_in(Holder::tariff, "price"))
            break;
        require(child(node, 0), Types::price, "a price");
        for (std::uint32_t i : {1u, 2u}) {
            if (present(child(node, i))) {
                require(child(node, i), Types::clock, "the hours of a price");
            }
        }
        break;
    case NodeKind::start_delay:
        if (only_in(Holder::controller, "start_delay")) {
            require(child(node, 0), Types::duration, "`start_delay`");
        }
        break;
    case NodeKind::fires:
        if (!only_in(Holder::glaze, "fires"))
            break;
        require(child(node, 0), types_.range_of(Types::cone), "`fires`");
        if (present(child(node, 1))) {
            check_choice_slot(child(node, 1), types_.choice_of({"oxidation", "reduction"}));
        }
        break;
    case NodeKind::analysis:
        if (!only_in(Holder::material, "analysis"))
            break;
        for (std::uint32_t i = 0; i < count(node); ++i) {
            const NodeId part = child(node, i);
            if (kind(part) == NodeKind::ingredient) {
                require(child(part, 1), Types::fraction, "the share of an oxide");
            }
        }
        break;
    case NodeKind::recipe:
    case NodeKind::add: {
        if (!only_in(Holder::glaze, kind(node) == NodeKind::add ? "add" : "recipe"))
            break;
        const NodeId block = child(node, 0);
        for (std::uint32_t i = 0; i < count(block); ++i) {
            const NodeId part = child(block, i);
            if (kind(part) != NodeKind::ingredient)
                continue;
            const DeclarationId id = find_path(child(part, 0), "a material");
            if (id != none) {
                if (program_.declarations[id].type != types_.profile(ProfileKind::material)) {
                    report(DiagnosticKind::wrong_type, child(part, 0),
                           fmt::format("`{}` is not a material", source(child(part, 0))));
                } else {
                    set(child(part, 0), program_.declarations[id].type, RefKind::declaration, id);
                    depend_on(id, child(part, 0));
                }
            }
            require(child(part, 1), Types::number, "the parts of a material");
        }
        break;
    }
    case NodeKind::error:
    case NodeKind::absent: break;
    default:
        report(DiagnosticKind::misplaced_statement, node,
               fmt::format("this does not belong in a {}", to_string(holder)));
    }
}

// --- rules, tests, memory, libraries ---

void Checker::check_rule(DeclarationId id) {
    frame_->in_rule = true;
    const Declaration declaration = program_.declarations[id];
    if (present(child(declaration.node, 3))) {
        require(child(declaration.node, 3), Types::text, "a title");
    }
    const NodeId block = child(declaration.node, 4);
    if (kind(block) != NodeKind::block)
        return;
    bool has_check = false, has_level = false, has_because = false, has_source = false;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        switch (kind(item)) {
        case NodeKind::level:
            has_level = true;
            check_choice_slot(child(item, 0), types_.choice_of({"error", "caution", "advice"}));
            break;
        case NodeKind::applies: require(child(item, 0), Types::yes_no, "`applies when`"); break;
        case NodeKind::check:
            has_check = true;
            require(child(item, 0), Types::yes_no, "`check`");
            break;
        case NodeKind::because: has_because = true; [[fallthrough]];
        case NodeKind::remedy:
        case NodeKind::source:
        case NodeKind::about:
            has_source = has_source || kind(item) == NodeKind::source;
            require(child(item, 0), Types::text, "this part of a rule");
            break;
        case NodeKind::waivable: require(child(item, 0), Types::yes_no, "`waivable`"); break;
        case NodeKind::let: {
            const TypeId type = expression(child(item, 1));
            set(item, type, RefKind::local, add_local(child(item, 0), type));
            break;
        }
        case NodeKind::error:
        case NodeKind::absent: break;
        default: misplaced(item, "a rule has level, applies when, check, because, remedy, source");
        }
    }
    const NodeId word = child(declaration.node, 0);
    const auto missing = [&](bool has, std::string_view part, std::string_view mend) {
        if (has)
            return;
        report(DiagnosticKind::incomplete_rule, word,
               fmt::format("rule `{}` has no `{}`", source(word), part))
            .mend(std::string(mend));
    };
    missing(has_check, "check", "say what must hold: `check fastest_rise(540C, 630C) <= 150C/h`");
    missing(has_level, "level", "write `level error`, `level caution` or `level advice`");
    missing(has_because, "because", "say why, for the person who reads the message");
    missing(has_source, "source",
            "say where the figure is from; a rule of thumb says `source \"common practice\"`");
    leave_scope(0);
}

void Checker::check_test(DeclarationId id) {
    frame_->in_test = true;
    const Declaration declaration = program_.declarations[id];
    require(child(declaration.node, 0), Types::text, "the title of a test");
    const NodeId block = child(declaration.node, 1);
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        switch (kind(item)) {
        case NodeKind::expect: require(child(item, 0), Types::yes_no, "`expect`"); break;
        case NodeKind::let: {
            const TypeId type = expression(child(item, 1));
            set(item, type, RefKind::local, add_local(child(item, 0), type));
            break;
        }
        case NodeKind::error:
        case NodeKind::absent: break;
        default: misplaced(item, "a test has `let` and `expect` lines");
        }
    }
    leave_scope(0);
}

void Checker::check_memory(DeclarationId id) {
    const Declaration declaration = program_.declarations[id];
    frame_->in_test = true; // firings may be named
    const NodeId path = child(declaration.node, 1);
    const DeclarationId kiln = find_path(path, "a kiln");
    if (kiln != none && program_.declarations[kiln].type != types_.profile(ProfileKind::kiln)) {
        report(DiagnosticKind::wrong_type, path, fmt::format("`{}` is not a kiln", source(path)));
    } else if (kiln != none) {
        set(path, program_.declarations[kiln].type, RefKind::declaration, kiln);
        depend_on(kiln, path);
    }
    const NodeId block = child(declaration.node, 2);
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        if (kind(item) != NodeKind::memory_slot)
            continue;
        require(child(item, 0), Types::number, "the number of a stored program");
        require(child(item, 1), Types::firing, "a stored program");
    }
}

void Checker::check_library(ModuleId module, NodeId node) {
    const std::string& path = (*program_.sources)[program_.modules[module].file].path();
    const std::string_view file = std::string_view(path).substr(path.rfind('/') + 1);
    if (file != "library.fettle") {
        report(DiagnosticKind::misplaced_statement, node,
               "a library is declared in a file of its own")
            .mend("move it to `library.fettle` at the root of the library");
        return;
    }
    const NodeId block = child(node, 1);
    if (kind(block) != NodeKind::block)
        return;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        switch (kind(item)) {
        case NodeKind::field: check_field(Holder::library, item); break;
        case NodeKind::about: require(child(item, 0), Types::text, "`about`"); break;
        case NodeKind::needs: {
            const NodeId name = child(item, 0);
            if (source(name) != "std") {
                report(DiagnosticKind::not_yet_supported, item,
                       "libraries that need other libraries are not yet supported");
            }
            break;
        }
        case NodeKind::error:
        case NodeKind::absent: break;
        default: misplaced(item, "a library has version, licence, about and needs");
        }
    }
}

// --- order ---

std::vector<DeclarationId> Checker::needs(DeclarationId id) const {
    std::vector<DeclarationId> all;
    for (const Edge& edge : edges_[id])
        all.push_back(edge.to);
    return all;
}

std::vector<DeclarationId> Checker::in_order_of_dependence() {
    const std::size_t size = program_.declarations.size();
    std::vector<DeclarationId> order;
    order.reserve(size);
    std::vector<std::uint8_t> mark(size, 0); // 0 new, 1 on the path, 2 done
    struct Step {
        DeclarationId id;
        std::size_t next;
    };
    std::vector<Step> path; // an own stack: chains may be long
    for (DeclarationId first = 0; first < size; ++first) {
        if (mark[first] != 0)
            continue;
        path.push_back({first, 0});
        mark[first] = 1;
        while (!path.empty()) {
            Step& step = path.back();
            if (step.next == edges_[step.id].size()) {
                for (const Edge& edge : edges_[step.id]) {
                    if (!program_.declarations[edge.to].usable) {
                        program_.declarations[step.id].usable = false;
                    }
                }
                mark[step.id] = 2;
                order.push_back(step.id);
                path.pop_back();
                continue;
            }
            const Edge& edge = edges_[step.id][step.next++];
            if (mark[edge.to] == 0) {
                mark[edge.to] = 1;
                path.push_back({edge.to, 0});
            } else if (mark[edge.to] == 1) {
                std::size_t from = path.size();
                while (path[from - 1].id != edge.to)
                    --from;
                std::string cycle;
                for (std::size_t i = from - 1; i < path.size(); ++i) {
                    cycle +=
                        fmt::format("{} → ", program_.name(program_.declarations[path[i].id].name));
                }
                const std::string_view start = program_.name(program_.declarations[edge.to].name);
                Diagnostic& d = diagnostics_.report(
                    DiagnosticKind::cycle, edge.where,
                    from == path.size()
                        ? fmt::format("`{}` needs itself, so it would never end", start)
                        : fmt::format("these need one another, so none would ever end: {}{}", cycle,
                                      start));
                for (std::size_t i = from - 1; i + 1 < path.size(); ++i) {
                    const Edge& link = edges_[path[i].id][path[i].next - 1];
                    d.note(link.where,
                           fmt::format("`{}` needs `{}` here",
                                       program_.name(program_.declarations[path[i].id].name),
                                       program_.name(program_.declarations[link.to].name)));
                }
                for (std::size_t i = from - 1; i < path.size(); ++i) {
                    program_.declarations[path[i].id].usable = false;
                }
            }
        }
    }
    return order;
}

} // namespace fettle
