#include "compiler/meaning/checker.h"
#include "compiler/source/nearest.h"

namespace fettle {
namespace {

bool is_step(NodeKind kind) {
    switch (kind) {
    case NodeKind::ramp:
    case NodeKind::cool:
    case NodeKind::soak:
    case NodeKind::soak_until:
    case NodeKind::follow:
    case NodeKind::when:
    case NodeKind::repeat:
    case NodeKind::for_each:
    case NodeKind::vent:
    case NodeKind::atmosphere:
    case NodeKind::set:
    case NodeKind::note:
    case NodeKind::do_: return true;
    default: return false;
    }
}

} // namespace

void Checker::misplaced(NodeId node, std::string_view mend) {
    std::string_view word = source(node);
    word = word.substr(0, word.find_first_of(" \t\n{"));
    report(DiagnosticKind::misplaced_statement, node,
           fmt::format("`{}` does not belong here", word))
        .mend(std::string(mend));
}

void Checker::check_block(NodeId block, Where where) {
    if (kind(block) != NodeKind::block)
        return;
    const std::size_t locals = frame_->locals.size();
    bool has_step = false;
    std::vector<NodeId> phases;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId statement = child(block, i);
        check_statement(statement, where);
        has_step = has_step || is_step(kind(statement)) || kind(statement) == NodeKind::error;
        if (kind(statement) != NodeKind::phase)
            continue;
        const NodeId word = child(statement, 0);
        for (NodeId other : phases) {
            if (source(child(other, 0)) != source(word))
                continue;
            report(DiagnosticKind::duplicate_name, word,
                   fmt::format("there are two phases called `{}`", source(word)))
                .note(tree().span(child(other, 0)), "the first is here");
        }
        phases.push_back(statement);
    }
    leave_scope(locals);
}

bool Checker::check_common_statement(NodeId node) {
    switch (kind(node)) {
    case NodeKind::let: {
        const TypeId type = expression(child(node, 1));
        set(node, type, RefKind::local, add_local(child(node, 0), type));
        return true;
    }
    case NodeKind::require:
        require(child(node, 0), Types::yes_no, "`require`");
        if (present(child(node, 1)))
            require(child(node, 1), Types::text, "the reason");
        return true;
    case NodeKind::about: require(child(node, 0), Types::text, "`about`"); return true;
    case NodeKind::error:
    case NodeKind::absent: return true;
    default: return false;
    }
}

void Checker::check_statement(NodeId node, Where where) {
    if (check_common_statement(node))
        return;
    if (where == Where::steps) {
        check_step(node);
    } else {
        check_setting(node);
    }
}

// --- settings of a firing ---

void Checker::check_setting(NodeId node) {
    switch (kind(node)) {
    case NodeKind::phase: {
        if (kind(child(node, 0)) == NodeKind::word)
            intern(child(node, 0)); // outputs print it
        if (present(child(node, 3)))
            require(child(node, 3), Types::text, "a title");
        const NodeId block = child(node, 4);
        if (kind(block) == NodeKind::block && count(block) == 0) {
            report(DiagnosticKind::empty_phase, child(node, 0),
                   fmt::format("phase `{}` has no steps", source(child(node, 0))))
                .mend("give it a step, such as `ramp to 600C at 100C/h`, or take it out");
        }
        check_block(block, Where::steps);
        break;
    }
    case NodeKind::field: check_slot_setting(node); break;
    case NodeKind::ware:
        check_ware(child(node, 1));
        if (present(child(node, 0))) {
            report(DiagnosticKind::misplaced_statement, child(node, 0),
                   "the one ware of a firing has no name")
                .mend("put several groups into `load { … }`");
        }
        break;
    case NodeKind::load: {
        const NodeId block = child(node, 0);
        if (kind(block) != NodeKind::block)
            break;
        for (std::uint32_t i = 0; i < count(block); ++i) {
            const NodeId ware = child(block, i);
            if (kind(ware) == NodeKind::ware) {
                check_ware(child(ware, 1));
            } else if (kind(ware) != NodeKind::error) {
                misplaced(ware, "a load has groups: `ware mugs { … }`");
            }
        }
        break;
    }
    case NodeKind::start_at: require(child(node, 0), Types::temperature, "`start at`"); break;
    case NodeKind::start_after: require(child(node, 0), Types::duration, "the delay"); break;
    case NodeKind::confirm:
        require(child(node, 0), Types::text, "`confirm`");
        if (present(child(node, 1)))
            require(child(node, 1), Types::text, "who confirms it");
        break;
    case NodeKind::allow: {
        rule_name(child(node, 0));
        if (present(child(node, 1))) {
            require(child(node, 1), Types::text, "the reason of a waiver");
        }
        break;
    }
    case NodeKind::accept: check_accept(child(node, 0)); break;
    case NodeKind::simplify: require_difference(child(node, 0), "`simplify within`"); break;
    default:
        if (is_step(kind(node))) {
            misplaced(node, "steps stand in a phase: `phase drying { … }`");
        } else {
            misplaced(node, "a firing has settings (body, kiln, ware, …) and phases");
        }
    }
}

void Checker::check_slot_setting(NodeId node) {
    const NodeId word = child(node, 0);
    constexpr std::pair<std::string_view, ProfileKind> slots[] = {
        {"body", ProfileKind::body}, {"kiln", ProfileKind::kiln}, {"glaze", ProfileKind::glaze}};
    for (const auto& [name, profile_kind] : slots) {
        if (source(word) != name)
            continue;
        if (count(node) < 2)
            return;
        require(child(node, 1), types_.profile(profile_kind), fmt::format("`{}`", name));
        return;
    }
}

void Checker::check_ware(NodeId block) {
    if (kind(block) != NodeKind::block)
        return;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId statement = child(block, i);
        if (kind(statement) == NodeKind::field) {
            check_field(Holder::ware, statement);
        } else {
            check_profile_statement(Holder::ware, statement);
        }
    }
}

void Checker::check_accept(NodeId block) {
    if (kind(block) != NodeKind::block)
        return;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        switch (kind(item)) {
        case NodeKind::accept_peak: require_difference(child(item, 0), "`peak within`"); break;
        case NodeKind::accept_duration:
            require(child(item, 0), Types::duration, "`duration within`");
            break;
        case NodeKind::accept_soak:
            require(child(item, 0), Types::duration, "`soak at least`");
            require_difference(child(item, 1), "`within`");
            break;
        case NodeKind::accept_witness: require(child(item, 0), Types::cone, "`witness`"); break;
        case NodeKind::error:
        case NodeKind::absent: break;
        default: misplaced(item, "`accept` has peak, soak, witness and duration");
        }
    }
}

// --- steps ---

void Checker::check_step(NodeId node) {
    switch (kind(node)) {
    case NodeKind::ramp:
    case NodeKind::cool: check_climb(node); break;
    case NodeKind::soak:
        require(child(node, 0), Types::duration, "`soak`");
        if (present(child(node, 1)))
            require_difference(child(node, 1), "`waiting within`");
        break;
    case NodeKind::soak_until: require(child(node, 0), Types::cone, "`soak until`"); break;
    case NodeKind::follow: check_follow(node); break;
    case NodeKind::when: {
        condition(child(node, 0));
        check_block(child(node, 1), Where::steps);
        const NodeId otherwise = child(node, 2);
        if (kind(otherwise) == NodeKind::when) {
            check_step(otherwise);
        } else {
            check_block(otherwise, Where::steps);
        }
        break;
    }
    case NodeKind::repeat:
        require(child(node, 0), Types::number, "the count of `repeat`");
        check_block(child(node, 1), Where::steps);
        break;
    case NodeKind::for_each: {
        const TypeId type = expression(child(node, 1));
        TypeId element = Types::poison;
        if (types_.kind(type) == TypeKind::list) {
            element = types_[type].element;
        } else if (type != Types::poison) {
            mismatch(child(node, 1), types_.list_of(Types::temperature), type, "`for each … in`");
        }
        const std::size_t locals = frame_->locals.size();
        set(node, element, RefKind::local, add_local(child(node, 0), element));
        check_block(child(node, 2), Where::steps);
        leave_scope(locals);
        break;
    }
    case NodeKind::vent: check_choice_slot(child(node, 0), vent_type(types_)); break;
    case NodeKind::atmosphere: check_choice_slot(child(node, 0), atmosphere_type(types_)); break;
    case NodeKind::set: {
        // Which controls there are, and what they take, is known when the kiln is.
        const NodeId value = child(node, 1);
        if (kind(value) == NodeKind::word) {
            set(value, Types::text, RefKind::word, intern(value));
        } else if (kind(value) == NodeKind::name) {
            const NameId name = intern(value);
            set(value, Types::text, RefKind::word, name);
        } else {
            expression(value);
        }
        break;
    }
    case NodeKind::note:
    case NodeKind::do_: require(child(node, 0), Types::text, "this"); break;
    case NodeKind::phase: misplaced(node, "phases stand side by side, not in one another"); break;
    default:
        misplaced(node, "a phase has steps (ramp, soak, cool, follow, …); this is a setting of the "
                        "firing, and goes outside the phase");
    }
}

void Checker::check_climb(NodeId node) {
    const bool cooling = kind(node) == NodeKind::cool;
    const bool by = tree()[node].flag == 1;
    const NodeId target = child(node, 0);
    if (by) {
        require_difference(target, "`by`");
    } else if (cooling) {
        const TypeId type = expression(target);
        if (type == Types::cone) {
            report(DiagnosticKind::cone_while_cooling, target,
                   "a cone can't be reached by cooling: it measures heat work, which only adds up")
                .mend("give the temperature to cool to");
        } else if (type != Types::target && !types_.accepts(Types::temperature, type)) {
            mismatch(target, Types::temperature, type, "the target of `cool`");
        }
    } else {
        require(target, Types::target, "the target of `ramp`");
    }
    const NodeId how = child(node, 1);
    switch (kind(how)) {
    case NodeKind::at_rate: require(child(how, 0), Types::rate, "the rate"); break;
    case NodeKind::over_time: require(child(how, 0), Types::duration, "`over`"); break;
    default: break;
    }
    if (present(child(node, 2)))
        require(child(node, 2), Types::duration, "`with soak`");
    if (present(child(node, 3)))
        require_difference(child(node, 3), "`waiting within`");
}

void Checker::check_follow(NodeId node) {
    NodeId target = unwrap(child(node, 0));
    if (kind(target) == NodeKind::error || kind(target) == NodeKind::absent)
        return;
    call(target, true);
}

} // namespace fettle
