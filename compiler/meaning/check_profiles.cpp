// Profiles: their fields and the other lines that they may hold.
#include "compiler/meaning/checker.h"
#include "compiler/meaning/prices.h"
#include "compiler/source/nearest.h"
#include "compiler/units/version.h"

namespace fettle {

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
    if (count(node) > 2 && field.shape != FieldShape::choices &&
        field.shape != FieldShape::profiles) {
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
    case FieldShape::profiles: require(value, types_.profile(field.profile), what); break;
    case FieldShape::version:
        if (kind(value) != NodeKind::version || !parse_version(source(value)))
            report(DiagnosticKind::wrong_type, value, "a version is three numbers, such as 1.2.0");
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
        if (const NodeId days = child(node, 3); present(days)) {
            for (std::uint32_t i = 0; i < count(days); ++i)
                check_choice_slot(child(days, i), types_.choice_of(day_words()));
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
        check_analysis(node);
        break;
    case NodeKind::recipe:
    case NodeKind::add:
        if (only_in(Holder::glaze, kind(node) == NodeKind::add ? "add" : "recipe"))
            check_recipe(child(node, 0), kind(node) == NodeKind::recipe);
        break;
    case NodeKind::error:
    case NodeKind::absent: break;
    default:
        report(DiagnosticKind::misplaced_statement, node,
               fmt::format("this does not belong in a {}", to_string(holder)));
    }
}

void Checker::check_analysis(NodeId node) {
    const ChemistryTables& tables = chemistry_.tables();
    for (std::uint32_t i = 0; i < count(node); ++i) {
        const NodeId part = child(node, i);
        if (kind(part) != NodeKind::ingredient)
            continue;
        const std::string_view name = source(child(part, 0));
        require(child(part, 1), Types::fraction, "the share of an oxide");
        if (tables.find_oxide(name) != no_oxide || tables.find_form(name) != nullptr)
            continue;
        Diagnostic& d = report(DiagnosticKind::unknown_oxide, child(part, 0),
                               fmt::format("`{}` is no oxide of an analysis", name));
        if (name == "LOI" || name == "H2O" || name == "CO2" || name == "SO3") {
            d.mend("what leaves in the fire is written as `loss`, on a line of its own");
        } else if (const auto near = nearest(name, tables.analysis_names())) {
            d.mend(fmt::format("did you mean `{}`?", *near), tree().span(child(part, 0)),
                   std::string(*near));
        }
    }
    check_written_once(node);
}

void Checker::check_recipe(NodeId block, bool may_blend) {
    NodeId blend = none;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId part = child(block, i);
        if (blend != none && kind(part) != NodeKind::error) {
            report(DiagnosticKind::misplaced_statement, part,
                   "what every member of a family has stands before its `for each` or `when`")
                .note(tree().span(blend), "the members are made here");
            return;
        }
        switch (kind(part)) {
        case NodeKind::ingredient: check_ingredient(part); break;
        case NodeKind::for_each: {
            blend = part;
            const TypeId type = expression(child(part, 1));
            TypeId element = Types::poison;
            if (types_.kind(type) == TypeKind::list) {
                element = types_[type].element;
            } else if (type != Types::poison) {
                mismatch(child(part, 1), types_.list_of(Types::number), type, "`for each … in`");
            }
            const std::size_t locals = frame_->locals.size();
            set(part, element, RefKind::local, add_local(child(part, 0), element));
            check_recipe(child(part, 2), may_blend);
            leave_scope(locals);
            break;
        }
        case NodeKind::when:
            blend = part;
            condition(child(part, 0));
            check_recipe(child(part, 1), may_blend);
            break;
        default: break;
        }
        if (blend == part && !may_blend) {
            report(DiagnosticKind::misplaced_statement, part,
                   "a family is made in the `recipe` of a glaze, not in what is added");
            return;
        }
    }
    check_written_once(block);
}

void Checker::check_ingredient(NodeId part) {
    const NodeId name = child(part, 0);
    const DeclarationId id = find_path(name, "a material");
    if (id != none) {
        const TypeId type = program_.declarations[id].type;
        if (type != types_.profile(ProfileKind::material) &&
            type != types_.profile(ProfileKind::glaze)) {
            report(DiagnosticKind::wrong_type, name,
                   fmt::format("`{}` is neither a material nor a glaze", source(name)));
        } else {
            set(name, type, RefKind::declaration, id);
            depend_on(id, name);
        }
    }
    require(child(part, 1), Types::number, "the parts of a material");
}

// Each oxide of an analysis and each material of a recipe has one line.
void Checker::check_written_once(NodeId list) {
    for (std::uint32_t i = 0; i < count(list); ++i) {
        for (std::uint32_t k = 0; k < i; ++k) {
            const NodeId part = child(list, i), before = child(list, k);
            if (kind(part) != NodeKind::ingredient || kind(before) != NodeKind::ingredient ||
                source(child(part, 0)) != source(child(before, 0))) {
                continue;
            }
            report(DiagnosticKind::field_twice, child(part, 0),
                   fmt::format("`{}` is written twice", source(child(part, 0))))
                .note(tree().span(child(before, 0)), "the first is here");
            break;
        }
    }
}

} // namespace fettle
