#include "compiler/meaning/checker.h"
#include "compiler/meaning/text_layout.h"
#include "compiler/source/nearest.h"

#include <algorithm>
#include <charconv>

namespace fettle {
namespace {

// The text of a literal with its scale letter turned into that of a difference: "5C" -> "5dC".
std::string as_difference(std::string_view literal) {
    const std::size_t letter = literal.find_first_not_of("+-.0123456789");
    if (letter == std::string_view::npos)
        return std::string(literal);
    std::string_view unit = literal.substr(letter);
    if (unit.substr(0, 2) == "\xC2\xB0" || unit.substr(0, 2) == "\xC2\xBA")
        unit.remove_prefix(2);
    return std::string(literal.substr(0, letter)) + "d" + std::string(unit);
}

} // namespace

NodeId Checker::unwrap(NodeId node) const {
    while (kind(node) == NodeKind::paren)
        node = child(node, 0);
    return node;
}

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

void Checker::condition(NodeId node) {
    require(node, Types::yes_no, "a condition");
}

TypeId Checker::require(NodeId node, TypeId expected, std::string_view what) {
    const TypeId actual = expression(node, expected);
    if (!types_.accepts(expected, actual)) {
        mismatch(node, expected, actual, what);
        return Types::poison;
    }
    return actual;
}

TypeId Checker::require_difference(NodeId node, std::string_view what) {
    const NodeId inner = unwrap(node);
    if (kind(inner) == NodeKind::quantity) {
        const auto parsed = parse_quantity(as_difference(source(inner)));
        if (const auto* quantity = std::get_if<Quantity>(&parsed);
            quantity != nullptr && quantity->dimension == dimension::difference) {
            set_literal(inner, Types::difference, Value::quantity(quantity->value, quantity->unit));
            for (NodeId n = node; n != inner; n = child(n, 0))
                set(n, Types::difference);
            return Types::difference;
        }
    }
    return require(node, Types::difference, what);
}

void Checker::mismatch(NodeId node, TypeId expected, TypeId actual, std::string_view what) {
    const NodeId inner = unwrap(node);
    const std::string_view written = source(inner);
    const auto is_quantity = [&](TypeId type) { return types_.kind(type) == TypeKind::quantity; };
    TypeId wanted = expected;
    if (types_.kind(wanted) == TypeKind::range)
        wanted = types_[wanted].element;
    if (actual == Types::number && kind(inner) == NodeKind::number && wanted != Types::fraction &&
        (is_quantity(wanted) || wanted == Types::target || wanted == Types::cone)) {
        struct Units {
            TypeId type;
            std::string_view first, second;
        };
        constexpr Units units[] = {
            {Types::temperature, "{}C", "{}F"}, {Types::target, "{}C", "{}F"},
            {Types::cone, "cone {}", ""},       {Types::difference, "{}dC", "{}dF"},
            {Types::rate, "{}C/h", "{}F/h"},    {Types::duration, "{}m", "{}h"},
            {Types::length, "{}mm", "{}in"},    {Types::mass, "{}kg", "{}lb"},
            {Types::volume, "{}L", "{}ft3"},    {Types::power, "{}kW", ""},
            {Types::energy, "{}kWh", ""},       {Types::pressure, "{}kPa", "{}psi"},
            {Types::price, "{}/kWh", ""}};
        for (const Units& unit : units) {
            if (unit.type != wanted)
                continue;
            std::string first = fmt::format(fmt::runtime(unit.first), written);
            Diagnostic& d = report(DiagnosticKind::missing_unit, inner,
                                   fmt::format("{} what? {} needs a unit", written, what));
            d.mend(fmt::format("write `{}`", first), tree().span(inner), first);
            if (!unit.second.empty()) {
                std::string second = fmt::format(fmt::runtime(unit.second), written);
                d.mend(fmt::format("or `{}`", second), tree().span(inner), second);
            }
            return;
        }
    }
    if (wanted == Types::rate && (actual == Types::temperature || actual == Types::difference) &&
        kind(inner) == NodeKind::quantity) {
        std::string rate(written);
        if (const std::size_t d = rate.find('d'); d != std::string::npos)
            rate.erase(d, 1);
        rate += "/h";
        report(DiagnosticKind::missing_time, inner,
               fmt::format("{} is {}, but {} needs degrees per hour or per minute", written,
                           types_.describe(actual), what))
            .mend(fmt::format("write `{}`", rate), tree().span(inner), rate);
        return;
    }
    if (wanted == Types::temperature && actual == Types::cone) {
        report(DiagnosticKind::wrong_type, inner,
               fmt::format(
                   "{} is a cone, but {} needs a temperature; when a cone falls depends on how "
                   "fast the kiln climbs too",
                   written, what))
            .mend(fmt::format("write `temperature({}, at: 60C/h)` for its end point at that rate",
                              written),
                  tree().span(inner), fmt::format("temperature({}, at: 60C/h)", written));
        return;
    }
    if ((wanted == Types::temperature || wanted == Types::target) && actual == Types::difference) {
        report(DiagnosticKind::wrong_type, inner,
               fmt::format("{} is a step between two temperatures, but {} needs a temperature",
                           written, what));
        return;
    }
    if (wanted == Types::difference && actual == Types::temperature) {
        report(
            DiagnosticKind::wrong_type, inner,
            fmt::format("{} is a temperature, but {} needs a difference between two, such as 20dC",
                        written, what));
        return;
    }
    if (wanted == Types::fraction && actual == Types::number) {
        Diagnostic& d = report(
            DiagnosticKind::missing_unit, inner,
            kind(inner) == NodeKind::number
                ? fmt::format("{} what? {} is a share and needs a percent sign", written, what)
                : fmt::format("{} is a share, but this is a plain number", what));
        if (kind(inner) == NodeKind::number) {
            d.mend(fmt::format("write `{}%`", written), tree().span(inner),
                   fmt::format("{}%", written));
        }
        return;
    }
    constexpr std::size_t long_source = 30; // from here on the mark below it shows it better
    const bool short_source =
        written.size() < long_source && written.find('\n') == std::string_view::npos;
    Diagnostic& d = report(DiagnosticKind::wrong_type, node,
                           fmt::format("{} is {}, but {} needs {}", short_source ? written : "this",
                                       types_.describe(actual), what, types_.describe(expected)));
    mend_minutes(d, node, actual, wanted);
    if (const std::string example = types_.example(expected); d.mends.empty() && !example.empty())
        d.note(fmt::format("for example {}", example));
}

// The cones next to one that there is not.
void Checker::mend_cone(Diagnostic& d, NodeId node, std::string_view number) {
    int wrong = 0;
    std::from_chars(number.data(), number.data() + number.size(), wrong);
    const std::string_view zero = number.substr(0, 1) == "0" ? "0" : "";
    for (const int way : {-1, 1}) {
        for (int distance = 1; distance <= 3; ++distance) {
            const std::string near = fmt::format("{}{}", zero, wrong + way * distance);
            if (wrong + way * distance < 1 || !parse_cone(near))
                continue;
            d.mend(fmt::format("write `cone {}` if that is meant", near), tree().span(node),
                   fmt::format("cone {}", near));
            break;
        }
    }
}

TypeId Checker::literal(NodeId node) {
    const std::string_view written = source(node);
    switch (kind(node)) {
    case NodeKind::yes:
    case NodeKind::no:
        return set_literal(node, Types::yes_no, Value::yes_no(kind(node) == NodeKind::yes));
    case NodeKind::clock: {
        const auto clock = parse_clock(written);
        if (!clock) {
            report(DiagnosticKind::bad_clock, node,
                   fmt::format("{} is no time of day; it goes from 0:00 to 23:59", written));
            return Types::poison;
        }
        return set_literal(node, Types::clock, Value::of(ValueKind::clock, *clock));
    }
    case NodeKind::cone: {
        std::string_view number = written;
        if (const std::size_t digit = number.find_first_of("0123456789"); digit != number.npos) {
            number.remove_prefix(digit);
        }
        const auto position = parse_cone(number);
        if (!position) {
            Diagnostic& d =
                report(DiagnosticKind::unknown_cone, node, fmt::format("there is no {}", written));
            mend_cone(d, node, number);
            d.note(
                "cones run from 022, the coolest, to 01, and from 1 to 42; there is no 21, 22, 24 "
                "or 25");
            return Types::poison;
        }
        return set_literal(node, Types::cone, Value::of(ValueKind::cone, *position));
    }
    default: break;
    }
    const auto parsed = parse_quantity(written);
    if (const auto* quantity = std::get_if<Quantity>(&parsed)) {
        return set_literal(node, types_.quantity(quantity->dimension),
                           Value::quantity(quantity->value, quantity->unit));
    }
    const auto& problem = std::get<LiteralProblem>(parsed);
    const Span whole = tree().span(node);
    const Span part{whole.file, whole.begin + problem.begin, whole.begin + problem.end};
    const std::string_view bad = written.substr(problem.begin, problem.end - problem.begin);
    switch (problem.kind) {
    case LiteralProblem::Kind::unknown_unit: {
        Diagnostic& d = report(DiagnosticKind::unknown_unit, part,
                               fmt::format("`{}` is no unit that Fettle knows", bad));
        if (!problem.suggestion.empty()) {
            d.mend(fmt::format("did you mean `{}`?", problem.suggestion), part, problem.suggestion);
        }
        break;
    }
    case LiteralProblem::Kind::several_units:
        report(DiagnosticKind::bad_quantity, node,
               fmt::format("the parts of {} can't be added up", written));
        break;
    case LiteralProblem::Kind::below_absolute_zero:
        report(DiagnosticKind::below_absolute_zero, node,
               fmt::format("{} is below absolute zero (-273.15C)", written));
        break;
    case LiteralProblem::Kind::too_large:
        report(DiagnosticKind::bad_quantity, node, fmt::format("{} is too large", written));
        break;
    case LiteralProblem::Kind::not_a_number:
        if (written.size() > 1 && written[0] == '0' && written[1] >= '0' && written[1] <= '9') {
            const std::string plain(written.substr(written.find_first_not_of('0')));
            report(DiagnosticKind::leading_zero, node,
                   fmt::format("{} starts with a zero, which only cones do", written))
                .mend(fmt::format("write `{}`", plain), whole, plain);
            break;
        }
        report(DiagnosticKind::bad_quantity, node, fmt::format("{} is no number", written));
        break;
    }
    return Types::poison;
}

TypeId Checker::text(NodeId node) {
    TextParts parts;
    for (std::uint32_t i = 0; i < count(node); ++i) {
        const NodeId part = child(node, i);
        if (kind(part) == NodeKind::text_part) {
            parts.emplace_back(source(part));
        } else {
            parts.emplace_back();
            expression(part);
        }
    }
    const bool several_lines = source(node).substr(0, 3) == "\"\"\"";
    const std::vector<std::string> lines =
        several_lines ? laid_out(parts) : std::vector<std::string>();
    for (std::uint32_t i = 0; i < count(node); ++i) {
        if (!parts[i])
            continue;
        if (several_lines) {
            set_literal(child(node, i), Types::text,
                        Value::text(frame_->module->texts->copy(lines[i])));
        } else if (parts[i]->find('\\') != std::string_view::npos) {
            set_literal(child(node, i), Types::text,
                        Value::text(frame_->module->texts->copy(without_escapes(*parts[i]))));
        } else {
            set_literal(child(node, i), Types::text, Value::text(*parts[i]));
        }
    }
    return set(node, Types::text);
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
    case TypeKind::unity: return set(node, Types::number, RefKind::oxide, intern(word));
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

// --- calls ---

std::optional<CallInfo> Checker::bind_arguments(NodeId node, const std::vector<Wanted>& wanted,
                                                std::string_view callee,
                                                DeclarationId declaration) {
    std::vector<NodeId> bound(wanted.size(), none);
    std::size_t position = 0;
    bool ok = true;
    const std::uint32_t given = kind(node) == NodeKind::call ? count(node) - 1 : 0;
    for (std::uint32_t i = 0; i < given; ++i) {
        const NodeId argument = child(node, i + 1);
        if (kind(argument) != NodeKind::argument) { // did not parse
            ok = false;
            ++position;
            continue;
        }
        const NodeId label = child(argument, 0);
        std::size_t at = position;
        if (present(label)) {
            at = 0;
            while (at < wanted.size() && wanted[at].name != source(label))
                ++at;
            if (at == wanted.size()) {
                Diagnostic& d =
                    report(DiagnosticKind::unknown_argument, label,
                           fmt::format("`{}` has no parameter `{}`", callee, source(label)));
                std::vector<std::string_view> names;
                for (const Wanted& each : wanted)
                    names.push_back(each.name);
                if (const auto near = nearest(source(label), names)) {
                    d.mend(fmt::format("did you mean `{}`?", *near), tree().span(label),
                           std::string(*near));
                }
                ok = false;
                expression(child(argument, 1));
                continue;
            }
        } else {
            ++position;
        }
        if (at >= wanted.size()) {
            Diagnostic& d = report(
                DiagnosticKind::too_many_arguments, argument,
                wanted.empty() ? fmt::format("`{}` takes no arguments", callee)
                               : fmt::format("this is one too many: `{}` takes {} argument{}",
                                             callee, wanted.size(), wanted.size() == 1 ? "" : "s"));
            if (declaration != none) {
                const Declaration& other = program_.declarations[declaration];
                d.note(program_.span(other.module,
                                     program_.modules[other.module].child(other.node, 0)),
                       "it is declared here");
            }
            return std::nullopt;
        }
        if (bound[at] != none) {
            report(DiagnosticKind::argument_twice, argument,
                   fmt::format("`{}` is given twice", wanted[at].name))
                .note(tree().span(bound[at]), "the first is here");
            ok = false;
            continue;
        }
        bound[at] = child(argument, 1);
    }
    std::string missing;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (bound[i] != none || wanted[i].has_default)
            continue;
        missing += fmt::format("{}`{}`", missing.empty() ? "" : ", ", wanted[i].name);
    }
    if (!missing.empty() && ok) {
        Diagnostic& d = report(DiagnosticKind::missing_arguments, node,
                               fmt::format("`{}` still needs {}", callee, missing));
        if (declaration != none) {
            const Declaration& other = program_.declarations[declaration];
            d.note(program_.span(other.module, program_.modules[other.module].child(other.node, 0)),
                   "it is declared here");
        }
        return std::nullopt;
    }
    if (!ok)
        return std::nullopt;
    CallInfo info;
    info.first_argument = static_cast<std::uint32_t>(frame_->module->arguments.size());
    info.argument_count = static_cast<std::uint32_t>(bound.size());
    frame_->module->arguments.insert(frame_->module->arguments.end(), bound.begin(), bound.end());
    return info;
}

TypeId Checker::call(NodeId node, bool as_phase) {
    const NodeId callee = kind(node) == NodeKind::call ? child(node, 0) : node;
    DeclarationId id = none;
    int builtin = -1;
    if (kind(callee) == NodeKind::name) {
        const Meaning meaning = look_up(intern(callee));
        if (meaning.kind == RefKind::declaration)
            id = meaning.index;
        if (meaning.kind == RefKind::builtin)
            builtin = static_cast<int>(meaning.index);
        if (meaning.kind == RefKind::local) {
            report(DiagnosticKind::not_a_function, callee,
                   fmt::format("`{}` is a value, not a function", source(callee)));
        } else if (id == none && builtin < 0 && !meaning.reported) {
            report_unknown_name(callee, source(callee), Types::poison);
        }
    } else if (kind(callee) == NodeKind::field_access && kind(child(callee, 0)) == NodeKind::name &&
               kind(child(callee, 1)) == NodeKind::word) {
        const Meaning meaning = look_up(intern(child(callee, 0)));
        if (meaning.reported) {
            // said where the module is named
        } else if (meaning.alias == none) {
            report(DiagnosticKind::not_a_function, callee,
                   fmt::format("`{}` is not a function", source(callee)));
        } else {
            const std::uint32_t found =
                program_.visible.find(meaning.alias, intern(child(callee, 1)));
            if (found == PairMap::none || program_.declarations[found].module != meaning.alias) {
                report_not_in_module(child(callee, 1), meaning.alias);
            } else if (!visible_from(frame_->module_id, program_.declarations[found])) {
                report(DiagnosticKind::private_name, child(callee, 1),
                       fmt::format("`{}` is private to its library", source(child(callee, 1))));
            } else {
                id = found;
            }
        }
    } else if (kind(callee) != NodeKind::error) {
        report(DiagnosticKind::not_a_function, callee, "this is not the name of a function");
    }
    if (id == none && builtin < 0) { // look at the arguments all the same
        for (std::uint32_t i = 1; kind(node) == NodeKind::call && i < count(node); ++i) {
            if (kind(child(node, i)) == NodeKind::argument)
                expression(child(child(node, i), 1));
        }
        return Types::poison;
    }
    if (as_phase && (id == none || program_.declarations[id].kind != DeclarationKind::phase)) {
        const bool is_template =
            id != none && program_.declarations[id].kind == DeclarationKind::template_;
        report(DiagnosticKind::not_a_phase, callee,
               is_template
                   ? fmt::format("`{}` is a template, a whole firing; `follow` runs a phase",
                                 source(callee))
                   : fmt::format("`{}` is not a phase, so it can't be followed", source(callee)))
            .mend(
                "put the steps that are shared into a `phase` of their own, at the top of a file");
        return Types::poison;
    }
    if (builtin >= 0)
        return call_builtin(node, builtin);
    if (!as_phase && program_.declarations[id].kind == DeclarationKind::phase) {
        report(DiagnosticKind::not_a_function, callee,
               fmt::format("`{}` is a phase, which is no value", source(callee)))
            .mend(fmt::format("run it inside a phase with `follow {}`", source(node)));
        return Types::poison;
    }
    return call_declaration(node, id);
}

TypeId Checker::call_declaration(NodeId node, DeclarationId id) {
    const Declaration declaration = program_.declarations[id];
    const std::string_view callee = program_.name(declaration.name);
    CallInfo::Callee callee_kind;
    switch (declaration.kind) {
    case DeclarationKind::function: callee_kind = CallInfo::Callee::function; break;
    case DeclarationKind::phase: callee_kind = CallInfo::Callee::phase; break;
    case DeclarationKind::template_: callee_kind = CallInfo::Callee::template_; break;
    default:
        report(
            DiagnosticKind::not_a_function, node,
            fmt::format("`{}` is a {}; it takes no arguments", callee, to_string(declaration.kind)))
            .mend(fmt::format("write `{}` alone", source(child(node, 0))), tree().span(node),
                  std::string(source(child(node, 0))));
        return Types::poison;
    }
    if (declaration.kind == DeclarationKind::template_ && !frame_->in_test) {
        const Declaration& here = program_.declarations[frame_->declaration];
        if (here.kind != DeclarationKind::firing || child(here.node, 2) != node) {
            report(DiagnosticKind::only_in_tests, node,
                   fmt::format("`{}` is a template: it makes a firing, not a value", callee))
                .mend(fmt::format("write `firing NAME = {}(…)`", callee));
            return Types::poison;
        }
    }
    depend_on(id, node);
    std::vector<Wanted> wanted;
    wanted.reserve(declaration.parameter_count);
    for (std::uint32_t i = 0; i < declaration.parameter_count; ++i) {
        const Parameter& parameter = program_.parameters[declaration.first_parameter + i];
        wanted.push_back({program_.name(parameter.name), parameter.default_value != none});
    }
    const bool needs_parentheses = kind(node) != NodeKind::call;
    if (needs_parentheses && declaration.kind == DeclarationKind::function) {
        report(DiagnosticKind::missing_arguments, node,
               fmt::format("`{}` needs its arguments in parentheses", callee));
        return Types::poison;
    }
    auto info = bind_arguments(node, wanted, callee, id);
    if (!info)
        return Types::poison;
    info->callee = callee_kind;
    info->index = id;
    for (std::uint32_t i = 0; i < info->argument_count; ++i) {
        const NodeId argument = frame_->module->arguments[info->first_argument + i];
        if (argument == none)
            continue;
        const Parameter parameter = program_.parameters[declaration.first_parameter + i];
        const std::string what = fmt::format("`{}` of `{}`", wanted[i].name, callee);
        if (parameter.type == Types::difference) {
            require_difference(argument, what);
        } else {
            require(argument, parameter.type, what);
        }
    }
    frame_->module->calls.push_back(*info);
    const auto call_index = static_cast<std::uint32_t>(frame_->module->calls.size() - 1);
    const TypeId result = declaration.kind == DeclarationKind::function    ? declaration.type
                          : declaration.kind == DeclarationKind::template_ ? Types::firing
                                                                           : Types::poison;
    return set(node, result, RefKind::call, call_index);
}

TypeId Checker::call_builtin(NodeId node, int index) {
    const Builtin& builtin = builtins()[static_cast<std::size_t>(index)];
    if (builtin.of_curve && !frame_->in_rule) {
        report(DiagnosticKind::only_in_rules, node,
               fmt::format("`{}` asks about a finished curve, which only rules can", builtin.name));
        return Types::poison;
    }
    std::vector<Wanted> wanted;
    if (builtin.any_number) {
        const std::uint32_t given = kind(node) == NodeKind::call ? count(node) - 1 : 0;
        if (given < 1) {
            report(DiagnosticKind::missing_arguments, node,
                   fmt::format("`{}` takes a range, a list, or two values or more", builtin.name));
            return Types::poison;
        }
        wanted.assign(given, {"", false});
    } else {
        for (const BuiltinParameter& parameter : builtin.parameters) {
            wanted.push_back({parameter.name, false});
        }
    }
    auto info = bind_arguments(node, wanted, builtin.name, none);
    if (!info)
        return Types::poison;
    info->callee = CallInfo::Callee::builtin;
    info->index = static_cast<std::uint32_t>(index);
    const TypeId result = builtin_result(builtin, node, *info);
    frame_->module->calls.push_back(*info);
    return set(node, result, RefKind::call,
               static_cast<std::uint32_t>(frame_->module->calls.size() - 1));
}

TypeId Checker::builtin_result(const Builtin& builtin, NodeId node, const CallInfo& call) {
    // A copy: checking an argument may add calls and so move the arguments.
    const std::vector<NodeId> arguments(frame_->module->arguments.begin() + call.first_argument,
                                        frame_->module->arguments.begin() + call.first_argument +
                                            call.argument_count);
    const auto what = [&](std::size_t i) {
        return builtin.any_number
                   ? fmt::format("a value of `{}`", builtin.name)
                   : fmt::format("`{}` of `{}`", builtin.parameters[i].name, builtin.name);
    };
    const auto ordered = [&](NodeId argument) {
        const TypeId type = expression(argument);
        const TypeKind type_kind = types_.kind(type);
        if (type_kind != TypeKind::quantity && type_kind != TypeKind::cone &&
            type_kind != TypeKind::clock && type_kind != TypeKind::poison) {
            report(DiagnosticKind::wrong_type, argument,
                   fmt::format("`{}` takes quantities, but this is {}", builtin.name,
                               types_.describe(type)));
            return Types::poison;
        }
        return type;
    };
    switch (builtin.id) {
    case BuiltinId::min:
    case BuiltinId::max:
        if (arguments.size() == 1) {
            const TypeId type = expression(arguments[0]);
            const TypeKind type_kind = types_.kind(type);
            if (type_kind == TypeKind::range || type_kind == TypeKind::list) {
                return types_[type].element;
            }
            if (type != Types::poison) {
                report(DiagnosticKind::wrong_type, arguments[0],
                       fmt::format("`{}` of one value needs a range or a list, but this is {}",
                                   builtin.name, types_.describe(type)));
            }
            return Types::poison;
        }
        [[fallthrough]];
    case BuiltinId::clamp: {
        TypeId type = ordered(arguments[0]);
        for (std::size_t i = 1; i < arguments.size(); ++i) {
            const TypeId other = require(arguments[i], type, what(i));
            if (type == Types::poison)
                type = other;
        }
        return type;
    }
    case BuiltinId::abs: {
        const TypeId type = ordered(arguments[0]);
        if (type == Types::temperature || type == Types::cone || type == Types::clock) {
            report(DiagnosticKind::wrong_type, arguments[0],
                   fmt::format("{} has no size without its sign; did you mean a difference?",
                               types_.describe(type)));
            return Types::poison;
        }
        return type;
    }
    case BuiltinId::round: {
        const TypeId type = ordered(arguments[0]);
        if (type == Types::temperature) {
            require_difference(arguments[1], what(1));
        } else {
            require(arguments[1], type, what(1));
        }
        return type;
    }
    case BuiltinId::length:
    case BuiltinId::sum: {
        const TypeId type = expression(arguments[0]);
        if (types_.kind(type) != TypeKind::list) {
            if (type != Types::poison) {
                report(DiagnosticKind::wrong_type, arguments[0],
                       fmt::format("`{}` takes a list, but this is {}", builtin.name,
                                   types_.describe(type)));
            }
            return builtin.id == BuiltinId::length ? Types::number : Types::poison;
        }
        if (builtin.id == BuiltinId::length)
            return Types::number;
        const TypeId element = types_[type].element;
        if (element == Types::temperature || types_.kind(element) != TypeKind::quantity) {
            report(DiagnosticKind::wrong_type, arguments[0],
                   fmt::format("{} can't be added up", types_.describe(type)));
            return Types::poison;
        }
        return element;
    }
    case BuiltinId::fastest_kiln_rate:
        require(arguments[0], types_.profile(ProfileKind::kiln), what(0));
        require(arguments[1], Types::temperature, what(1));
        report(DiagnosticKind::not_yet_supported, node,
               "`fastest_kiln_rate` is not yet supported: it needs the model of the kiln");
        return Types::poison;
    case BuiltinId::shelf_difference:
        require(arguments[0], types_.profile(ProfileKind::kiln), what(0));
        require(arguments[1], Types::text, what(1));
        return builtin.result;
    case BuiltinId::core_lag:
        require(arguments[0], Types::length, what(0));
        require(arguments[1], Types::rate, what(1));
        require(arguments[2], types_.profile(ProfileKind::body), what(2));
        return Types::difference;
    case BuiltinId::given: expression(arguments[0]); return builtin.result;
    case BuiltinId::has: {
        const TypeId type = expression(arguments[0]);
        if (types_.kind(type) != TypeKind::list) {
            if (type != Types::poison) {
                report(DiagnosticKind::wrong_type, arguments[0],
                       fmt::format("`has` takes a list, but this is {}", types_.describe(type)));
            }
            return builtin.result;
        }
        const TypeId element = types_[type].element;
        if (types_.kind(element) == TypeKind::choice) {
            check_choice_slot(arguments[1], element);
        } else {
            require(arguments[1], element, what(1));
        }
        return builtin.result;
    }
    case BuiltinId::uses:
    case BuiltinId::lowest_temperature_in:
        check_choice_slot(arguments[0], atmosphere_type(types_));
        return builtin.result;
    case BuiltinId::hottest_cooling_with:
        check_choice_slot(arguments[0], vent_type(types_));
        return builtin.result;
    default:
        for (std::size_t i = 0; i < arguments.size(); ++i) {
            require(arguments[i], builtin.parameters[i].type, what(i));
        }
        return builtin.id == BuiltinId::vent_between || builtin.id == BuiltinId::vent_on_the_way_up
                   ? vent_type(types_)
                   : builtin.result;
    }
}

// --- operators ---

TypeId Checker::unary_minus(NodeId node) {
    const TypeId type = expression(child(node, 0));
    if (type == Types::poison)
        return set(node, type);
    if (types_.kind(type) != TypeKind::quantity) {
        report(
            DiagnosticKind::wrong_type, node,
            fmt::format("a minus stands before a quantity, not before {}", types_.describe(type)));
        return Types::poison;
    }
    if (type == Types::temperature) {
        report(DiagnosticKind::temperature_times_number, node,
               "a temperature has no opposite; did you mean a difference?");
        return Types::poison;
    }
    return set(node, type);
}

TypeId Checker::binary(NodeId node) {
    const auto op = static_cast<BinaryOp>(tree()[node].flag);
    const NodeId left_node = child(node, 0);
    const NodeId right_node = child(node, 1);
    switch (op) {
    case BinaryOp::or_:
    case BinaryOp::and_:
        require(left_node, Types::yes_no, fmt::format("the left of `{}`", to_string(op)));
        require(right_node, Types::yes_no, fmt::format("the right of `{}`", to_string(op)));
        return set(node, Types::yes_no);
    case BinaryOp::is:
    case BinaryOp::is_not: return equality(node, expression(left_node));
    case BinaryOp::less:
    case BinaryOp::less_equal:
    case BinaryOp::greater:
    case BinaryOp::greater_equal: {
        TypeId left = expression(left_node);
        if (kind(left_node) == NodeKind::binary && left == Types::yes_no)
            left = Types::poison; // `a < b < c`: the parser has said so
        const TypeId right = expression(right_node, left);
        return comparison(node, op, left, right);
    }
    default: break;
    }
    const TypeId left = expression(left_node);
    const TypeId right = expression(right_node);
    return arithmetic(node, op, left, right);
}

bool Checker::comparable_types(TypeId a, TypeId b) const {
    if (a == Types::poison || b == Types::poison || a == b)
        return true;
    if (a == Types::target || b == Types::target) {
        const TypeId other = a == Types::target ? b : a;
        return other == Types::temperature || other == Types::cone;
    }
    return false;
}

TypeId Checker::equality(NodeId node, TypeId left) {
    const NodeId right_node = child(node, 1);
    if (types_.kind(left) == TypeKind::choice) {
        check_choice_slot(right_node, left);
        return set(node, Types::yes_no);
    }
    const TypeId right = expression(right_node, left);
    if (!comparable_types(left, right)) {
        return comparison(node, BinaryOp::is, left, right);
    }
    return set(node, Types::yes_no);
}

TypeId Checker::comparison(NodeId node, BinaryOp op, TypeId left, TypeId right) {
    const NodeId left_node = child(node, 0);
    const NodeId right_node = child(node, 1);
    if (!comparable_types(left, right)) {
        if (right == Types::number && kind(unwrap(right_node)) == NodeKind::number) {
            mismatch(right_node, left, right, "what it is compared with");
        } else if (left == Types::number && kind(unwrap(left_node)) == NodeKind::number) {
            mismatch(left_node, right, left, "what it is compared with");
        } else if ((left == Types::temperature && right == Types::cone) ||
                   (left == Types::cone && right == Types::temperature)) {
            const NodeId cone = left == Types::cone ? left_node : right_node;
            const std::string end_point = fmt::format("temperature({}, at: 60C/h)", source(cone));
            report(DiagnosticKind::cone_and_temperature, node,
                   "a cone and a temperature can't be compared: a cone is heat work, which depends "
                   "on time too")
                .mend(fmt::format("write `{}` for the temperature at which it falls at that rate",
                                  end_point),
                      tree().span(cone), end_point);
        } else {
            Diagnostic& d = report(DiagnosticKind::different_dimensions, node,
                                   fmt::format("{} and {} can't be compared", types_.describe(left),
                                               types_.describe(right)));
            mend_minutes(d, left_node, left, right);
            mend_minutes(d, right_node, right, left);
        }
        return set(node, Types::yes_no);
    }
    const TypeKind left_kind = types_.kind(left);
    const bool ordered = left_kind == TypeKind::quantity || left_kind == TypeKind::cone ||
                         left_kind == TypeKind::clock || left_kind == TypeKind::target ||
                         left_kind == TypeKind::poison;
    if (!ordered && op != BinaryOp::is && op != BinaryOp::is_not) {
        report(DiagnosticKind::wrong_type, node,
               fmt::format("{} has no order; only `is` and `is not` compare it",
                           types_.describe(left)));
    }
    return set(node, Types::yes_no);
}

// `m` is minutes: where a length belongs, millimetres or metres were meant; and the reverse.
void Checker::mend_minutes(Diagnostic& d, NodeId node, TypeId actual, TypeId wanted) {
    const NodeId inner = unwrap(node);
    std::string_view number = source(inner);
    if (kind(inner) != NodeKind::quantity)
        return;
    const auto ends_in = [&](std::string_view unit) {
        return number.size() > unit.size() && number.substr(number.size() - unit.size()) == unit &&
               number.find_first_not_of("0123456789.-") == number.size() - unit.size();
    };
    const bool minutes = actual == Types::duration && wanted == Types::length && ends_in("m");
    const bool millimetres = actual == Types::length && wanted == Types::duration && ends_in("mm");
    if (!minutes && !millimetres)
        return;
    number.remove_suffix(minutes ? 1 : 2);
    const std::string first = fmt::format("{}{}", number, minutes ? "mm" : "m");
    d.mend(minutes ? fmt::format("`m` is minutes; write `{}` for millimetres", first)
                   : fmt::format("write `{}` for minutes", first),
           tree().span(inner), first);
    if (minutes) {
        const std::string metres = fmt::format("{}metre", number);
        d.mend(fmt::format("or `{}` for metres", metres), tree().span(inner), metres);
    }
}

// The temperature in a product, written as a difference.
void Checker::mend_difference(Diagnostic& d, NodeId product) {
    const auto is_temperature = [&](std::uint32_t i) {
        return frame_->module->info[child(product, i)].type == Types::temperature;
    };
    for (std::uint32_t i : {0u, 1u}) {
        const NodeId side = unwrap(child(product, i));
        if (kind(side) != NodeKind::quantity || !is_temperature(i) || is_temperature(1 - i))
            continue;
        const std::string difference = as_difference(source(side));
        d.mend(fmt::format("write `{}` for so many degrees of difference", difference),
               tree().span(side), difference);
        return;
    }
    d.mend("take a difference, such as `20dC` or one temperature minus another");
}

TypeId Checker::arithmetic(NodeId node, BinaryOp op, TypeId left, TypeId right) {
    if (left == Types::poison || right == Types::poison)
        return set(node, Types::poison);
    if (types_.kind(left) != TypeKind::quantity || types_.kind(right) != TypeKind::quantity) {
        const TypeId wrong = types_.kind(left) != TypeKind::quantity ? left : right;
        Diagnostic& d = report(DiagnosticKind::no_arithmetic, node,
                               fmt::format("{} can't be calculated with", types_.describe(wrong)));
        if (wrong == Types::cone)
            d.mend("name the cone that is meant: the steps between cones are not alike");
        return Types::poison;
    }
    const Dimension a = types_[left].dimension;
    const Dimension b = types_[right].dimension;
    DimensionResult result;
    std::string_view verb;
    switch (op) {
    case BinaryOp::add:
        result = add(a, b);
        verb = "added";
        break;
    case BinaryOp::subtract:
        result = subtract(a, b);
        verb = "subtracted";
        break;
    case BinaryOp::multiply:
        result = multiply(a, b);
        verb = "multiplied";
        break;
    default:
        result = divide(a, b);
        verb = "divided";
        break;
    }
    if (const auto* dimension = std::get_if<Dimension>(&result)) {
        return set(node, types_.quantity(*dimension));
    }
    const NodeId right_node = unwrap(child(node, 1));
    const std::string_view right_text = source(right_node);
    switch (std::get<Refusal>(result)) {
    case Refusal::temperature_plus_temperature: {
        Diagnostic& d = report(DiagnosticKind::temperature_plus_temperature, node,
                               "two temperatures can't be added");
        const NodeId left_node = unwrap(child(node, 0));
        const auto number = [&](NodeId side) {
            return frame_->module->literals[frame_->module->info[side].index].number;
        };
        const bool both =
            kind(left_node) == NodeKind::quantity && kind(right_node) == NodeKind::quantity;
        // The smaller of two is the step.
        const NodeId step = kind(right_node) != NodeKind::quantity ||
                                    (both && number(left_node) < number(right_node))
                                ? left_node
                                : right_node;
        if (kind(step) != NodeKind::quantity) {
            d.mend("add a difference, such as 20dC");
            break;
        }
        const std::string difference = as_difference(source(step));
        d.mend(step == right_node
                   ? fmt::format("write `{} + {}` for a step from one temperature to another",
                                 source(child(node, 0)), difference)
                   : fmt::format("write `{} + {}` for a step from one temperature to another",
                                 difference, source(child(node, 1))),
               tree().span(step), difference);
        break;
    }
    case Refusal::temperature_times_number:
        mend_difference(report(DiagnosticKind::temperature_times_number, node,
                               "a temperature has no double and no half; did you mean a "
                               "difference?"),
                        node);
        break;
    case Refusal::temperature_in_product:
        mend_difference(report(DiagnosticKind::temperature_times_number, node,
                               fmt::format("a temperature can't be {}; only the difference of two "
                                           "can",
                                           verb)),
                        node);
        break;
    case Refusal::difference_minus_temperature:
        report(DiagnosticKind::difference_minus_temperature, node,
               "a temperature can't be taken from a difference")
            .mend(fmt::format("turn them round: `{} - {}` is a temperature", right_text,
                              source(child(node, 0))),
                  tree().span(node),
                  fmt::format("{} - {}", source(child(node, 1)), source(child(node, 0))));
        break;
    case Refusal::negative_temperature_point:
        report(DiagnosticKind::temperature_times_number, node, "a temperature has no opposite");
        break;
    case Refusal::different_dimensions: {
        const NodeId left_node = unwrap(child(node, 0));
        if (right == Types::number && kind(right_node) == NodeKind::number) {
            mismatch(right_node, left == Types::temperature ? Types::difference : left, right,
                     fmt::format("what is {}", verb));
        } else if (left == Types::number && kind(left_node) == NodeKind::number) {
            mismatch(left_node, right, left, fmt::format("what is {}", verb));
        } else {
            Diagnostic& d = report(DiagnosticKind::different_dimensions, node,
                                   fmt::format("{} and {} can't be {}", types_.describe(left),
                                               types_.describe(right), verb));
            mend_minutes(d, left_node, left, right);
            mend_minutes(d, right_node, right, left);
        }
        break;
    }
    case Refusal::fraction_and_number: {
        Diagnostic& d = report(DiagnosticKind::fraction_and_number, node,
                               fmt::format("a share and a plain number can't be {}", verb));
        const NodeId number = left == Types::number ? unwrap(child(node, 0)) : right_node;
        if (kind(number) == NodeKind::number) {
            d.mend(fmt::format("write `{}%` if hundredths are meant", source(number)),
                   tree().span(number), fmt::format("{}%", source(number)));
        }
        d.mend("write both as shares: the whole is 100%");
        break;
    }
    case Refusal::exponent_overflow:
        report(DiagnosticKind::bad_quantity, node, "this has too many units multiplied together");
        break;
    }
    return Types::poison;
}

TypeId Checker::unify(NodeId node, TypeId a, TypeId b) {
    if (a == Types::poison)
        return b;
    if (b == Types::poison || a == b)
        return a;
    if (types_.accepts(Types::target, a) && types_.accepts(Types::target, b))
        return Types::target;
    if (types_.accepts(a, b))
        return a;
    if (types_.accepts(b, a))
        return b;
    report(DiagnosticKind::wrong_type, node,
           fmt::format("these must be of one kind, but one is {} and the other is {}",
                       types_.describe(a), types_.describe(b)));
    return Types::poison;
}

TypeId Checker::conditional(NodeId node, TypeId hint) {
    const TypeId a = expression(child(node, 0), hint);
    condition(child(node, 1));
    const TypeId b = expression(child(node, 2), hint != Types::poison ? hint : a);
    if (types_.kind(hint) == TypeKind::range && types_.accepts(hint, a) &&
        types_.accepts(hint, b)) {
        return set(node, hint);
    }
    return set(node, unify(node, a, b));
}

TypeId Checker::list(NodeId node, TypeId hint) {
    TypeId element = types_.kind(hint) == TypeKind::list ? types_[hint].element : Types::poison;
    const TypeId wanted = element;
    for (std::uint32_t i = 0; i < count(node); ++i) {
        const TypeId type = expression(child(node, i), wanted);
        if (wanted != Types::poison) {
            if (!types_.accepts(wanted, type)) {
                mismatch(child(node, i), wanted, type, "each of this list");
            }
        } else {
            element = unify(child(node, i), element, type);
        }
    }
    return set(node, types_.list_of(element));
}

TypeId Checker::range(NodeId node, TypeId hint) {
    if (types_.kind(hint) == TypeKind::range)
        hint = types_[hint].element;
    const TypeId low = expression(child(node, 0), hint);
    const TypeId high = expression(child(node, 1), hint != Types::poison ? hint : low);
    if (low != Types::poison && high != Types::poison && low != high) {
        if (high == Types::number || low == Types::number) {
            const bool first = low == Types::number;
            mismatch(child(node, first ? 0 : 1), first ? high : low, Types::number,
                     "each end of a range");
        } else {
            report(DiagnosticKind::wrong_type, node,
                   fmt::format("a range goes between two of one kind, but this goes from {} to {}",
                               types_.describe(low), types_.describe(high)));
        }
        return set(node, Types::poison);
    }
    return set(node, types_.range_of(low));
}

} // namespace fettle
