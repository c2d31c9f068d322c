// Operators: what may be compared, added, multiplied, and what becomes of it.
#include "compiler/meaning/checker.h"

#include <algorithm>

namespace fettle {

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
        const NodeId step = both && number(left_node) < number(right_node) ? left_node : right_node;
        if (kind(step) != NodeKind::quantity) {
            d.mend(fmt::format("make {} a difference, such as 20dC",
                               kind(step) == NodeKind::name ? fmt::format("`{}`", source(step))
                                                            : "it"));
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
