// Names, literals, text and expressions: language reference, "Words and signs" and "Quantities and
// types". Rules have the names that they have there. Part of the grammar's one translation unit.
#pragma once

#include "compiler/syntax/rules.h"

namespace fettle::grammar {

using pegtl::opt;
using pegtl::seq;
using pegtl::sor;
using pegtl::star;

struct expression;
struct sum;

// --- words ---

// Any word, where no other thing can stand: behind a dot, in a slot for a choice.
struct word {
    using rule_t = word;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        const char* const after = lexical::after_word(p);
        if (after == p)
            return false;
        in.iterator() = after;
        return true;
    }
};

// A word that may be a name.
struct free_word {
    using rule_t = free_word;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        const char* const after = lexical::after_word(p);
        if (after == p || lexical::is_reserved({p, static_cast<std::size_t>(after - p)})) {
            return false;
        }
        in.iterator() = after;
        return true;
    }
};
struct any_word_leaf : word {};
struct free_word_leaf : free_word {};

struct any_word : seq<any_word_leaf, blank> {};
struct new_name : seq<free_word_leaf, blank> {};

// a.b.c
struct dot : sign<'.'> {};
struct path : seq<new_name, star<dot, expect<any_word, Missing::name_after_dot>>> {};

// --- literals ---

struct literal_leaf {
    using rule_t = literal_leaf;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (!lexical::digit(*p) && !(*p == '-' && lexical::digit(p[1]))) {
            const char* const after = marked_literal(b, p);
            in.iterator() = after;
            return after != p;
        }
        const lexical::Literal found = lexical::literal_at(p);
        b.literal_kind = found.kind;
        const char* after = p + found.length;
        if (odd_literal(b, p, found))
            after = mend_literal(b, p, found);
        in.iterator() = after;
        return true;
    }
};
struct literal : seq<literal_leaf, blank> {};

struct cone_leaf {
    using rule_t = cone_leaf;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (*p != 'c')
            return false;
        const std::uint32_t length = lexical::cone_at(p);
        if (length == 0)
            return false;
        b.literal_kind = NodeKind::cone;
        in.iterator() = odd_cone(p, length) ? mend_cone(b, p, length) : p + length;
        return true;
    }
};
struct cone : seq<cone_leaf, blank> {};
struct yes : key<"yes"> {};
struct no : key<"no"> {};

struct version_leaf {
    using rule_t = version_leaf;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const lexical::Literal found = lexical::literal_at(in.current());
        b.literal_kind = found.kind;
        in.iterator() += found.length;
        return found.kind == NodeKind::version || found.kind == NodeKind::number;
    }
};
struct version_number : seq<version_leaf, blank> {};

// --- text ---

// Up to the next '{', the closing quote, or the end that was found for a text without one.
struct text_part {
    using rule_t = text_part;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        in.iterator() = after_text_part(b, p);
        return in.current() != p;
    }
};

// {expression}, on one line.
template <typename R> struct computed {
    using rule_t = computed;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        if (*in.current() != '{' || in.current() == b.text_end)
            return false;
        const char* const open = in.current();
        const TextState saved = enter_computed(b);
        in.iterator() = lexical::skip_spaces(open + 1);
        b.token_end = open + 1;
        (void)try_rule<R, A, Action, Control>(in, b);
        in.iterator() = leave_computed(b, saved, open, in.current());
        return true;
    }
};
struct computed_part : computed<nested<expect<expression, Missing::expression>>> {};
struct text_parts : star<sor<text_part, computed_part>> {};

struct text {
    using rule_t = text;
    using subs_t = pegtl::type_list<text_parts>;
    FETTLE_MATCH {
        if (!at_quote(in.current()))
            return false;
        const TextState saved = save_text(b);
        in.iterator() = open_text(b, in.current());
        (void)try_rule<text_parts, A, Action, Control>(in, b);
        in.iterator() = close_text(b, in.current());
        b.flag = b.long_text ? 1 : 0;
        restore_text(b, saved);
        return true;
    }
};
struct text_token : seq<text, blank> {};

// --- expressions, tightest first ---

struct name_leaf {
    using rule_t = name_leaf;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        const char* const after = lexical::after_word(p);
        if (after == p || lexical::is_reserved({p, static_cast<std::size_t>(after - p)})) {
            return false;
        }
        b.literal_kind = NodeKind::name;
        in.iterator() = odd_name(p, after) ? mend_name(b, p, after) : after;
        return true;
    }
};
struct name : seq<name_leaf, blank> {};

struct paren : bracketed<'(', expect<expression, Missing::expression>, ')'> {};
// The last one may have a comma behind it, too.
struct list_comma : sign<',', Behind::operand> {};
// A comma, or the start of the next entry where it was forgotten.
struct next_entry {
    using rule_t = next_entry;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        if (try_rule<list_comma, A, Action, Control>(in, b))
            return true;
        return entry_ahead(b, in.current()) && forgotten_comma(b, in.current());
    }
};
struct list_element : element<expect<expression, Missing::element>> {};
struct list_elements
    : opt<pegtl::not_at<pegtl::one<']'>>, list_element,
          star<next_entry, pegtl::not_at<pegtl::one<']'>>, list_element>, opt<list_comma>> {};
struct list_literal : bracketed<'[', list_elements, ']'> {};

struct primary : sor<literal, cone, yes, no, name, text_token, paren, list_literal> {};

struct colon : sign<':', Behind::operand> {};
struct label_ahead {
    using rule_t = label_ahead;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH { return label_at(in.current()); }
};
struct label : seq<label_ahead, any_word, colon> {};
struct argument : seq<optional<label>, expect<expression, Missing::argument>> {};
struct arguments
    : opt<pegtl::not_at<pegtl::one<')'>>, element<argument>,
          star<next_entry, pegtl::not_at<pegtl::one<')'>>, element<argument>>, opt<list_comma>> {};
struct call_tail : bracketed<'(', arguments, ')'> {};
struct field_tail : seq<dot, expect<any_word, Missing::name_after_dot>> {};
struct postfix : seq<primary, star<sor<chained<field_tail>, chained<call_tail>>>> {};

struct unary;
struct negate : seq<sign<'-'>, nested<expect<unary, Missing::operand>>> {};
struct unary : sor<postfix, negate> {};

struct times_tail : seq<sign<'*', Behind::operand>, expect<unary, Missing::operand>> {};
// Not the "//" or "/*" of another language's comment.
struct divide_sign
    : seq<pegtl::not_at<pegtl::sor<pegtl::string<'/', '/'>, pegtl::string<'/', '*'>>>,
          sign<'/', Behind::operand>> {};
struct divide_tail : seq<divide_sign, expect<unary, Missing::operand>> {};
struct product : seq<unary, star<sor<chained<times_tail>, chained<divide_tail>>>> {};

struct minus_sign {
    using rule_t = minus_sign;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const std::uint32_t length = minus_at(b, in.current());
        if (length == 0)
            return false;
        b.token_end = in.current() + length;
        in.iterator() = past<Behind::operand>(b, b.token_end);
        return true;
    }
};
struct plus_tail : seq<sign<'+', Behind::operand>, expect<product, Missing::operand>> {};
struct minus_tail : seq<minus_sign, expect<product, Missing::operand>> {};
struct sum : seq<product, star<sor<chained<plus_tail>, chained<minus_tail>>>> {};

struct range_tail : seq<key_operand<"to">, expect<sum, Missing::range_end>> {};
struct range : seq<sum, opt<range_tail>> {};

// An operator that is read together with what it is, then its right side.
template <typename R> struct compared_with {
    using rule_t = compared_with;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        BinaryOp op{};
        const std::uint32_t length = comparison_at(b, in.current(), op);
        if (length == 0)
            return false;
        b.token_end = in.current() + length;
        in.iterator() = past<Behind::operand>(b, b.token_end);
        (void)try_rule<R, A, Action, Control>(in, b);
        b.flag = static_cast<std::uint8_t>(op);
        return true;
    }
};
struct comparison_tail : compared_with<expect<range, Missing::operand>> {};
struct of_tail : seq<key_operand<"of">, expect<sum, Missing::operand>> {};
struct within_tail
    : seq<key_operand<"within">, expect<sum, Missing::tolerance>, opt<sor<range_tail, of_tail>>> {};
struct keeps_tail : seq<key<"keeps">, expect_sign<key<"every">, Missing::every_rule>,
                        expect_sign<key<"rule">, Missing::every_rule>> {};
struct breaks_tail : seq<key_operand<"breaks">, expect<any_word, Missing::rule_name>> {};
struct any_comparison_tail : sor<comparison_tail, within_tail, keeps_tail, breaks_tail> {};
// They do not chain; a second one is reported, and read on.
struct comparison_again {
    using rule_t = comparison_again;
    using subs_t = pegtl::type_list<any_comparison_tail>;
    FETTLE_MATCH {
        if (b.panic || !comparison_ahead(in.current()))
            return false;
        const char* const sign_at = in.current();
        const Node before = b.stack.back();
        if (!try_rule<any_comparison_tail, A, Action, Control>(in, b))
            return false;
        report_comparison_chain(b, before, sign_at);
        return true;
    }
};
struct comparison_tails : opt<any_comparison_tail, star<chained<comparison_again>>> {};
struct comparison : seq<range, comparison_tails> {};

struct not_word {
    using rule_t = not_word;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const std::uint32_t length = not_at_word(b, in.current());
        if (length == 0)
            return false;
        b.token_end = in.current() + length;
        in.iterator() = past<Behind::operand>(b, b.token_end);
        return true;
    }
};
struct negation;
struct not_operation : seq<not_word, nested<expect<negation, Missing::condition>>> {};
struct negation : sor<not_operation, comparison> {};

template <BinaryOp Op> struct logical_word {
    using rule_t = logical_word;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const std::uint32_t length = logical_at(b, in.current(), Op);
        if (length == 0)
            return false;
        b.token_end = in.current() + length;
        in.iterator() = past<Behind::operand>(b, b.token_end);
        return true;
    }
};
struct and_tail : seq<logical_word<BinaryOp::and_>, expect<negation, Missing::condition>> {};
struct conjunction : seq<negation, star<chained<and_tail>>> {};
struct or_tail : seq<logical_word<BinaryOp::or_>, expect<conjunction, Missing::condition>> {};
struct disjunction : seq<conjunction, star<chained<or_tail>>> {};

// `otherwise`, or `else` before a value.
struct otherwise_sign {
    using rule_t = otherwise_sign;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (*p == 'e' && (b.panic || at_quote(lexical::skip_spaces(p + 4))))
            return false;
        const std::uint32_t length = otherwise_at(b, p);
        if (length == 0)
            return false;
        b.token_end = p + length;
        in.iterator() = past<Behind::operand>(b, b.token_end);
        return true;
    }
};
struct conditional_tail : seq<key_operand<"when">, expect<disjunction, Missing::condition>,
                              expect_sign<across<otherwise_sign>, Missing::otherwise>,
                              nested<expect<expression, Missing::otherwise_value>>> {};
struct expression : seq<disjunction, opt<conditional_tail>> {};

// --- operands of step and field words: sums ---

// Something looser behind the sum needs parentheses; it is reported and read on all the same.
template <typename R> struct unbracketed {
    using rule_t = unbracketed;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        if (b.panic || !loose_ahead(in.current()))
            return false;
        const std::uint32_t from = b.stack.back().begin;
        (void)try_rule<R, A, Action, Control>(in, b);
        if (!b.panic)
            in.iterator() = report_loose(b, b.begin + from, in.current());
        return true;
    }
};
struct loose_tail : unbracketed<seq<comparison_tails, star<chained<and_tail>>,
                                    star<chained<or_tail>>, opt<conditional_tail>>> {};
struct operand : seq<sum, opt<loose_tail>> {};
// A field may hold a range.
struct value : seq<range, opt<loose_tail>> {};

// --- types ---

struct type;
struct type_name : free_word {};
struct type_name_token : seq<type_name, blank> {};
struct type_of : expect_sign<key_operand<"of">, Missing::type_of> {};
struct type_list_ : seq<key<"List">, type_of, nested<expect<type, Missing::type>>> {};
struct type_range_ : seq<key<"Range">, type_of, nested<expect<type, Missing::type>>> {};
// A comma before "name:" starts the next parameter, not the next choice.
struct next_choice_ahead {
    using rule_t = next_choice_ahead;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH { return next_choice_at(b, in.current()); }
};
struct type_choice : seq<key<"one">, type_of, expect<any_word, Missing::choice>,
                         star<next_choice_ahead, comma, expect<any_word, Missing::choice>>> {};
struct type : sor<type_list_, type_range_, type_choice, type_name_token> {};

} // namespace fettle::grammar

namespace tao::pegtl {

#define FETTLE_LEXICAL(rule)                                                                       \
    template <typename Name>                                                                       \
    struct analyze_traits<Name, fettle::grammar::rule> : analyze_any_traits<> {}
FETTLE_LEXICAL(word);
FETTLE_LEXICAL(free_word);
FETTLE_LEXICAL(literal_leaf);
FETTLE_LEXICAL(cone_leaf);
FETTLE_LEXICAL(version_leaf);
FETTLE_LEXICAL(text_part);
FETTLE_LEXICAL(minus_sign);
FETTLE_LEXICAL(name_leaf);
FETTLE_LEXICAL(otherwise_sign);
FETTLE_LEXICAL(next_entry);
FETTLE_LEXICAL(not_word);
#undef FETTLE_LEXICAL
template <typename Name>
struct analyze_traits<Name, fettle::grammar::text>
    : analyze_seq_traits<any, fettle::grammar::text_parts> {};
template <typename Name>
struct analyze_traits<Name, fettle::grammar::label_ahead> : analyze_opt_traits<> {};
template <typename Name>
struct analyze_traits<Name, fettle::grammar::next_choice_ahead> : analyze_opt_traits<> {};
template <typename Name>
struct analyze_traits<Name, fettle::grammar::comparison_again>
    : analyze_seq_traits<fettle::grammar::any_comparison_tail> {};
template <typename Name, typename R>
struct analyze_traits<Name, fettle::grammar::computed<R>> : analyze_seq_traits<any, R> {};
template <typename Name, typename R>
struct analyze_traits<Name, fettle::grammar::compared_with<R>> : analyze_seq_traits<any, R> {};
template <typename Name, typename R>
struct analyze_traits<Name, fettle::grammar::unbracketed<R>> : analyze_opt_traits<R> {};
template <typename Name, fettle::BinaryOp Op>
struct analyze_traits<Name, fettle::grammar::logical_word<Op>> : analyze_any_traits<> {};

} // namespace tao::pegtl
