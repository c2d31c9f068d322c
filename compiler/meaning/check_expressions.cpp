// Expressions as a whole, names and fields in them.
#include "compiler/meaning/checker.h"
#include "compiler/source/nearest.h"

#include <algorithm>

namespace fettle {

TypeId Checker::expression(NodeId node, TypeId hint) {
    switch (kind(node)) {
    case NodeKind::number:
    case NodeKind::quantity:
    case NodeKind::clock:
    case NodeKind::cone:
    case NodeKind::yes:
    case NodeKind::no: return literal(node);
    case NodeKind::text: return text(node);
    case NodeKind::name: return name(node, hint);
    case NodeKind::field_access: return field_access(node);
    case NodeKind::call: return call(node);
    case NodeKind::list_literal: return list(node, hint);
    case NodeKind::paren: return set(node, expression(child(node, 0), hint));
    case NodeKind::negate: return unary_minus(node);
    case NodeKind::not_: condition(child(node, 0)); return set(node, Types::yes_no);
    case NodeKind::binary: return binary(node);
    case NodeKind::range: return range(node, hint);
    case NodeKind::conditional: return conditional(node, hint);
    case NodeKind::within_range: {
        const TypeId x = expression(child(node, 0));
        require(child(node, 1), types_.range_of(x), "`within`");
        return set(node, Types::yes_no);
    }
    case NodeKind::within_of: {
        const TypeId x = expression(child(node, 0));
        const TypeId tolerance =
            x == Types::temperature ? Types::difference : (x == Types::cone ? Types::poison : x);
        if (x == Types::cone || x == Types::target) {
            report(DiagnosticKind::wrong_type, child(node, 0),
                   "cones have no distance between them; compare them with <, > or `is`");
        } else if (tolerance == Types::difference) {
            require_difference(child(node, 1), "`within`");
        } else {
            require(child(node, 1), tolerance, "`within`");
        }
        require(child(node, 2), x, "`of`");
        return set(node, Types::yes_no);
    }
    case NodeKind::keeps_rules:
    case NodeKind::breaks_rule: {
        if (!frame_->in_test) {
            report(DiagnosticKind::only_in_tests, node, "rules are asked about only in tests");
            return set(node, Types::yes_no);
        }
        require(child(node, 0), Types::firing, "this");
        if (kind(node) == NodeKind::breaks_rule) {
            rule_name(child(node, 1));
        }
        return set(node, Types::yes_no);
    }
    default: return Types::poison; // absent, error: reported by the parser
    }
}

// Rules of the standard library are always on and need no `use`; the limits of bodies and kilns are
// rules without a declaration.
void Checker::rule_name(NodeId node) {
    NodeId word = node;
    if (kind(node) == NodeKind::path && count(node) > 0)
        word = child(node, count(node) - 1);
    if (kind(word) != NodeKind::word)
        return;
    const NameId id = intern(word);
    set(node, Types::poison, RefKind::word, id);
    mark_imported(frame_->module_id, id);
    std::vector<std::string_view> names = {"body_limit", "kiln_limit"};
    for (const Declaration& declaration : program_.declarations) {
        if (declaration.kind == DeclarationKind::rule) {
            names.push_back(program_.name(declaration.name));
        }
    }
    if (std::find(names.begin(), names.end(), source(word)) != names.end())
        return;
    Diagnostic& d = report(DiagnosticKind::unknown_name, word,
                           fmt::format("no rule is called `{}`", source(word)));
    if (const auto near = nearest(source(word), names)) {
        d.mend(fmt::format("did you mean `{}`?", *near), tree().span(word), std::string(*near));
    }
}

TypeId Checker::name(NodeId node, TypeId hint) {
    if (types_.kind(hint) == TypeKind::list)
        hint = types_[hint].element;
    const NameId id = intern(node);
    if (types_.kind(hint) == TypeKind::choice) {
        const auto& words = types_[hint].words;
        if (std::find(words.begin(), words.end(), id) != words.end()) {
            return set(node, hint, RefKind::word, id);
        }
    }
    const Meaning meaning = look_up(id);
    switch (meaning.kind) {
    case RefKind::local: {
        const Local& local = frame_->locals[meaning.index];
        return set(node, local.type, RefKind::local, local.slot);
    }
    case RefKind::declaration: return use_declaration(node, meaning.index);
    case RefKind::environment: {
        constexpr ProfileKind kinds[] = {ProfileKind::body, ProfileKind::body, ProfileKind::kiln,
                                         ProfileKind::glaze, ProfileKind::controller};
        return set(node, meaning.index == 0 ? Types::ware : types_.profile(kinds[meaning.index]),
                   RefKind::environment, meaning.index);
    }
    case RefKind::builtin: {
        const Builtin& builtin = builtins()[meaning.index];
        if (builtin.of_curve && !frame_->in_rule) {
            report(
                DiagnosticKind::only_in_rules, node,
                fmt::format("`{}` asks about a finished curve, which only rules can", source(node)))
                .mend("in a test, write it after a firing: `mugs." + std::string(source(node)) +
                      "`");
            return Types::poison;
        }
        if (!builtin.parameters.empty() || builtin.any_number) {
            report(DiagnosticKind::missing_arguments, node,
                   fmt::format("`{}` needs its arguments in parentheses", source(node)));
            return Types::poison;
        }
        return set(node, builtin.result, RefKind::builtin, meaning.index);
    }
    default: break;
    }
    if (meaning.reported)
        return Types::poison;
    if (meaning.alias != none) {
        report(DiagnosticKind::wrong_type, node,
               fmt::format("`{}` is a module; name something in it", source(node)));
        return Types::poison;
    }
    report_unknown_name(node, source(node), hint);
    return Types::poison;
}

TypeId Checker::use_declaration(NodeId node, DeclarationId id) {
    const Declaration& declaration = program_.declarations[id];
    switch (declaration.kind) {
    case DeclarationKind::constant:
        if (state_[id] == 0)
            check_body(id);
        depend_on(id, node);
        return set(node, program_.declarations[id].type, RefKind::declaration, id);
    case DeclarationKind::profile:
        depend_on(id, node);
        return set(node, declaration.type, RefKind::declaration, id);
    case DeclarationKind::firing:
        if (!frame_->in_test) {
            report(
                DiagnosticKind::only_in_tests, node,
                fmt::format("`{}` is a firing; a firing is a value only in tests", source(node)));
            return Types::poison;
        }
        depend_on(id, node);
        return set(node, Types::firing, RefKind::declaration, id);
    case DeclarationKind::function:
    case DeclarationKind::template_:
        report(DiagnosticKind::missing_arguments, node,
               fmt::format("`{}` is a {}: give it its arguments in parentheses", source(node),
                           to_string(declaration.kind)));
        return Types::poison;
    default:
        report(DiagnosticKind::wrong_type, node,
               fmt::format("`{}` is a {}, which is no value", source(node),
                           to_string(declaration.kind)));
        return Types::poison;
    }
}

TypeId Checker::field_access(NodeId node) {
    const NodeId left = child(node, 0);
    const NodeId word = child(node, 1);
    if (kind(word) != NodeKind::word)
        return Types::poison;
    if (kind(left) == NodeKind::name) { // module.name
        const Meaning meaning = look_up(intern(left));
        if (meaning.reported)
            return Types::poison;
        if (meaning.alias != none) {
            const std::uint32_t found = program_.visible.find(meaning.alias, intern(word));
            if (found == PairMap::none || program_.declarations[found].module != meaning.alias) {
                report_not_in_module(word, meaning.alias);
                return Types::poison;
            }
            if (!visible_from(frame_->module_id, program_.declarations[found])) {
                report(DiagnosticKind::private_name, word,
                       fmt::format("`{}` is private to its library", source(word)));
                return Types::poison;
            }
            return use_declaration(node, found);
        }
    }
    const TypeId type = expression(left);
    if (type == Types::poison)
        return type;
    Holder holder;
    switch (types_.kind(type)) {
    case TypeKind::profile: holder = holder_of(types_[type].profile); break;
    case TypeKind::ware: holder = Holder::ware; break;
    case TypeKind::firing: holder = Holder::firing; break;
    case TypeKind::unity: return oxide_of_unity(node, word);
    default:
        report(DiagnosticKind::no_fields, word,
               fmt::format("{} has no fields, so no `{}`", types_.describe(type), source(word)));
        return Types::poison;
    }
    const int index = field_index(holder, source(word));
    if (index < 0) {
        Diagnostic& d = report(DiagnosticKind::unknown_field, word,
                               fmt::format("a {} has no `{}`", to_string(holder), source(word)));
        std::vector<std::string_view> names;
        for (const Field& field : fields_of(holder))
            names.push_back(field.name);
        if (const auto near = nearest(source(word), names)) {
            d.mend(fmt::format("did you mean `{}`?", *near), tree().span(word), std::string(*near));
        }
        return Types::poison;
    }
    return set(node, field_type(fields_of(holder)[static_cast<std::size_t>(index)], types_),
               RefKind::field, static_cast<std::uint32_t>(index));
}

TypeId Checker::oxide_of_unity(NodeId node, NodeId word) {
    const ChemistryTables& tables = chemistry_.tables();
    const OxideId oxide = tables.find_oxide(source(word));
    if (oxide != no_oxide)
        return set(node, Types::number, RefKind::oxide, oxide);
    if (source(word) == alkalis_together) {
        return set(node, Types::number, RefKind::oxide,
                   static_cast<std::uint32_t>(tables.oxides.size()));
    }
    std::vector<std::string_view> names;
    for (const Oxide& known : tables.oxides)
        names.push_back(known.name);
    names.push_back(alkalis_together);
    Diagnostic& d = report(DiagnosticKind::unknown_oxide, word,
                           fmt::format("a unity formula has no `{}`", source(word)));
    if (const auto near = nearest(source(word), names))
        d.mend(fmt::format("did you mean `{}`?", *near), tree().span(word), std::string(*near));
    return Types::poison;
}

} // namespace fettle
