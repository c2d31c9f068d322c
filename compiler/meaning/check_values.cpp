// Single values: literals and texts, and what is said where one of another kind stands.
#include "compiler/meaning/checker.h"
#include "compiler/meaning/text_layout.h"

#include <charconv>

namespace fettle {

std::string as_difference(std::string_view literal) {
    const std::size_t letter = literal.find_first_not_of("+-.0123456789");
    if (letter == std::string_view::npos)
        return std::string(literal);
    std::string_view unit = literal.substr(letter);
    if (unit.substr(0, 2) == "\xC2\xB0" || unit.substr(0, 2) == "\xC2\xBA")
        unit.remove_prefix(2);
    return std::string(literal.substr(0, letter)) + "d" + std::string(unit);
}

NodeId Checker::unwrap(NodeId node) const {
    while (kind(node) == NodeKind::paren)
        node = child(node, 0);
    return node;
}

void Checker::condition(NodeId node) {
    require(node, Types::yes_no, "a condition");
}

std::string Checker::Place::words() const {
    std::string all;
    for (std::string_view piece : pieces)
        all += piece;
    return all;
}

TypeId Checker::require(NodeId node, TypeId expected, const Place& place) {
    const TypeId actual = expression(node, expected);
    if (!types_.accepts(expected, actual)) {
        mismatch(node, expected, actual, place.words());
        return Types::poison;
    }
    return actual;
}

TypeId Checker::require_difference(NodeId node, const Place& place) {
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
    return require(node, Types::difference, place);
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
            const std::size_t first = written.find_first_not_of('0');
            const std::string plain(
                written.substr(first == std::string_view::npos ? written.size() - 1 : first));
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

} // namespace fettle
