#include "compiler/meaning/instantiate.h"

#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr std::size_t most_segments = 10'000; // language limit
constexpr double most_repeats = 1'000;        // language limit
constexpr std::size_t ware_fields = 8;

std::size_t ware_field(std::string_view name) {
    return static_cast<std::size_t>(field::at(Holder::ware, name));
}

class Instantiator {
  public:
    Instantiator(const Program& program, const Ceramics& ceramics, Firing& firing,
                 Diagnostics& diagnostics)
        : program_(program), firing_(firing), diagnostics_(diagnostics),
          evaluator_(program, ceramics, diagnostics, firing.arena) {
        firing_.ware.emplace_back(); // the one ware, until a load is seen
    }

    bool run_declaration(DeclarationId id) {
        const Declaration& declaration = program_.declarations[id];
        const Module& module = program_.modules[declaration.module];
        firing_.declaration = id;
        firing_.name = program_.name(declaration.name);
        firing_.span = module.span(module.child(declaration.node, 0));
        Value* frame = evaluator_.enter(declaration.frame_size);
        const NodeId origin = module.child(declaration.node, 2);
        const NodeId title = module.child(declaration.node, 3);
        const std::uint32_t outer = trail(declaration.module, declaration.node, none);
        if (module.tree.present(title)) {
            firing_.title = evaluator_.text(declaration.module, title, frame);
        }
        if (module.tree.present(origin) && !run_origin(declaration.module, origin, frame, outer)) {
            return false;
        }
        const NodeId block = module.child(declaration.node, 4);
        if (module.tree[block].kind == NodeKind::block &&
            !settings(declaration.module, block, frame, outer)) {
            return false;
        }
        return finish();
    }

    bool run_template(DeclarationId id, std::span<const Value> arguments, std::string_view name) {
        firing_.name = firing_.arena.copy(name);
        const Declaration& declaration = program_.declarations[id];
        firing_.span = program_.span(
            declaration.module, program_.modules[declaration.module].child(declaration.node, 0));
        Value* frame = evaluator_.enter(declaration.frame_size);
        std::copy(arguments.begin(), arguments.end(), frame);
        return apply_template(id, frame, none) && finish();
    }

  private:
    struct Cursor {
        ModuleId module;
        Value* frame;
        std::uint32_t outer; // trail of the block
    };

    std::uint32_t trail(ModuleId module, NodeId node, std::uint32_t outer) {
        firing_.trail.push_back({module, node, outer});
        return static_cast<std::uint32_t>(firing_.trail.size() - 1);
    }

    Diagnostic& report(DiagnosticKind kind, const Cursor& at, NodeId node, std::string message) {
        Diagnostic& d =
            diagnostics_.report(kind, program_.span(at.module, node), std::move(message));
        explain_trail(d, program_, firing_, at.outer);
        return d;
    }

    bool run_origin(ModuleId id, NodeId origin, Value* frame, std::uint32_t outer) {
        const Module& module = program_.modules[id];
        if (module.info[origin].kind != RefKind::call)
            return false;
        const CallInfo& call = module.calls[module.info[origin].index];
        const Declaration& callee = program_.declarations[call.index];
        Value* inner = evaluator_.enter(callee.frame_size);
        if (!evaluator_.bind(id, call, callee, frame, inner))
            return false;
        return apply_template(call.index, inner, outer);
    }

    bool apply_template(DeclarationId id, Value* frame, std::uint32_t outer) {
        const Declaration& declaration = program_.declarations[id];
        const Module& module = program_.modules[declaration.module];
        firing_.template_ = id;
        const auto parameters = program_.parameters_of(declaration);
        for (std::size_t i = 0; i < parameters.size(); ++i) {
            const Parameter& parameter = parameters[i];
            firing_.arguments.push_back(
                {parameter.name, print_value(program_, frame[i], parameter.type)});
            fill_slot(parameter, frame[i], declaration.module);
        }
        const NodeId title = module.child(declaration.node, 3);
        if (firing_.title.empty() && module.tree.present(title)) {
            firing_.title = evaluator_.text(declaration.module, title, frame);
        }
        const NodeId block = module.child(declaration.node, 4);
        return module.tree[block].kind != NodeKind::block ||
               settings(declaration.module, block, frame, outer);
    }

    void fill_slot(const Parameter& parameter, const Value& value, ModuleId module) {
        const Span span = program_.span(module, parameter.node);
        switch (parameter.slot) {
        case Slot::plain: break;
        case Slot::kiln: set_kiln(value, span); break;
        case Slot::body: set_ware(firing_.ware[0], ware_field("body"), value, span); break;
        case Slot::glaze: set_ware(firing_.ware[0], ware_field("glaze"), value, span); break;
        case Slot::thickness:
            set_ware(firing_.ware[0], ware_field("thickness"), value, span);
            break;
        case Slot::moisture: set_ware(firing_.ware[0], ware_field("moisture"), value, span); break;
        case Slot::mass: set_ware(firing_.ware[0], ware_field("mass"), value, span); break;
        }
    }

    void set_kiln(const Value& value, Span span) {
        if (!value.is(ValueKind::profile))
            return;
        if (firing_.kiln != none && firing_.kiln != value.index) {
            diagnostics_
                .report(DiagnosticKind::slot_twice, span,
                        fmt::format("two kilns are given for {}: {} and {}", firing_.name,
                                    profile_name(firing_.kiln), profile_name(value.index)))
                .note(firing_.kiln_span, "the other is here");
            failed_ = true;
            return;
        }
        firing_.kiln = value.index;
        firing_.kiln_span = span;
    }

    std::string_view profile_name(std::uint32_t profile) const {
        return program_.name(program_.declarations[program_.profiles[profile].declaration].name);
    }

    void set_ware(FiringWare& group, std::size_t field, const Value& value, Span span) {
        if (!value.known())
            return;
        const Value& before = group.fields[field];
        if (before.known() && !same_value(before, value)) {
            const Field& which = fields_of(Holder::ware)[field];
            const TypeId type =
                which.shape == FieldShape::quantity
                    ? program_.types->is_quantity(Types::length, which.dimension) ? Types::length
                      : program_.types->is_quantity(Types::mass, which.dimension) ? Types::mass
                                                                                  : Types::fraction
                    : Types::text;
            diagnostics_
                .report(DiagnosticKind::slot_twice, span,
                        fmt::format("two values are given for the {} of the ware: {} and {}",
                                    which.name, print_value(program_, before, type),
                                    print_value(program_, value, type)))
                .note(group.spans[field], "the other is here");
            failed_ = true;
            return;
        }
        group.fields[field] = value;
        group.spans[field] = span;
    }

    // --- settings ---

    bool settings(ModuleId module, NodeId block, Value* frame, std::uint32_t outer) {
        const Cursor at{module, frame, outer};
        const Module& m = program_.modules[module];
        for (std::uint32_t i = 0; i < m.tree.count(block); ++i) {
            if (!setting(at, m.child(block, i)))
                return false;
        }
        return true;
    }

    Value known(const Cursor& at, NodeId node, std::string_view what) {
        const Value value = evaluator_.evaluate_known(at.module, node, at.frame, what);
        if (!value.known())
            failed_ = true;
        return value;
    }

    // `let` and `require`, which settings and steps share. 1 done, 0 failed, -1 another statement.
    int common(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        switch (module.tree[node].kind) {
        case NodeKind::let: {
            const Value value = evaluator_.evaluate(at.module, module.child(node, 1), at.frame);
            if (value.is(ValueKind::poison))
                return 0;
            at.frame[module.info[node].index] = value;
            return 1;
        }
        case NodeKind::require: {
            const Value holds = known(at, module.child(node, 0), "`require`");
            if (!holds.known())
                return 0;
            if (holds.yes())
                return 1;
            const NodeId reason = module.child(node, 1);
            const std::string_view text = module.tree.present(reason)
                                              ? evaluator_.text(at.module, reason, at.frame)
                                              : module.tree.source(module.child(node, 0));
            Diagnostic& d =
                report(DiagnosticKind::requirement_failed, at, module.child(node, 0),
                       fmt::format("{} can't be fired like this: {}", firing_.name, text));
            explain_condition(d, at, module.child(node, 0));
            return 0;
        }
        default: return -1;
        }
    }

    // The values on both sides of a failed comparison.
    void explain_condition(Diagnostic& d, const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        while (module.tree[node].kind == NodeKind::paren)
            node = module.child(node, 0);
        if (module.tree[node].kind != NodeKind::binary)
            return;
        for (std::uint32_t i : {0u, 1u}) {
            const NodeId side = module.child(node, i);
            if (module.info[side].kind == RefKind::literal ||
                module.info[side].type == Types::yes_no) {
                continue;
            }
            const Value value = evaluator_.evaluate(at.module, side, at.frame);
            if (!value.known())
                continue;
            d.note(fmt::format("{} is {}", module.tree.source(side),
                               print_value(program_, value, module.info[side].type)));
        }
    }

    bool setting(const Cursor& at, NodeId node) {
        if (const int done = common(at, node); done >= 0)
            return done == 1;
        const Module& module = program_.modules[at.module];
        switch (module.tree[node].kind) {
        case NodeKind::phase: return phase(at, node);
        case NodeKind::field: return slot_setting(at, node);
        case NodeKind::ware:
            own_ware_ = program_.span(at.module, node);
            return !load_and_ware(at, node) && ware(at, module.child(node, 1), firing_.ware[0]);
        case NodeKind::load:
            firing_.is_load = true;
            return !load_and_ware(at, node) && load(at, module.child(node, 0));
        case NodeKind::about:
            firing_.about = evaluator_.text(at.module, module.child(node, 0), at.frame);
            return true;
        case NodeKind::start_at: {
            const Value value = known(at, module.child(node, 0), "the start");
            if (!value.known())
                return false;
            firing_.start_c = value.number;
            return true;
        }
        case NodeKind::start_after: {
            const Value value = known(at, module.child(node, 0), "the delay");
            if (!value.known())
                return false;
            if (value.number < 0) {
                report(DiagnosticKind::not_positive, at, module.child(node, 0),
                       "a delay can't be below zero");
                return false;
            }
            firing_.delay_s = value.number;
            return true;
        }
        case NodeKind::confirm: {
            FiringConfirm confirmation;
            confirmation.text = evaluator_.text(at.module, module.child(node, 0), at.frame);
            if (module.tree.present(module.child(node, 1))) {
                confirmation.by = evaluator_.text(at.module, module.child(node, 1), at.frame);
            }
            firing_.confirmations.push_back(confirmation);
            return true;
        }
        case NodeKind::allow:
            firing_.waivers.push_back({program_.name(module.info[module.child(node, 0)].index),
                                       evaluator_.text(at.module, module.child(node, 1), at.frame),
                                       module.span(node)});
            return true;
        case NodeKind::accept: return accept(at, module.child(node, 0));
        case NodeKind::simplify: {
            const Value value = known(at, module.child(node, 0), "`simplify within`");
            if (!value.known())
                return false;
            firing_.simplify_within_k = value.number;
            return true;
        }
        default: return true;
        }
    }

    bool slot_setting(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        const std::string_view word = module.tree.source(module.child(node, 0));
        const NodeId value_node = module.child(node, 1);
        const Value value = known(at, value_node, word);
        if (!value.known())
            return false;
        if (word == "kiln") {
            set_kiln(value, module.span(value_node));
        } else {
            set_ware(firing_.ware[0], ware_field(word), value, module.span(value_node));
        }
        return !failed_;
    }

    bool load_and_ware(const Cursor& at, NodeId node) {
        if (!firing_.is_load || !own_ware_) {
            load_ = program_.span(at.module, node);
            return false;
        }
        report(DiagnosticKind::load_and_ware, at, node,
               fmt::format("{} has a `ware` of its own and a `load` as well", firing_.name))
            .note(load_, "the other is here")
            .mend("put all the ware into the load, each in a `ware NAME { … }`");
        return true;
    }

    bool ware(const Cursor& at, NodeId block, FiringWare& group) {
        const Module& module = program_.modules[at.module];
        if (module.tree[block].kind != NodeKind::block)
            return true;
        for (std::uint32_t i = 0; i < module.tree.count(block); ++i) {
            const NodeId node = module.child(block, i);
            if (module.tree[node].kind == NodeKind::shelf) {
                const NodeId word = module.child(node, 0);
                set_ware(group, ware_field("shelf"), Value::text(module.tree.source(word)),
                         module.span(word));
                continue;
            }
            if (module.tree[node].kind != NodeKind::field)
                continue;
            const NodeId word = module.child(node, 0);
            const NodeId value_node = module.child(node, 1);
            if (module.info[word].kind != RefKind::field)
                continue;
            const Field& which = fields_of(Holder::ware)[module.info[word].index];
            if (which.shape == FieldShape::word) {
                set_ware(group, module.info[word].index,
                         Value::text(module.tree.source(value_node)), module.span(value_node));
                continue;
            }
            const Value value = known(at, value_node, which.name);
            if (!value.known())
                return false;
            if (which.shape == FieldShape::quantity && value.number < 0) {
                report(DiagnosticKind::not_positive, at, value_node,
                       fmt::format("the {} of ware can't be below zero", which.name));
                return false;
            }
            set_ware(group, module.info[word].index, value, module.span(value_node));
        }
        return !failed_;
    }

    bool load(const Cursor& at, NodeId block) {
        const Module& module = program_.modules[at.module];
        if (module.tree[block].kind != NodeKind::block)
            return true;
        for (std::uint32_t i = 0; i < module.tree.count(block); ++i) {
            const NodeId node = module.child(block, i);
            if (module.tree[node].kind != NodeKind::ware)
                continue;
            FiringWare group;
            group.span = module.span(node);
            const NodeId name = module.child(node, 0);
            if (module.tree.present(name))
                group.name = module.tree.source(name);
            if (!ware(at, module.child(node, 1), group))
                return false;
            groups_.push_back(group);
        }
        return true;
    }

    bool accept(const Cursor& at, NodeId block) {
        const Module& module = program_.modules[at.module];
        for (std::uint32_t i = 0; i < module.tree.count(block); ++i) {
            const NodeId node = module.child(block, i);
            FiringAccept item;
            switch (module.tree[node].kind) {
            case NodeKind::accept_peak:
                item.kind = AcceptKind::peak;
                item.tolerance = known(at, module.child(node, 0), "`accept`").number;
                break;
            case NodeKind::accept_duration:
                item.kind = AcceptKind::duration;
                item.tolerance = known(at, module.child(node, 0), "`accept`").number;
                break;
            case NodeKind::accept_soak:
                item.kind = AcceptKind::soak;
                item.value = known(at, module.child(node, 0), "`accept`").number;
                item.tolerance = known(at, module.child(node, 1), "`accept`").number;
                break;
            case NodeKind::accept_witness:
                item.kind = AcceptKind::witness;
                item.value = known(at, module.child(node, 0), "`accept`").number;
                if (module.tree.present(module.child(node, 1))) {
                    item.shelf = module.tree.source(module.child(node, 1));
                }
                break;
            default: continue;
            }
            firing_.accept.push_back(item);
        }
        return !failed_;
    }

    // --- phases and steps ---

    bool phase(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        FiringPhase phase;
        phase.name = program_.names.find(module.tree.source(module.child(node, 0)));
        phase.module = at.module;
        phase.node = node;
        if (const NodeId title = module.child(node, 3); module.tree.present(title)) {
            phase.title = evaluator_.text(at.module, title, at.frame);
        }
        firing_.phases.push_back(phase);
        return steps(at, module.child(node, 4));
    }

    bool steps(const Cursor& at, NodeId block) {
        const Module& module = program_.modules[at.module];
        if (module.tree[block].kind != NodeKind::block)
            return true;
        for (std::uint32_t i = 0; i < module.tree.count(block); ++i) {
            if (!step(at, module.child(block, i)))
                return false;
        }
        return true;
    }

    Step& add_step(StepKind kind, const Cursor& at, NodeId node) {
        Step& step = firing_.steps.emplace_back();
        step.kind = kind;
        step.phase = static_cast<std::uint32_t>(firing_.phases.size() - 1);
        step.trail = trail(at.module, node, at.outer);
        return step;
    }

    bool step(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        if (!evaluator_.spend(at.module, node))
            return false;
        if (firing_.steps.size() > 4 * most_segments) {
            report(DiagnosticKind::too_many_segments, at, node,
                   fmt::format("{} goes on for more than {} steps; a firing may have {} segments",
                               firing_.name, 4 * most_segments, most_segments));
            return false;
        }
        if (const int done = common(at, node); done >= 0)
            return done == 1;
        switch (module.tree[node].kind) {
        case NodeKind::ramp:
        case NodeKind::cool: return climb(at, node);
        case NodeKind::soak: {
            const Value value = known(at, module.child(node, 0), "`soak`");
            if (!value.known())
                return false;
            Step& step = add_step(StepKind::soak, at, node);
            step.amount = value.number;
            step.unit = value.unit;
            return waiting(at, module.child(node, 1), firing_.steps.size() - 1);
        }
        case NodeKind::soak_until: {
            const Value value = known(at, module.child(node, 0), "`soak until`");
            if (!value.known())
                return false;
            add_step(StepKind::soak_until, at, node).target = value;
            return true;
        }
        case NodeKind::follow: return follow(at, node);
        case NodeKind::when: return when(at, node);
        case NodeKind::repeat: return repeat(at, node);
        case NodeKind::for_each: {
            const Value list = known(at, module.child(node, 1), "`for each`");
            if (!list.is(ValueKind::list))
                return false;
            for (const Value& value : list.as_list()) {
                at.frame[module.info[node].index] = value;
                if (!steps(at, module.child(node, 2)))
                    return false;
            }
            return true;
        }
        case NodeKind::vent:
        case NodeKind::atmosphere: return attribute(at, node);
        case NodeKind::set: return set_control(at, node);
        case NodeKind::note:
        case NodeKind::do_: {
            const Value value = evaluator_.evaluate(at.module, module.child(node, 0), at.frame);
            if (!value.is(ValueKind::text))
                return false;
            const bool job = module.tree[node].kind == NodeKind::do_;
            add_step(job ? StepKind::job : StepKind::note, at, node).text = value.as_text();
            return true;
        }
        case NodeKind::about:
            firing_.phases.back().about =
                evaluator_.text(at.module, module.child(node, 0), at.frame);
            return true;
        default: return true;
        }
    }

    bool waiting(const Cursor& at, NodeId node, std::size_t step) {
        const Module& module = program_.modules[at.module];
        if (!module.tree.present(node))
            return true;
        const Value value = known(at, node, "`waiting within`");
        if (!value.known())
            return false;
        if (!(value.number > 0)) {
            report(DiagnosticKind::not_positive, at, node,
                   "`waiting within` must be above zero degrees");
            return false;
        }
        firing_.steps[step].waiting_within_k = value.number;
        return true;
    }

    bool climb(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        const bool cooling = module.tree[node].kind == NodeKind::cool;
        Step step;
        step.cooling = cooling;
        step.by = module.tree[node].flag == 1;
        step.target = known(at, module.child(node, 0), cooling ? "`cool`" : "`ramp`");
        if (!step.target.known())
            return false;
        if (cooling && step.target.is(ValueKind::cone)) {
            report(DiagnosticKind::cone_while_cooling, at, module.child(node, 0),
                   "a cone can't be reached by cooling: it measures heat work, which only adds up");
            return false;
        }
        const NodeId how = module.child(node, 1);
        switch (module.tree[how].kind) {
        case NodeKind::at_rate:
        case NodeKind::over_time: {
            step.how = module.tree[how].kind == NodeKind::at_rate ? How::rate : How::over;
            const Value value =
                known(at, module.child(how, 0), step.how == How::rate ? "the rate" : "`over`");
            if (!value.known())
                return false;
            step.amount = value.number;
            step.unit = value.unit;
            break;
        }
        case NodeKind::at_full: step.how = How::full; break;
        case NodeKind::freely: step.how = How::freely; break;
        case NodeKind::opened: step.how = How::opened; break;
        default: return false;
        }
        if (const NodeId soak = module.child(node, 2); module.tree.present(soak)) {
            const Value value = known(at, soak, "`with soak`");
            if (!value.known())
                return false;
            step.with_soak_s = value.number;
            step.unit_of_soak = value.unit;
        }
        const Step filled = step;
        Step& added = add_step(StepKind::climb, at, node);
        const std::uint32_t phase = added.phase, trail_index = added.trail;
        added = filled;
        added.phase = phase;
        added.trail = trail_index;
        return waiting(at, module.child(node, 3), firing_.steps.size() - 1);
    }

    bool follow(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        NodeId target = module.child(node, 0);
        while (module.tree[target].kind == NodeKind::paren)
            target = module.child(target, 0);
        if (module.info[target].kind != RefKind::call)
            return false;
        const CallInfo& call = module.calls[module.info[target].index];
        const Declaration& callee = program_.declarations[call.index];
        if (!callee.usable)
            return false;
        Value* frame = evaluator_.enter(callee.frame_size);
        if (frame == nullptr) {
            report(DiagnosticKind::too_deep, at, node, "phases are nested too deep");
            return false;
        }
        bool ok = evaluator_.bind(at.module, call, callee, at.frame, frame);
        if (ok) {
            const NodeId block = program_.modules[callee.module].child(callee.node, 4);
            ok = steps({callee.module, frame, trail(at.module, node, at.outer)}, block);
        }
        evaluator_.leave(frame);
        return ok;
    }

    bool when(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        const Value condition = known(at, module.child(node, 0), "`when`");
        if (!condition.known())
            return false;
        if (condition.yes())
            return steps(at, module.child(node, 1));
        const NodeId otherwise = module.child(node, 2);
        return module.tree[otherwise].kind == NodeKind::when ? when(at, otherwise)
                                                             : steps(at, otherwise);
    }

    bool repeat(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        const NodeId count_node = module.child(node, 0);
        const Value count = known(at, count_node, "`repeat`");
        if (!count.known())
            return false;
        if (count.number < 1 || count.number != std::floor(count.number)) {
            report(DiagnosticKind::bad_count, at, count_node,
                   fmt::format("one can't repeat {} times; counts are whole and start at 1",
                               print_number(count.number)));
            return false;
        }
        if (count.number > most_repeats) {
            report(DiagnosticKind::bad_count, at, count_node,
                   fmt::format("{} times is more than the {} that a `repeat` may have",
                               print_number(count.number), most_repeats));
            return false;
        }
        for (int i = 0; i < static_cast<int>(count.number); ++i) {
            if (!steps(at, module.child(node, 1)))
                return false;
        }
        return true;
    }

    bool attribute(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        const bool is_vent = module.tree[node].kind == NodeKind::vent;
        const Value value = known(at, module.child(node, 0), is_vent ? "`vent`" : "`atmosphere`");
        if (!value.is(ValueKind::choice))
            return false;
        const std::string_view word = program_.name(value.index);
        Step& step = add_step(is_vent ? StepKind::vent : StepKind::atmosphere, at, node);
        // The order of the enums in runtime/schedule; 0 is unknown.
        step.amount = word == "open" || word == "oxidation"    ? 1
                      : word == "propped" || word == "neutral" ? 2
                                                               : 3;
        return true;
    }

    bool set_control(const Cursor& at, NodeId node) {
        const Module& module = program_.modules[at.module];
        const NodeId word = module.child(node, 0);
        const NodeId value_node = module.child(node, 1);
        const std::string_view name = module.tree.source(word);
        if (firing_.kiln == none) {
            report(DiagnosticKind::unknown_control, at, word,
                   fmt::format("no kiln is given yet, so there is no control `{}` to set", name))
                .mend("name the kiln before the phases: `kiln loft`");
            return false;
        }
        const Profile& kiln = program_.profiles[firing_.kiln];
        const ProfileControl* control = nullptr;
        std::vector<std::string_view> names;
        for (const ProfileControl& each : kiln.controls) {
            names.push_back(program_.name(each.name));
            if (names.back() == name)
                control = &each;
        }
        if (control == nullptr) {
            Diagnostic& d = report(
                DiagnosticKind::unknown_control, at, word,
                fmt::format("the kiln {} has no control `{}`", profile_name(firing_.kiln), name));
            if (const auto near = nearest(name, names)) {
                d.mend(fmt::format("did you mean `{}`?", *near), module.span(word),
                       std::string(*near));
            } else {
                d.mend(fmt::format("declare it in the kiln: `control {} one of shut, half, open`",
                                   name));
            }
            return false;
        }
        return set_control_value(at, node, value_node, *control);
    }

    bool set_control_value(const Cursor& at, NodeId node, NodeId value_node,
                           const ProfileControl& control) {
        const Module& module = program_.modules[at.module];
        const Types& types = *program_.types;
        const NodeInfo& info = module.info[value_node];
        std::string printed;
        if (types.kind(control.type) == TypeKind::choice) {
            NameId word = 0;
            if (info.kind == RefKind::word) {
                word = info.index;
            } else if (const Value value = known(at, value_node, "`set`");
                       value.is(ValueKind::choice)) {
                word = value.index;
            } else if (!value.known()) {
                return false;
            }
            const auto& words = types[control.type].words;
            if (std::find(words.begin(), words.end(), word) == words.end()) {
                report(DiagnosticKind::unknown_choice, at, value_node,
                       fmt::format("`{}` can be {}", program_.name(control.name),
                                   types.describe(control.type)));
                return false;
            }
            printed = program_.name(word);
        } else {
            if (info.kind == RefKind::word || !types.accepts(control.type, info.type)) {
                report(DiagnosticKind::wrong_type, at, value_node,
                       fmt::format("`{}` is set to {}{}", program_.name(control.name),
                                   types.describe(control.type),
                                   info.kind == RefKind::word
                                       ? "; a name in this place needs parentheses"
                                       : ""));
                return false;
            }
            const Value value = known(at, value_node, "`set`");
            if (!value.known())
                return false;
            printed = print_value(program_, value, control.type);
        }
        const std::string_view kept = firing_.arena.copy(printed);
        Step& step = add_step(StepKind::set, at, node);
        step.control = control.name;
        step.text = kept;
        return true;
    }

    // --- the end ---

    bool finish() {
        if (failed_)
            return false;
        if (firing_.is_load && !merge_load())
            return false;
        for (FiringWare& group : firing_.ware) {
            default_from_body(group);
            default_state(group);
        }
        if (!check_shelves())
            return false;
        bool fires = false;
        for (const Step& step : firing_.steps) {
            fires = fires || step.kind == StepKind::climb || step.kind == StepKind::soak ||
                    step.kind == StepKind::soak_until;
        }
        if (!fires) {
            diagnostics_
                .report(DiagnosticKind::no_phases, firing_.span,
                        fmt::format("{} has nothing to fire: no phase of it climbs, soaks or cools",
                                    firing_.name))
                .mend("give it a phase with a step, such as `ramp to 600C at 100C/h`");
            return false;
        }
        return true;
    }

    // The groups take the place of the one ware; what a template's parameters say holds for all.
    bool merge_load() {
        const FiringWare common = firing_.ware[0];
        for (FiringWare& group : groups_) {
            for (std::size_t i = 0; i < ware_fields; ++i) {
                if (common.fields[i].known()) {
                    set_ware(group, i, common.fields[i], common.spans[i]);
                }
            }
        }
        firing_.ware = groups_;
        return !failed_;
    }

    // Ware whose bisque cone is told has been bisqued.
    void default_state(FiringWare& group) const {
        Value& state = group.fields[ware_field("state")];
        if (!state.known() && group.fields[ware_field("bisqued")].known())
            state = Value::indexed(ValueKind::choice, program_.names.find("bisque"));
    }

    void default_from_body(FiringWare& group) const {
        const Value& body = group.fields[ware_field("body")];
        if (!body.is(ValueKind::profile))
            return;
        const Profile& profile = program_.profiles[body.index];
        for (std::string_view name : {"thickness", "moisture"}) {
            Value& own = group.fields[ware_field(name)];
            const Value& general =
                profile.fields[static_cast<std::size_t>(field::at(Holder::body, name))];
            if (!own.known() && general.known())
                own = general;
        }
    }

    bool check_shelves() {
        if (firing_.kiln == none)
            return true;
        const Profile& kiln = program_.profiles[firing_.kiln];
        if (kiln.shelves.empty())
            return true;
        std::vector<std::string_view> names;
        for (const ProfileShelf& shelf : kiln.shelves)
            names.push_back(program_.name(shelf.name));
        for (const FiringWare& group : firing_.ware) {
            const Value& shelf = group.fields[ware_field("shelf")];
            if (!shelf.is(ValueKind::text))
                continue;
            if (std::find(names.begin(), names.end(), shelf.as_text()) != names.end())
                continue;
            Diagnostic& d =
                diagnostics_.report(DiagnosticKind::unknown_shelf, group.spans[ware_field("shelf")],
                                    fmt::format("the kiln {} has no shelf `{}`",
                                                profile_name(firing_.kiln), shelf.as_text()));
            if (const auto near = nearest(shelf.as_text(), names)) {
                d.mend(fmt::format("did you mean `{}`?", *near), group.spans[ware_field("shelf")],
                       std::string(*near));
            }
            return false;
        }
        return true;
    }

    const Program& program_;
    Firing& firing_;
    Diagnostics& diagnostics_;
    Evaluator evaluator_;
    std::vector<FiringWare> groups_;
    std::optional<Span> own_ware_; // `ware { }` beside the phases
    Span load_;                    // the last `ware` or `load`
    bool failed_ = false;
};

} // namespace

void Firing::clear() {
    Firing fresh;
    const auto keep = [](auto& list, auto& into) {
        list.clear();
        into = std::move(list);
    };
    keep(arguments, fresh.arguments);
    keep(ware, fresh.ware);
    keep(confirmations, fresh.confirmations);
    keep(waivers, fresh.waivers);
    keep(accept, fresh.accept);
    keep(phases, fresh.phases);
    keep(steps, fresh.steps);
    keep(trail, fresh.trail);
    keep(arena, fresh.arena);
    *this = std::move(fresh);
}

void explain_trail(Diagnostic& diagnostic, const Program& program, const Firing& firing,
                   std::uint32_t trail) {
    for (std::uint32_t at = trail; at != none; at = firing.trail[at].outer) {
        const TrailFrame& frame = firing.trail[at];
        const Module& module = program.modules[frame.module];
        if (module.tree[frame.node].kind == NodeKind::firing) {
            const Span name = module.span(module.child(frame.node, 0));
            if (name == diagnostic.span)
                continue;
            diagnostic.note(name, fmt::format("in the firing {}", firing.name));
        } else if (module.tree[frame.node].kind == NodeKind::follow) {
            diagnostic.note(module.span(frame.node), "followed from here");
        }
    }
}

void instantiate(const Program& program, const Ceramics& ceramics, DeclarationId declaration,
                 Firing& firing, Diagnostics& diagnostics) {
    firing.clear();
    const std::size_t before = diagnostics.count(Level::error);
    const bool done =
        Instantiator(program, ceramics, firing, diagnostics).run_declaration(declaration);
    firing.ok = done && diagnostics.count(Level::error) == before;
}

void instantiate_template(const Program& program, const Ceramics& ceramics, DeclarationId template_,
                          std::span<const Value> arguments, std::string_view name, Firing& firing,
                          Diagnostics& diagnostics) {
    firing.clear();
    const std::size_t before = diagnostics.count(Level::error);
    const bool done = Instantiator(program, ceramics, firing, diagnostics)
                          .run_template(template_, arguments, name);
    firing.ok = done && diagnostics.count(Level::error) == before;
}

} // namespace fettle
