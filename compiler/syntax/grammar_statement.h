// Statements: the lines of profiles, of firings, of phases, of rules and tests. Language reference,
// "Declarations" to "Acceptance and tests". Part of the grammar's one translation unit.
#pragma once

#include "compiler/syntax/grammar_expression.h"

namespace fettle::grammar {

// A part that was needed and is not there: `What` says which.
template <Missing What> struct missing_node : expect<pegtl::failure, What> {};

// The block of a statement, on this line or the next. Tried even after a mistake before it.
template <typename Block> struct required_block {
    using rule_t = required_block;
    using subs_t = pegtl::type_list<Block>;
    FETTLE_MATCH {
        b.block_required = true;
        const bool matched = try_rule<across<Block>, A, Action, Control>(in, b);
        b.block_required = false;
        if (matched)
            return true;
        return try_rule<missing_node<Missing::block>, A, Action, Control>(in, b);
    }
};

// A block that may be left out. If its line goes on with something else, or lines follow that stand
// in from it, it was not left out on purpose.
template <typename Block> struct own_block {
    using rule_t = own_block;
    using subs_t = pegtl::type_list<Block>;
    FETTLE_MATCH {
        if (b.panic || !means_a_block(b, in.current()))
            return try_rule<optional<across<Block>>, A, Action, Control>(in, b);
        return try_rule<required_block<Block>, A, Action, Control>(in, b);
    }
};

struct equals {
    using rule_t = equals;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (*p != '=' || p[1] == '=')
            return false;
        b.token_end = p + 1;
        in.iterator() = past<Behind::operand>(b, p + 1);
        return true;
    }
};
struct text_value : expect<text_token, Missing::text> {};
struct about : seq<lead<"about">, text_value> {};
struct let : seq<lead<"let", Behind::blanks>, expect<new_name, Missing::name>,
                 expect_sign<equals, Missing::equals>, expect<expression, Missing::expression>> {};
struct else_text : seq<key_operand<"else">, text_value> {};
struct require
    : seq<lead<"require">, expect<expression, Missing::condition>, optional<across<else_text>>> {};

// --- profiles ---

struct between_part : seq<key_operand<"between">, expect<sum, Missing::between_low>,
                          expect_sign<key_operand<"and">, Missing::between_and>,
                          expect<sum, Missing::between_high>> {};
struct between : sor<between_part, seq<absent, absent>> {};

struct limit_rise : seq<lead<"limit", Behind::blanks>, key_operand<"rise">,
                        expect<operand, Missing::rate>, between> {};
struct limit_fall : seq<lead<"limit", Behind::blanks>, key_operand<"fall">,
                        expect<operand, Missing::rate>, between> {};
struct limit_peak : seq<lead<"limit", Behind::blanks>, key_operand<"peak">,
                        expect<operand, Missing::temperature>, absent, absent> {};
struct limit_of_nothing
    : seq<lead<"limit", Behind::blanks>, missing_node<Missing::limit_kind>, absent, absent> {};
struct limit : sor<limit_rise, limit_fall, limit_peak, limit_of_nothing> {};

struct lining
    : seq<lead<"lining">, expect<operand, Missing::length>,
          expect_sign<key_operand<"of">, Missing::lining_of>, expect<path, Missing::insulation>> {};
struct shelf : seq<lead<"shelf">, expect<any_word, Missing::shelf_name>, optional<operand>> {};
struct control
    : seq<lead<"control">, expect<any_word, Missing::control_name>, expect<type, Missing::type>> {};
// Not the comma that was meant to end the line: "thickness 6mm, mass 12kg".
struct value_comma {
    using rule_t = value_comma;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (*p != ',' || starts_statement(lexical::skip_gap(p + 1)))
            return false;
        b.token_end = p + 1;
        in.iterator() = lexical::skip_gap(p + 1);
        return true;
    }
};
struct days : seq<key_operand<"on">, expect<any_word, Missing::day>,
                  star<value_comma, expect<any_word, Missing::day>>> {};
struct price : seq<lead<"price">, expect<operand, Missing::price>, between, optional<days>> {};
struct start_delay
    : seq<lead<"start_delay">, expect_sign<key<"up">, Missing::up_to>,
          expect_sign<key_operand<"to">, Missing::up_to>, expect<operand, Missing::duration>> {};
struct ingredient : seq<path, expect<operand, Missing::amount>> {};
struct next_oxide {
    using rule_t = next_oxide;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        if (try_rule<sign<',', Behind::lines>, A, Action, Control>(in, b))
            return true;
        return starts_statement(in.current()) && *in.current() != '}' &&
               forgotten_comma(b, in.current());
    }
};
struct analysis : seq<lead<"analysis", Behind::lines>, expect<ingredient, Missing::oxide>,
                      star<next_oxide, expect<ingredient, Missing::oxide>>> {};
struct in_atmosphere : seq<key_operand<"in">, expect<any_word, Missing::atmosphere>> {};
struct fires : seq<lead<"fires">, expect<value, Missing::cone>, optional<in_atmosphere>> {};
// In a recipe, `for each` makes a family of glazes: one for each time that its block is gone
// through.
struct ingredients;
struct blend_each
    : seq<lead<"for", Behind::blanks>,
          header<expect_sign<key<"each">, Missing::each>, expect<new_name, Missing::name>,
                 expect_sign<key_operand<"in">, Missing::each_in>,
                 expect<expression, Missing::list>>,
          required_block<ingredients>> {};
struct blend_when : seq<lead<"when">, header<expect<expression, Missing::condition>>,
                        required_block<ingredients>, absent> {};
struct recipe_line : sor<blend_each, blend_when, ingredient> {};
struct ingredients : braces<BlockKind::recipe, recipe_line> {};
struct recipe : seq<lead<"recipe", Behind::blanks>, required_block<ingredients>> {};
struct add : seq<lead<"add", Behind::blanks>, required_block<ingredients>> {};

// What stands between a field's word and its value by mistake: '=' or ':'.
struct no_sign {
    using rule_t = no_sign;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (*p == '=' || *p == ':')
            in.iterator() = needless_sign(b, p);
        return true;
    }
};
struct operand_blank {
    using rule_t = operand_blank;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        b.token_end = in.current();
        in.iterator() = past<Behind::operand>(b, in.current());
        return true;
    }
};
struct field_word : seq<free_word_leaf, operand_blank, no_sign> {};
struct field_values
    : seq<expect<value, Missing::value>, star<value_comma, expect<value, Missing::value>>> {};
struct field : seq<field_word, field_values> {};

struct profile_statement : sor<limit, lining, shelf, control, price, start_delay, analysis, fires,
                               recipe, add, about, field> {};
struct profile_block : braces<BlockKind::profile, profile_statement> {};

// --- firings and templates ---

// body, kiln and glaze, which a firing takes from elsewhere.
struct slot_leaf {
    using rule_t = slot_leaf;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const std::uint32_t length = slot_word_at(b, in.current());
        in.iterator() += length;
        b.literal_kind = in.current() - length == b.alias_at ? NodeKind::error : NodeKind::word;
        return length != 0;
    }
};
struct slot : seq<slot_leaf, operand_blank, no_sign, expect<operand, Missing::slot_value>> {};

struct ware_statement : sor<shelf, field> {};
struct ware_block : braces<BlockKind::ware, ware_statement> {};
struct ware
    : seq<lead<"ware", Behind::blanks>, header<optional<new_name>>, required_block<ware_block>> {};
struct load_block : braces<BlockKind::load, ware> {};
struct load : seq<lead<"load", Behind::blanks>, required_block<load_block>> {};

struct start_at
    : seq<lead<"start", Behind::blanks>, key_operand<"at">, expect<operand, Missing::temperature>> {
};
struct start_after
    : seq<lead<"start", Behind::blanks>, key_operand<"after">, expect<operand, Missing::duration>> {
};
struct start_of_nothing : seq<lead<"start", Behind::blanks>, missing_node<Missing::start_how>> {};
struct start : sor<start_at, start_after, start_of_nothing> {};

struct by_whom : seq<key_operand<"by">, text_value> {};
struct confirm : seq<lead<"confirm">, text_value, optional<by_whom>> {};
struct reason : seq<key_operand<"because">, text_value> {};
struct allow : seq<lead<"allow">, expect<path, Missing::rule_name>,
                   sor<across<reason>, missing_node<Missing::reason>>> {};

struct accept_peak
    : seq<lead<"peak", Behind::blanks>, expect_sign<key_operand<"within">, Missing::accept_within>,
          expect<operand, Missing::tolerance>> {};
struct accept_duration : seq<lead<"duration", Behind::blanks>,
                             expect_sign<key_operand<"within">, Missing::accept_within>,
                             expect<operand, Missing::tolerance>> {};
struct accept_soak
    : seq<lead<"soak", Behind::blanks>, expect_sign<key<"at">, Missing::at_least>,
          expect_sign<key_operand<"least">, Missing::at_least>, expect<sum, Missing::duration>,
          expect_sign<key_operand<"within">, Missing::of_peak>, expect<sum, Missing::tolerance>,
          expect_sign<key<"of">, Missing::of_peak>, expect_sign<key<"peak">, Missing::of_peak>> {};
struct on_shelf : seq<key_operand<"on">, expect<any_word, Missing::shelf_name>> {};
struct accept_witness : seq<lead<"witness">, expect<operand, Missing::cone>, optional<on_shelf>> {};
struct accept_statement : sor<accept_peak, accept_duration, accept_soak, accept_witness> {};
struct accept_block : braces<BlockKind::accept, accept_statement> {};
struct accept : seq<lead<"accept", Behind::blanks>, required_block<accept_block>> {};
struct simplify : seq<lead<"simplify", Behind::blanks>,
                      expect_sign<key_operand<"within">, Missing::simplify_within>,
                      expect<operand, Missing::tolerance>> {};

// --- steps ---

struct set_to {
    using rule_t = set_to;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        b.by_difference = false;
        return true;
    }
};
struct set_by {
    using rule_t = set_by;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        b.by_difference = true;
        return true;
    }
};
struct to_target : seq<key_operand<"to">, expect<operand, Missing::target>, set_to> {};
struct by_difference : seq<key_operand<"by">, expect<operand, Missing::difference>, set_by> {};
struct bare_target : seq<expect_sign<pegtl::failure, Missing::target_to>,
                         expect<operand, Missing::target>, set_to> {};
struct target : sor<to_target, by_difference, bare_target> {};

struct at_full : seq<key<"at">, key<"full">> {};
struct at_rate : seq<key_operand<"at">, expect<operand, Missing::rate>> {};
struct over_time : seq<key_operand<"over">, expect<operand, Missing::duration>> {};
struct freely : key<"freely"> {};
struct opened : key<"opened"> {};
struct climb : sor<at_full, at_rate, over_time, missing_node<Missing::ramp_how>> {};
struct controlled_fall : seq<pegtl::not_at<at_full>, at_rate> {};
struct fall : sor<freely, opened, controlled_fall, over_time, missing_node<Missing::cool_how>> {};

struct with_soak : seq<key<"with">, expect_sign<key_operand<"soak">, Missing::with_soak>,
                       expect<operand, Missing::duration>> {};
struct waiting : seq<key<"waiting">, expect_sign<key_operand<"within">, Missing::waiting_within>,
                     expect<operand, Missing::tolerance>> {};

struct ramp : seq<lead<"ramp">, target, climb, optional<with_soak>, optional<waiting>> {};
struct cool : seq<lead<"cool">, target, fall, optional<with_soak>, optional<waiting>> {};
struct soak_until : seq<lead<"soak">, key_operand<"until">, expect<operand, Missing::cone>> {};
struct no_for {
    using rule_t = no_for;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        in.iterator() = needless_for(b, in.current());
        return true;
    }
};
struct soak : seq<lead<"soak">, pegtl::not_at<key<"until">>, no_for,
                  expect<operand, Missing::duration>, optional<waiting>> {};
struct follow : seq<lead<"follow">, expect<postfix, Missing::phase_to_follow>> {};

struct steps;
struct when;
struct otherwise_word {
    using rule_t = otherwise_word;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const std::uint32_t length = otherwise_at(b, in.current());
        if (length == 0)
            return false;
        b.token_end = in.current() + length;
        in.iterator() = lexical::skip_blank(b.token_end);
        return true;
    }
};
struct otherwise
    : seq<otherwise_word, sor<seq<pegtl::at<key<"when">>, nested<when>>, required_block<steps>>> {};
struct when : seq<lead<"when">, header<expect<expression, Missing::condition>>,
                  required_block<steps>, optional<across<otherwise>>> {};
struct repeat
    : seq<lead<"repeat">,
          header<expect<operand, Missing::count>, expect_sign<key<"times">, Missing::times>>,
          required_block<steps>> {};
struct for_each
    : seq<lead<"for", Behind::blanks>,
          header<expect_sign<key<"each">, Missing::each>, expect<new_name, Missing::name>,
                 expect_sign<key_operand<"in">, Missing::each_in>,
                 expect<expression, Missing::list>>,
          required_block<steps>> {};

struct choice : sor<any_word, paren> {};
struct vent : seq<lead<"vent">, no_sign, expect<choice, Missing::vent>> {};
struct atmosphere : seq<lead<"atmosphere">, no_sign, expect<choice, Missing::atmosphere>> {};
struct lone_word_ahead {
    using rule_t = lone_word_ahead;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH { return lone_word_at(in.current()); }
};
struct setting_value : sor<seq<lone_word_ahead, any_word>, operand> {};
struct set : seq<lead<"set">, expect<any_word, Missing::control_name>, no_sign,
                 expect<setting_value, Missing::setting>> {};
struct note : seq<lead<"note">, text_value> {};
struct do_ : seq<lead<"do">, text_value> {};

struct step : sor<ramp, soak, soak_until, cool, follow, vent, note, let, when, atmosphere, set, do_,
                  repeat, for_each, require, about> {};
struct steps : braces<BlockKind::steps, step> {};

struct title : optional<across<text_token>> {};
struct phase
    : seq<lead<"phase", Behind::blanks>,
          header<expect<new_name, Missing::name>, absent, absent, title>, required_block<steps>> {};

struct setting
    : sor<phase, slot, require, confirm, let, ware, start, allow, accept, load, simplify, about> {};
struct settings : braces<BlockKind::firing, setting> {};

// --- rules, tests, stored programs ---

struct level : seq<lead<"level">, no_sign, expect<any_word, Missing::level>> {};
struct applies
    : seq<lead<"applies", Behind::blanks>, expect_sign<key_operand<"when">, Missing::applies_when>,
          expect<expression, Missing::condition>> {};
struct check : seq<lead<"check">, expect<expression, Missing::condition>> {};
struct because : seq<lead<"because">, text_value> {};
struct remedy : seq<lead<"remedy">, text_value> {};
struct source : seq<lead<"source">, text_value> {};
struct waivable : seq<lead<"waivable">, expect<operand, Missing::yes_or_no>> {};
struct rule_statement : sor<level, applies, check, because, remedy, source, waivable, about, let> {
};
struct rule_block : braces<BlockKind::rule, rule_statement> {};

struct expect_ : seq<lead<"expect">, expect<expression, Missing::condition>> {};
struct test_statement : sor<expect_, let, about> {};
struct test_block : braces<BlockKind::test, test_statement> {};

struct slot_number {
    using rule_t = slot_number;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const lexical::Literal found = lexical::literal_at(in.current());
        if (found.kind != NodeKind::number)
            return false;
        in.iterator() += found.length;
        return true;
    }
};
struct memory_slot : seq<slot_number, blank, expect<postfix, Missing::firing_name>> {};
struct memory_block : braces<BlockKind::memory, memory_slot> {};

} // namespace fettle::grammar

namespace tao::pegtl {

#define FETTLE_LEXICAL(rule, consumes)                                                             \
    template <typename Name>                                                                       \
    struct analyze_traits<Name, fettle::grammar::rule> : analyze_##consumes##_traits<> {}
FETTLE_LEXICAL(equals, any);
FETTLE_LEXICAL(no_sign, opt);
FETTLE_LEXICAL(value_comma, any);
FETTLE_LEXICAL(no_for, opt);
FETTLE_LEXICAL(next_oxide, any);
FETTLE_LEXICAL(operand_blank, opt);
FETTLE_LEXICAL(slot_leaf, any);
FETTLE_LEXICAL(set_to, opt);
FETTLE_LEXICAL(set_by, opt);
FETTLE_LEXICAL(otherwise_word, any);
FETTLE_LEXICAL(lone_word_ahead, opt);
FETTLE_LEXICAL(slot_number, any);
#undef FETTLE_LEXICAL
template <typename Name, typename Block>
struct analyze_traits<Name, fettle::grammar::required_block<Block>> : analyze_opt_traits<Block> {};
template <typename Name, typename Block>
struct analyze_traits<Name, fettle::grammar::own_block<Block>> : analyze_opt_traits<Block> {};

} // namespace tao::pegtl
