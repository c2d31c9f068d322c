// What the rules leave in the tree: one line for each rule that makes a node.
// Part of the grammar's one translation unit (parse.cpp).
#pragma once

#include "compiler/syntax/grammar.h"

namespace fettle::grammar {

// A rule whose text is a node without children; blanks are not part of such rules.
template <NodeKind Kind> struct leaf : pegtl::maybe_nothing {
    template <typename Rule, apply_mode A, rewind_mode M, template <typename...> class Action,
              template <typename...> class Control, typename Input>
    static bool match(Input& in, TreeBuilder& b) {
        const char* const from = in.current();
        if (!pegtl::match<Rule, A, M, Action, Control>(in, b))
            return false;
        if constexpr (A == apply_mode::action)
            b.push(Kind, from, in.current());
        return true;
    }
};
// The rule says which kind of literal it was.
struct literal_node : pegtl::maybe_nothing {
    template <typename Rule, apply_mode A, rewind_mode M, template <typename...> class Action,
              template <typename...> class Control, typename Input>
    static bool match(Input& in, TreeBuilder& b) {
        const char* const from = in.current();
        if (!pegtl::match<Rule, A, M, Action, Control>(in, b))
            return false;
        if constexpr (A == apply_mode::action)
            b.push(b.literal_kind, from, in.current());
        return true;
    }
};
struct absent_node : pegtl::maybe_nothing {
    template <typename Rule, apply_mode A, rewind_mode M, template <typename...> class Action,
              template <typename...> class Control, typename Input>
    static bool match(Input&, TreeBuilder& b) {
        if constexpr (A == apply_mode::action)
            b.push_absent();
        return true;
    }
};

// What the parent of a node's parts is made from: how many finished nodes before the rule are its
// children, too (an operator finds its left side there), its flag, and where it ends.
enum class Ends { token, here };
template <typename Maker, std::size_t Before = 0, Ends At = Ends::token>
struct branch_of : pegtl::maybe_nothing {
    template <typename Rule, apply_mode A, rewind_mode M, template <typename...> class Action,
              template <typename...> class Control, typename Input>
    static bool match(Input& in, TreeBuilder& b) {
        if constexpr (A == apply_mode::nothing) {
            return pegtl::match<Rule, A, M, Action, Control>(in, b);
        } else {
            const std::size_t height = b.stack.size() - Before;
            const std::size_t made = b.nodes.size();
            const char* const from = in.current();
            if (!pegtl::match<Rule, A, M, Action, Control>(in, b)) {
                b.truncate(height + Before, made);
                return false;
            }
            const char* const begin = Before == 0 ? from : b.begin + b.stack[height].begin;
            const char* const end = At == Ends::here ? in.current() : b.token_end;
            const std::size_t children = b.stack.size() - height;
            b.reduce(Maker::kind(children), Maker::flag(b), height, begin,
                     end < begin ? begin : end);
            return true;
        }
    }
};
template <NodeKind Kind, std::uint8_t Flag = 0> struct fixed {
    static constexpr NodeKind kind(std::size_t) { return Kind; }
    static constexpr std::uint8_t flag(const TreeBuilder&) { return Flag; }
};
template <NodeKind Kind> struct flagged { // by TreeBuilder::flag, as the rule left it
    static constexpr NodeKind kind(std::size_t) { return Kind; }
    static std::uint8_t flag(const TreeBuilder& b) { return b.flag; }
};
template <NodeKind Kind> struct by_or_to {
    static constexpr NodeKind kind(std::size_t) { return Kind; }
    static std::uint8_t flag(const TreeBuilder& b) { return b.by_difference ? 1 : 0; }
};
struct text_maker {
    static constexpr NodeKind kind(std::size_t) { return NodeKind::text; }
    static std::uint8_t flag(const TreeBuilder& b) { return b.flag; }
};
struct within_maker {
    static constexpr NodeKind kind(std::size_t children) {
        return children == 3 ? NodeKind::within_of : NodeKind::within_range;
    }
    static constexpr std::uint8_t flag(const TreeBuilder&) { return 0; }
};
template <NodeKind Kind, std::uint8_t Flag = 0> using node = branch_of<fixed<Kind, Flag>>;
// With what stands before it as the first child.
template <NodeKind Kind, std::uint8_t Flag = 0> using tail = branch_of<fixed<Kind, Flag>, 1>;
template <BinaryOp Op> using operation = tail<NodeKind::binary, static_cast<std::uint8_t>(Op)>;

template <typename Rule> struct action : pegtl::maybe_nothing {};

#define FETTLE_NODE(rule, ...)                                                                     \
    template <> struct action<rule> : __VA_ARGS__ {}

// --- leaves ---
FETTLE_NODE(absent, absent_node);
FETTLE_NODE(any_word_leaf, leaf<NodeKind::word>);
FETTLE_NODE(free_word_leaf, leaf<NodeKind::word>);
FETTLE_NODE(version_word, leaf<NodeKind::word>);
FETTLE_NODE(slot_leaf, literal_node);
FETTLE_NODE(literal_leaf, literal_node);
FETTLE_NODE(cone_leaf, literal_node);
FETTLE_NODE(version_leaf, literal_node);
FETTLE_NODE(name_leaf, literal_node);
FETTLE_NODE(slot_number, leaf<NodeKind::number>);
FETTLE_NODE(text_part, leaf<NodeKind::text_part>);
FETTLE_NODE(type_name, leaf<NodeKind::type_name>);
FETTLE_NODE(yes, node<NodeKind::yes>);
FETTLE_NODE(no, node<NodeKind::no>);

// --- expressions ---
FETTLE_NODE(path, node<NodeKind::path>);
FETTLE_NODE(text, branch_of<text_maker, 0, Ends::here>);
FETTLE_NODE(paren, node<NodeKind::paren>);
FETTLE_NODE(list_literal, node<NodeKind::list_literal>);
FETTLE_NODE(argument, node<NodeKind::argument>);
FETTLE_NODE(call_tail, tail<NodeKind::call>);
FETTLE_NODE(field_tail, tail<NodeKind::field_access>);
FETTLE_NODE(negate, node<NodeKind::negate>);
FETTLE_NODE(times_tail, operation<BinaryOp::multiply>);
FETTLE_NODE(divide_tail, operation<BinaryOp::divide>);
FETTLE_NODE(plus_tail, operation<BinaryOp::add>);
FETTLE_NODE(minus_tail, operation<BinaryOp::subtract>);
FETTLE_NODE(range_tail, tail<NodeKind::range>);
FETTLE_NODE(comparison_tail, branch_of<flagged<NodeKind::binary>, 1>);
FETTLE_NODE(within_tail, branch_of<within_maker, 1>);
FETTLE_NODE(keeps_tail, tail<NodeKind::keeps_rules>);
FETTLE_NODE(breaks_tail, tail<NodeKind::breaks_rule>);
FETTLE_NODE(not_operation, node<NodeKind::not_>);
FETTLE_NODE(and_tail, operation<BinaryOp::and_>);
FETTLE_NODE(or_tail, operation<BinaryOp::or_>);
FETTLE_NODE(conditional_tail, tail<NodeKind::conditional>);
FETTLE_NODE(type_list_, node<NodeKind::type_list>);
FETTLE_NODE(type_range_, node<NodeKind::type_range>);
FETTLE_NODE(type_choice, node<NodeKind::type_choice>);

// --- statements ---
FETTLE_NODE(about, node<NodeKind::about>);
FETTLE_NODE(let, node<NodeKind::let>);
FETTLE_NODE(require, node<NodeKind::require>);
FETTLE_NODE(limit_rise, node<NodeKind::limit, static_cast<std::uint8_t>(LimitKind::rise)>);
FETTLE_NODE(limit_fall, node<NodeKind::limit, static_cast<std::uint8_t>(LimitKind::fall)>);
FETTLE_NODE(limit_peak, node<NodeKind::limit, static_cast<std::uint8_t>(LimitKind::peak)>);
FETTLE_NODE(limit_of_nothing, node<NodeKind::limit>);
FETTLE_NODE(lining, node<NodeKind::lining>);
FETTLE_NODE(shelf, node<NodeKind::shelf>);
FETTLE_NODE(control, node<NodeKind::control>);
FETTLE_NODE(days, node<NodeKind::list>);
FETTLE_NODE(price, node<NodeKind::price>);
FETTLE_NODE(start_delay, node<NodeKind::start_delay>);
FETTLE_NODE(ingredient, node<NodeKind::ingredient>);
FETTLE_NODE(blend_each, node<NodeKind::for_each>);
FETTLE_NODE(blend_when, node<NodeKind::when>);
FETTLE_NODE(analysis, node<NodeKind::analysis>);
FETTLE_NODE(fires, node<NodeKind::fires>);
FETTLE_NODE(recipe, node<NodeKind::recipe>);
FETTLE_NODE(add, node<NodeKind::add>);
FETTLE_NODE(field, node<NodeKind::field>);
FETTLE_NODE(slot, node<NodeKind::field>);
FETTLE_NODE(library_version, node<NodeKind::field>);
FETTLE_NODE(ware, node<NodeKind::ware>);
FETTLE_NODE(load, node<NodeKind::load>);
FETTLE_NODE(start_at, node<NodeKind::start_at>);
FETTLE_NODE(start_after, node<NodeKind::start_after>);
FETTLE_NODE(start_of_nothing, node<NodeKind::error>);
FETTLE_NODE(confirm, node<NodeKind::confirm>);
FETTLE_NODE(allow, node<NodeKind::allow>);
FETTLE_NODE(accept_peak, node<NodeKind::accept_peak>);
FETTLE_NODE(accept_duration, node<NodeKind::accept_duration>);
FETTLE_NODE(accept_soak, node<NodeKind::accept_soak>);
FETTLE_NODE(accept_witness, node<NodeKind::accept_witness>);
FETTLE_NODE(accept, node<NodeKind::accept>);
FETTLE_NODE(simplify, node<NodeKind::simplify>);
FETTLE_NODE(ramp, branch_of<by_or_to<NodeKind::ramp>>);
FETTLE_NODE(cool, branch_of<by_or_to<NodeKind::cool>>);
FETTLE_NODE(at_full, node<NodeKind::at_full>);
FETTLE_NODE(at_rate, node<NodeKind::at_rate>);
FETTLE_NODE(over_time, node<NodeKind::over_time>);
FETTLE_NODE(freely, node<NodeKind::freely>);
FETTLE_NODE(opened, node<NodeKind::opened>);
FETTLE_NODE(soak, node<NodeKind::soak>);
FETTLE_NODE(soak_until, node<NodeKind::soak_until>);
FETTLE_NODE(follow, node<NodeKind::follow>);
FETTLE_NODE(when, node<NodeKind::when>);
FETTLE_NODE(repeat, node<NodeKind::repeat>);
FETTLE_NODE(for_each, node<NodeKind::for_each>);
FETTLE_NODE(vent, node<NodeKind::vent>);
FETTLE_NODE(atmosphere, node<NodeKind::atmosphere>);
FETTLE_NODE(set, node<NodeKind::set>);
FETTLE_NODE(note, node<NodeKind::note>);
FETTLE_NODE(do_, node<NodeKind::do_>);
FETTLE_NODE(level, node<NodeKind::level>);
FETTLE_NODE(applies, node<NodeKind::applies>);
FETTLE_NODE(check, node<NodeKind::check>);
FETTLE_NODE(because, node<NodeKind::because>);
FETTLE_NODE(remedy, node<NodeKind::remedy>);
FETTLE_NODE(source, node<NodeKind::source>);
FETTLE_NODE(waivable, node<NodeKind::waivable>);
FETTLE_NODE(expect_, node<NodeKind::expect>);
FETTLE_NODE(memory_slot, node<NodeKind::memory_slot>);

// --- blocks ---
FETTLE_NODE(steps, node<NodeKind::block>);
FETTLE_NODE(profile_block, node<NodeKind::block>);
FETTLE_NODE(ware_block, node<NodeKind::block>);
FETTLE_NODE(load_block, node<NodeKind::block>);
FETTLE_NODE(ingredients, node<NodeKind::block>);
FETTLE_NODE(accept_block, node<NodeKind::block>);
FETTLE_NODE(settings, node<NodeKind::block>);
FETTLE_NODE(rule_block, node<NodeKind::block>);
FETTLE_NODE(test_block, node<NodeKind::block>);
FETTLE_NODE(memory_block, node<NodeKind::block>);
FETTLE_NODE(library_block, node<NodeKind::block>);

// --- declarations ---
FETTLE_NODE(parameter, node<NodeKind::parameter>);
FETTLE_NODE(parameters, node<NodeKind::parameters>);
FETTLE_NODE(imported_names, node<NodeKind::list>);
FETTLE_NODE(use, node<NodeKind::use>);
FETTLE_NODE(function_result, node<NodeKind::list>);
FETTLE_NODE(function, node<NodeKind::function>);
template <ProfileKind Kind, Fixed Word>
struct action<profile<Kind, Word>> : node<NodeKind::profile, static_cast<std::uint8_t>(Kind)> {};
FETTLE_NODE(phase, node<NodeKind::phase>);
FETTLE_NODE(reusable_phase, node<NodeKind::phase>);
FETTLE_NODE(template_, node<NodeKind::template_>);
FETTLE_NODE(firing, node<NodeKind::firing>);
FETTLE_NODE(rule, node<NodeKind::rule>);
FETTLE_NODE(memory, node<NodeKind::memory>);
FETTLE_NODE(test, node<NodeKind::test>);
FETTLE_NODE(needs, node<NodeKind::needs>);
FETTLE_NODE(library, node<NodeKind::library>);
FETTLE_NODE(private_, node<NodeKind::private_>);
FETTLE_NODE(file, node<NodeKind::file>);
#undef FETTLE_NODE

} // namespace fettle::grammar
