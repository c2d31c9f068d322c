#include "compiler/meaning/evaluate.h"

#include "compiler/ceramics/ware.h"
#include "compiler/meaning/ware_questions.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace fettle {
namespace {

constexpr std::size_t chunk_size = 64;   // values
constexpr std::size_t most_chunks = 512; // calls can't recurse, so this is deep enough

bool nearly_equal(double a, double b) {
    return a == b || std::abs(a - b) <= 1e-9 * std::max(std::abs(a), std::abs(b));
}

Dimension dimension_of(const Program& program, TypeId type) {
    if (program.types->kind(type) == TypeKind::target)
        return dimension::temperature;
    return (*program.types)[type].dimension;
}

} // namespace

int compare_values(const Value& a, const Value& b) {
    if (nearly_equal(a.number, b.number))
        return 0;
    return a.number < b.number ? -1 : 1;
}

bool same_value(const Value& a, const Value& b) {
    if (a.kind != b.kind)
        return false;
    switch (a.kind) {
    case ValueKind::text: return a.as_text() == b.as_text();
    case ValueKind::list:
    case ValueKind::range:
        return std::equal(a.as_list().begin(), a.as_list().end(), b.as_list().begin(),
                          b.as_list().end(), same_value);
    case ValueKind::choice:
    case ValueKind::profile:
    case ValueKind::firing: return a.index == b.index;
    case ValueKind::quantity:
    case ValueKind::clock:
    case ValueKind::cone:
    case ValueKind::yes_no: return nearly_equal(a.number, b.number);
    default: return false;
    }
}

std::string print_value(const Program& program, const Value& value, TypeId type) {
    const Types& types = *program.types;
    switch (value.kind) {
    case ValueKind::quantity:
        return print(Quantity{value.number, dimension_of(program, type), value.unit});
    case ValueKind::clock: return print_clock(value.number);
    case ValueKind::cone: return "cone " + cone_name(value.number);
    case ValueKind::yes_no: return value.yes() ? "yes" : "no";
    case ValueKind::choice: return std::string(program.name(value.index));
    case ValueKind::text: return std::string(value.as_text());
    case ValueKind::profile: {
        const Profile& profile = program.profiles[value.index];
        return std::string(program.name(program.declarations[profile.declaration].name));
    }
    case ValueKind::list: {
        std::string all = "[";
        const TypeId element = types[type].element;
        for (const Value& each : value.as_list()) {
            if (all.size() > 1)
                all += ", ";
            all += print_value(program, each, element);
        }
        return all + "]";
    }
    case ValueKind::range: {
        const TypeId element = types.kind(type) == TypeKind::range ? types[type].element : type;
        const std::string low = print_value(program, value.low(), element);
        if (same_value(value.low(), value.high()))
            return low;
        return low + " to " + print_value(program, value.high(), element);
    }
    case ValueKind::unknown: return "unknown";
    case ValueKind::nothing: return "nothing";
    default: return "?";
    }
}

std::string describe_missing(const Program& program, Value unknown) {
    const MissingField missing = unpack_missing(unknown.index);
    if (missing.profile == MissingField::kiln_time) {
        return "how long the kiln takes where it goes its own way (`at full`, `freely`, `opened`)";
    }
    if (missing.profile == MissingField::no_such_profile) {
        constexpr std::string_view what[] = {"a body, kiln or glaze", "the body", "the kiln",
                                             "the glaze", "the controller"};
        return std::string(what[missing.field]);
    }
    if (missing.profile == MissingField::kiln_model)
        return "what the model of the kiln needs: its power, volume and lining";
    if (missing.profile == MissingField::cone_asked)
        return "a cone that the firing is meant to reach";
    if (missing.profile == MissingField::never_so)
        return "when that happens: the firing never does it";
    if (missing.profile == MissingField::vent)
        return "how the vent stands there";
    if (missing.profile == MissingField::nothing_fired)
        return "a cone that is complete";
    if (missing.profile == MissingField::ware_itself) {
        return fmt::format("`{}` of the ware", fields_of(Holder::ware)[missing.field].name);
    }
    const Profile& profile = program.profiles[missing.profile];
    return fmt::format("`{}` of {}", fields_of(holder_of(profile.kind))[missing.field].name,
                       program.name(program.declarations[profile.declaration].name));
}

Value widen(const Types& types, TypeId type, Value value, Arena& arena) {
    if (types.kind(type) != TypeKind::range || value.is(ValueKind::range) || !value.known()) {
        return value;
    }
    const Value ends[] = {value, value};
    return Value::sequence(ValueKind::range, arena.copy(ends));
}

Evaluator::Evaluator(const Program& program, const Ceramics& ceramics, Diagnostics& diagnostics,
                     Arena& arena)
    : program_(program), ceramics_(ceramics), diagnostics_(diagnostics), arena_(arena) {
    chunks_.push_back({std::make_unique<Value[]>(chunk_size), chunk_size});
}

Value* Evaluator::enter(std::uint32_t size) {
    if (used_ + size > chunks_[chunk_].size) {
        if (chunk_ + 1 == most_chunks)
            return nullptr;
        const std::size_t room = std::max<std::size_t>(size, chunk_size);
        if (++chunk_ == chunks_.size())
            chunks_.emplace_back();
        if (chunks_[chunk_].size < room)
            chunks_[chunk_] = {std::make_unique<Value[]>(room), room};
        used_ = 0;
    }
    Value* frame = chunks_[chunk_].values.get() + used_;
    used_ += size;
    std::fill(frame, frame + size, Value{});
    return frame;
}

void Evaluator::leave(Value* frame) {
    const auto holds = [&](const Chunk& chunk) {
        return !std::less<>{}(frame, chunk.values.get()) &&
               !std::less<>{}(chunk.values.get() + chunk.size, frame);
    };
    while (chunk_ > 0 && !holds(chunks_[chunk_]))
        --chunk_;
    used_ = static_cast<std::size_t>(frame - chunks_[chunk_].values.get());
}

Value Evaluator::fail(DiagnosticKind kind, ModuleId module, NodeId node, std::string message) {
    diagnostics_.report(kind, program_.span(module, node), std::move(message));
    return Value::poison();
}

bool Evaluator::spend_last(ModuleId module, NodeId node) {
    if (budget_ == 0)
        return false;
    budget_ = 0;
    fail(DiagnosticKind::too_much_work, module, node,
         fmt::format("this takes more than {} steps of work", most_work));
    return false;
}

Value Evaluator::evaluate_known(ModuleId module, NodeId node, Value* frame, std::string_view what) {
    const Value value = evaluate(module, node, frame);
    if (value.is(ValueKind::unknown)) {
        Diagnostic& d =
            diagnostics_.report(DiagnosticKind::missing_field, program_.span(module, node),
                                fmt::format("{} needs {}, which is not given", what,
                                            describe_missing(program_, value)));
        const MissingField missing = unpack_missing(value.index);
        if (missing.profile < program_.profiles.size()) {
            const Declaration& profile =
                program_.declarations[program_.profiles[missing.profile].declaration];
            d.note(program_.span(profile.module,
                                 program_.modules[profile.module].child(profile.node, 0)),
                   "it can be given here");
        }
        return Value::poison();
    }
    if (value.is(ValueKind::nothing))
        return Value::poison();
    return value;
}

std::string_view Evaluator::text(ModuleId module, NodeId node, Value* frame) {
    const Value value = evaluate(module, node, frame);
    return value.is(ValueKind::text) ? value.as_text() : std::string_view{};
}

Value Evaluator::work_out(const Module& module, NodeId node, Value* frame) {
    const NodeInfo& info = module.info[node];
    switch (module.tree[node].kind) {
    case NodeKind::name: return name(module, node);
    case NodeKind::paren: return evaluate(module, module.child(node, 0), frame);
    case NodeKind::field_access: return field_access(module, node, frame);
    case NodeKind::call: return call(module, node, frame);
    case NodeKind::text: return text_value(module, node, frame);
    case NodeKind::list_literal: return list(module, node, frame);
    case NodeKind::range: return range(module, node, frame);
    case NodeKind::binary: return binary(module, node, frame);
    case NodeKind::within_range:
    case NodeKind::within_of: return within(module, node, frame);
    case NodeKind::negate: {
        Value value = evaluate(module, module.child(node, 0), frame);
        if (value.is(ValueKind::quantity))
            value.number = -value.number;
        return value;
    }
    case NodeKind::not_: {
        Value value = evaluate(module, module.child(node, 0), frame);
        return value.is(ValueKind::yes_no) ? Value::yes_no(!value.yes()) : value;
    }
    case NodeKind::conditional: {
        const Value condition = evaluate(module, module.child(node, 1), frame);
        if (!condition.known())
            return condition;
        const Value chosen = evaluate(module, module.child(node, condition.yes() ? 0 : 2), frame);
        return widen(*program_.types, info.type, chosen, arena_);
    }
    case NodeKind::keeps_rules: {
        const Value firing = evaluate(module, module.child(node, 0), frame);
        if (!firing.is(ValueKind::firing) || questions_ == nullptr)
            return Value::poison();
        return Value::yes_no(questions_->keeps_every_rule(firing.index));
    }
    case NodeKind::breaks_rule: {
        const Value firing = evaluate(module, module.child(node, 0), frame);
        if (!firing.is(ValueKind::firing) || questions_ == nullptr)
            return Value::poison();
        return Value::yes_no(
            questions_->breaks_rule(firing.index, module.tree.source(module.child(node, 1))));
    }
    default:
        if (info.kind == RefKind::word)
            return Value::indexed(ValueKind::choice, info.index);
        return Value::poison();
    }
}

Value Evaluator::name(const Module& module, NodeId node) {
    const NodeInfo& info = module.info[node];
    switch (info.kind) {
    case RefKind::word: return Value::indexed(ValueKind::choice, info.index);
    case RefKind::declaration: {
        const Declaration& declaration = program_.declarations[info.index];
        switch (declaration.kind) {
        case DeclarationKind::constant: return declaration.value;
        case DeclarationKind::profile:
            return Value::indexed(ValueKind::profile, declaration.profile);
        case DeclarationKind::firing: {
            if (questions_ == nullptr)
                return Value::poison();
            const std::uint32_t index = questions_->declared_firing(info.index);
            return index == none ? Value::poison() : Value::indexed(ValueKind::firing, index);
        }
        default: return Value::poison();
        }
    }
    case RefKind::environment:
        if (environment_ == nullptr)
            return Value::poison();
        switch (static_cast<Environment>(info.index)) {
        case Environment::ware: return Value::indexed(ValueKind::profile, none);
        case Environment::body: return environment_->body;
        case Environment::kiln: return environment_->kiln;
        case Environment::glaze: return environment_->glaze;
        case Environment::controller: return environment_->controller;
        }
        return Value::poison();
    case RefKind::builtin:
        return questions_ == nullptr ? Value::poison()
                                     : questions_->ask_curve(builtins_[info.index].id, {});
    default: return Value::poison();
    }
}

Value Evaluator::field_access(const Module& module, NodeId node, Value* frame) {
    const NodeInfo& info = module.info[node];
    if (info.kind == RefKind::declaration)
        return name(module, node); // module.name
    const Value left = evaluate(module, module.child(node, 0), frame);
    if (left.is(ValueKind::firing)) {
        return questions_ == nullptr ? Value::poison()
                                     : questions_->firing_field(left.index, info.index);
    }
    if (info.kind == RefKind::oxide) {
        return left.is(ValueKind::list) && info.index < left.index ? left.as_list()[info.index]
                                                                   : left;
    }
    if (left.is(ValueKind::nothing)) { // a rule asks about something that there is not
        const NodeInfo& what = module.info[module.child(node, 0)];
        const std::uint32_t which = what.kind == RefKind::environment ? what.index : 0;
        return Value::indexed(ValueKind::unknown, pack({MissingField::no_such_profile, which}));
    }
    if (!left.is(ValueKind::profile))
        return left;
    if (left.index == none) { // `ware` of a rule
        const Value& value = environment_->ware[info.index];
        if (value.known())
            return value;
        return Value::indexed(ValueKind::unknown, pack({MissingField::ware_itself, info.index}));
    }
    const Profile& profile = program_.profiles[left.index];
    if (info.kind != RefKind::field || info.index >= profile.fields.size()) {
        return Value::poison();
    }
    return profile.fields[info.index];
}

bool Evaluator::bind(ModuleId id, const CallInfo& call, const Declaration& callee, Value* caller,
                     Value* frame) {
    const Module& module = program_.modules[id];
    const Module& home = program_.modules[callee.module];
    const auto parameters = program_.parameters_of(callee);
    for (std::uint32_t i = 0; i < call.argument_count; ++i) {
        const NodeId argument = module.arguments[call.first_argument + i];
        const Value value = argument == none ? evaluate(home, parameters[i].default_value, frame)
                                             : evaluate(module, argument, caller);
        if (value.is(ValueKind::poison))
            return false;
        frame[i] = widen(*program_.types, parameters[i].type, value, arena_);
    }
    return true;
}

Value Evaluator::call(const Module& module, NodeId node, Value* frame) {
    const NodeInfo& info = module.info[node];
    if (info.kind != RefKind::call)
        return Value::poison();
    const CallInfo& call_info = module.calls[info.index];
    switch (call_info.callee) {
    case CallInfo::Callee::builtin: return builtin(module, node, call_info, frame);
    case CallInfo::Callee::function: {
        const Declaration& callee = program_.declarations[call_info.index];
        if (!callee.usable)
            return Value::poison();
        Value* inner = enter(callee.frame_size);
        if (inner == nullptr) {
            return fail(DiagnosticKind::too_deep, module.id, node, "calls are nested too deep");
        }
        Value result = Value::poison();
        if (bind(module.id, call_info, callee, frame, inner)) {
            const Module& home = program_.modules[callee.module];
            const NodeId body = home.child(home.child(callee.node, 2), 1);
            result = widen(*program_.types, callee.type, evaluate(home, body, inner), arena_);
        }
        leave(inner);
        return result;
    }
    case CallInfo::Callee::template_: {
        const Declaration& callee = program_.declarations[call_info.index];
        if (questions_ == nullptr || !callee.usable)
            return Value::poison();
        Value* inner = enter(callee.frame_size);
        if (inner == nullptr)
            return Value::poison();
        Value result = Value::poison();
        if (bind(module.id, call_info, callee, frame, inner)) {
            const std::uint32_t index = questions_->make_firing(
                call_info.index, std::span<const Value>(inner, callee.parameter_count));
            if (index != none)
                result = Value::indexed(ValueKind::firing, index);
        }
        leave(inner);
        return result;
    }
    default: return Value::poison();
    }
}

Value Evaluator::builtin(const Module& module, NodeId node, const CallInfo& info, Value* frame) {
    const Builtin& which = builtins_[info.index];
    // Few take more than three; only `min` and `max` take as many as are written.
    Value few[4];
    std::vector<Value> many;
    Value* values = few;
    if (info.argument_count > std::size(few)) {
        many.resize(info.argument_count);
        values = many.data();
    }
    for (std::uint32_t i = 0; i < info.argument_count; ++i) {
        values[i] = evaluate(module, module.arguments[info.first_argument + i], frame);
        if (which.id == BuiltinId::given && !values[i].is(ValueKind::poison))
            return Value::yes_no(values[i].known());
        if (!values[i].known())
            return values[i];
    }
    const std::span<const Value> arguments(values, info.argument_count);
    if (which.of_curve) {
        return questions_ == nullptr ? Value::poison() : questions_->ask_curve(which.id, arguments);
    }
    const auto with_number = [&](double number) {
        Value value = arguments[0];
        value.number = number;
        return value;
    };
    switch (which.id) {
    case BuiltinId::min:
    case BuiltinId::max: {
        std::span<const Value> values_to_compare = arguments;
        if (arguments.size() == 1)
            values_to_compare = arguments[0].as_list(); // a range or a list
        if (values_to_compare.empty()) {
            return fail(DiagnosticKind::bad_count, module.id, node,
                        "an empty list has no least or greatest");
        }
        Value best = values_to_compare[0];
        for (const Value& each : values_to_compare.subspan(1)) {
            const bool better =
                which.id == BuiltinId::min ? each.number < best.number : each.number > best.number;
            if (better)
                best = each;
        }
        return best;
    }
    case BuiltinId::clamp:
        if (arguments[1].number > arguments[2].number) {
            return fail(DiagnosticKind::reversed_range, module.id, node,
                        "the low of `clamp` is above its high");
        }
        return with_number(
            std::clamp(arguments[0].number, arguments[1].number, arguments[2].number));
    case BuiltinId::abs: return with_number(std::abs(arguments[0].number));
    case BuiltinId::round: {
        const double step = arguments[1].number;
        if (!(step > 0)) {
            return fail(DiagnosticKind::not_positive, module.id, node,
                        "`round` needs a step greater than nothing");
        }
        // Temperatures are rounded on the scale that the step is written in.
        const bool fahrenheit =
            module.info[node].type == Types::temperature &&
            print(Quantity{step, dimension::difference, arguments[1].unit}).find('F') !=
                std::string::npos;
        if (fahrenheit) {
            const double degrees = to_scale(arguments[0].number, Scale::fahrenheit);
            const double step_f = difference_to_scale(step, Scale::fahrenheit);
            return with_number(
                from_scale(std::round(degrees / step_f) * step_f, Scale::fahrenheit));
        }
        return with_number(std::round(arguments[0].number / step) * step);
    }
    case BuiltinId::length:
        return Value::quantity(static_cast<double>(arguments[0].as_list().size()));
    case BuiltinId::sum: {
        Value total = Value::quantity(0);
        for (const Value& each : arguments[0].as_list()) {
            total.number += each.number;
            total.unit = each.unit;
        }
        return total;
    }
    case BuiltinId::temperature: {
        if (!(arguments[1].number > 0)) {
            return fail(DiagnosticKind::not_positive, module.id, node,
                        "a cone is reached by climbing: the rate must be above zero");
        }
        const ConeKinetics* cone = ceramics_.shelf_cones().find(arguments[0].number);
        const double end_c =
            cone == nullptr ? hottest_c : end_point(*cone, arguments[1].number * 3600.0);
        if (end_c >= hottest_c) {
            return fail(DiagnosticKind::cone_out_of_reach, module.id, node,
                        fmt::format("no end point is known for cone {} at this rate",
                                    cone_name(arguments[0].number)));
        }
        return Value::quantity(std::round(end_c * 10) / 10);
    }
    case BuiltinId::has: {
        const auto list = arguments[0].as_list();
        return Value::yes_no(std::any_of(list.begin(), list.end(), [&](const Value& each) {
            return same_value(each, arguments[1]);
        }));
    }
    case BuiltinId::opposite: {
        const double other = -arguments[0].number;
        const auto& cones = all_cones();
        return std::binary_search(cones.begin(), cones.end(), other)
                   ? Value::of(ValueKind::cone, other)
                   : arguments[0];
    }
    case BuiltinId::shelf_difference: {
        const Profile& kiln = program_.profiles[arguments[0].index];
        for (const ProfileShelf& shelf : kiln.shelves) {
            if (program_.name(shelf.name) == arguments[1].as_text())
                return Value::quantity(shelf.difference_k);
        }
        return fail(DiagnosticKind::unknown_shelf, module.id, node,
                    fmt::format("the kiln {} has no shelf `{}`",
                                program_.name(program_.declarations[kiln.declaration].name),
                                arguments[1].as_text()));
    }
    case BuiltinId::fastest_kiln_rate: {
        const OwnTime* kiln = program_.kilns->find(program_, arguments[0].index);
        if (kiln == nullptr)
            return Value::indexed(ValueKind::unknown, pack({MissingField::kiln_model, 0}));
        const double rate = kiln->fastest_climb_k_per_h(arguments[1].number, std::nullopt);
        return Value::quantity(std::round(rate) / 3600);
    }
    case BuiltinId::boiling_point: return Value::quantity(boiling_point_c(arguments[0].number));
    case BuiltinId::core_lag:
    case BuiltinId::wall_stress:
    case BuiltinId::inversion_strain:
        return ask_ware(program_.profiles[arguments[2].index], which.id, arguments[0].number,
                        arguments[1].number * 3600.0);
    default: return Value::poison();
    }
}

Value Evaluator::binary(const Module& module, NodeId node, Value* frame) {
    const auto op = static_cast<BinaryOp>(module.tree[node].flag);
    const Value a = evaluate(module, module.child(node, 0), frame);
    if (op == BinaryOp::and_ || op == BinaryOp::or_) {
        // Three values: `no and unknown` is no, `yes or unknown` is yes.
        const bool decides = op == BinaryOp::or_;
        if (a.is(ValueKind::yes_no) && a.yes() == decides)
            return a;
        const Value b = evaluate(module, module.child(node, 1), frame);
        if (b.is(ValueKind::yes_no) && b.yes() == decides)
            return b;
        return a.is(ValueKind::yes_no) ? b : a;
    }
    const Value b = evaluate(module, module.child(node, 1), frame);
    const bool calculates = op == BinaryOp::add || op == BinaryOp::subtract ||
                            op == BinaryOp::multiply || op == BinaryOp::divide;
    if (!calculates)
        return compare(module.id, node, op, a, b);
    if (!a.known())
        return a;
    return b.known() ? arithmetic(module, node, op, a, b) : b;
}

Value Evaluator::compare(ModuleId id, NodeId node, BinaryOp op, const Value& a, const Value& b) {
    if (!a.known())
        return a;
    if (!b.known())
        return b;
    if (op == BinaryOp::is)
        return Value::yes_no(same_value(a, b));
    if (op == BinaryOp::is_not)
        return Value::yes_no(!same_value(a, b));
    if (a.kind != b.kind) {
        const Module& module = program_.modules[id];
        const auto print_side = [&](std::uint32_t side, const Value& value) {
            return print_value(program_, value, module.info[module.child(node, side)].type);
        };
        return fail(DiagnosticKind::target_mix, id, node,
                    fmt::format("{} and {} can't be compared: one is a temperature and the "
                                "other a cone",
                                print_side(0, a), print_side(1, b)));
    }
    const int order = compare_values(a, b);
    return Value::yes_no(op == BinaryOp::less         ? order < 0
                         : op == BinaryOp::less_equal ? order <= 0
                         : op == BinaryOp::greater    ? order > 0
                                                      : order >= 0);
}

Value Evaluator::arithmetic(const Module& module, NodeId node, BinaryOp op, Value a, Value b) {
    double number = 0;
    switch (op) {
    case BinaryOp::add: number = a.number + b.number; break;
    case BinaryOp::subtract: number = a.number - b.number; break;
    case BinaryOp::multiply: number = a.number * b.number; break;
    default:
        if (b.number == 0) {
            return fail(DiagnosticKind::division_by_zero, module.id, node,
                        fmt::format("`{}` is zero here, and nothing can be divided by zero",
                                    module.tree.source(module.child(node, 1))));
        }
        number = a.number / b.number;
        break;
    }
    if (!std::isfinite(number)) {
        return fail(DiagnosticKind::not_a_number, module.id, node,
                    "this has no answer that is a number");
    }
    const Dimension dimension = dimension_of(program_, module.info[node].type);
    if (dimension == dimension::temperature && number < -273.15) {
        return fail(DiagnosticKind::below_absolute_zero, module.id, node,
                    "this temperature is below absolute zero (-273.15C)");
    }
    return Value::quantity(number, result_unit(a.unit, b.unit, dimension));
}

Value Evaluator::list(const Module& module, NodeId node, Value* frame) {
    std::vector<Value> values;
    values.reserve(module.tree.count(node));
    for (std::uint32_t i = 0; i < module.tree.count(node); ++i) {
        values.push_back(evaluate(module, module.child(node, i), frame));
        if (!values.back().known())
            return values.back();
    }
    return Value::sequence(ValueKind::list, arena_.copy(values));
}

Value Evaluator::range(const Module& module, NodeId node, Value* frame) {
    const Value ends[] = {evaluate(module, module.child(node, 0), frame),
                          evaluate(module, module.child(node, 1), frame)};
    for (const Value& end : ends) {
        if (!end.known())
            return end;
    }
    if (!ends[0].is(ValueKind::clock) && compare_values(ends[0], ends[1]) > 0) {
        const TypeId type = module.info[node].type;
        const TypeId element = (*program_.types)[type].element;
        const NodeId low = module.child(node, 0), high = module.child(node, 1);
        const std::string turned =
            fmt::format("{} to {}", module.tree.source(high), module.tree.source(low));
        Diagnostic& d = diagnostics_.report(DiagnosticKind::reversed_range, module.span(node),
                                            fmt::format("a range goes upwards, but {} is above {}",
                                                        print_value(program_, ends[0], element),
                                                        print_value(program_, ends[1], element)));
        if (module.info[low].kind == RefKind::literal && module.info[high].kind == RefKind::literal)
            d.mend(fmt::format("write `{}`", turned), module.span(node), turned);
        return Value::poison();
    }
    return Value::sequence(ValueKind::range, arena_.copy(ends));
}

Value Evaluator::within(const Module& module, NodeId node, Value* frame) {
    const Value x = evaluate(module, module.child(node, 0), frame);
    const Value y = evaluate(module, module.child(node, 1), frame);
    if (!x.known())
        return x;
    if (!y.known())
        return y;
    if (module.tree[node].kind == NodeKind::within_of) {
        const Value centre = evaluate(module, module.child(node, 2), frame);
        if (!centre.known())
            return centre;
        const double distance = std::abs(x.number - centre.number);
        return Value::yes_no(distance <= y.number || nearly_equal(distance, y.number));
    }
    if (!y.is(ValueKind::range))
        return Value::yes_no(compare_values(x, y) == 0);
    const bool above = compare_values(x, y.low()) >= 0;
    const bool below = compare_values(x, y.high()) <= 0;
    if (x.is(ValueKind::clock) && y.low().number > y.high().number) { // over midnight
        return Value::yes_no(above || below);
    }
    return Value::yes_no(above && below);
}

Value Evaluator::text_value(const Module& module, NodeId node, Value* frame) {
    const std::uint32_t count = module.tree.count(node);
    if (count == 0)
        return Value::text({});
    if (count == 1 && module.info[module.child(node, 0)].kind == RefKind::literal &&
        module.info[module.child(node, 0)].type == Types::text) {
        return module.literals[module.info[module.child(node, 0)].index];
    }
    std::string all;
    for (std::uint32_t i = 0; i < count; ++i) {
        const NodeId part = module.child(node, i);
        const Value value = evaluate(module, part, frame);
        if (value.is(ValueKind::poison))
            return value;
        all += print_value(program_, value, module.info[part].type);
    }
    return Value::text(arena_.copy(all));
}

} // namespace fettle
