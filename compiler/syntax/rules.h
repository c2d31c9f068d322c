// The building blocks of the grammar: words and signs with the blanks behind them, brackets and
// blocks, and `expect`, by which a rule that must match reports, skips and lets the parse go on.
// Part of the one translation unit that includes PEGTL (parse.cpp).
#pragma once

#include "compiler/syntax/lexical.h"
#include "compiler/syntax/literals.h"
#include "compiler/syntax/messages.h"
#include "compiler/syntax/operators.h"
#include "compiler/syntax/recovery.h"
#include "compiler/syntax/text.h"
#include "compiler/syntax/tree_builder.h"
#include "compiler/syntax/wrong_statement.h"

#include <cstddef>
#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/analyze_traits.hpp>

namespace fettle::grammar {

namespace pegtl = tao::pegtl;
using pegtl::apply_mode;
using pegtl::rewind_mode;

// The head of a rule that does its own matching; the parameters are PEGTL's.
#define FETTLE_MATCH                                                                               \
    template <apply_mode A, rewind_mode M, template <typename...> class Action,                    \
              template <typename...> class Control, typename Input>                                \
    static bool match([[maybe_unused]] Input& in, [[maybe_unused]] TreeBuilder& b)

template <typename R, apply_mode A, template <typename...> class Action,
          template <typename...> class Control, typename Input>
bool try_rule(Input& in, TreeBuilder& b) {
    return Control<R>::template match<A, rewind_mode::required, Action, Control>(in, b);
}

template <std::size_t N> struct Fixed {
    char text[N]{};
    static constexpr std::size_t size = N - 1;
    constexpr Fixed(const char (&from)[N]) {
        for (std::size_t i = 0; i < N; ++i)
            text[i] = from[i];
    }
    constexpr std::string_view view() const { return {text, size}; }
};

// --- blanks ---

inline const char* past_blanks(const TreeBuilder& b, const char* p) {
    p = lexical::skip_blank(p);
    return b.brackets != 0 && *p == '\n' ? past_lines_in_brackets(p) : p;
}

// Behind a token: a line end is passed only inside brackets.
struct blank {
    using rule_t = blank;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        b.token_end = in.current();
        in.iterator() = past_blanks(b, in.current());
        return true;
    }
};

// --- words and signs ---

enum class Behind {
    blanks,  // stay on the line
    operand, // something must follow: it may stand on the next line
    lines,   // the same, whatever the next line looks like
};

template <Behind What> const char* past(TreeBuilder& b, const char* p) {
    if constexpr (What == Behind::lines)
        return lexical::skip_gap(p);
    p = past_blanks(b, p);
    if constexpr (What == Behind::operand) {
        if (*p == '\n')
            p = past_lines_to_operand(p);
    }
    return p;
}

template <Fixed Word> bool word_here(const char* p) {
    for (std::size_t i = 0; i < Word.size; ++i) {
        if (p[i] != Word.text[i])
            return false;
    }
    return !lexical::inside_word(p + Word.size);
}

template <Fixed Word, Behind What> struct word_of {
    using rule_t = word_of;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (!word_here<Word>(p))
            return false;
        b.token_end = p + Word.size;
        in.iterator() = past<What>(b, b.token_end);
        return true;
    }
};
template <Fixed Word> struct key : word_of<Word, Behind::blanks> {};
template <Fixed Word> struct key_operand : word_of<Word, Behind::operand> {};

// The word that a statement starts with. A misspelt one was put right by the recovery.
template <Fixed Word, Behind What = Behind::operand> struct lead {
    using rule_t = lead;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        const char* after = p + Word.size;
        if (p == b.alias_at) {
            if (b.alias != Word.view())
                return false;
            after = lexical::after_word(p);
        } else if (!word_here<Word>(p)) {
            return false;
        }
        b.token_end = after;
        in.iterator() = past<What>(b, after);
        return true;
    }
};

template <char C, Behind What = Behind::blanks> struct sign {
    using rule_t = sign;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (*p != C)
            return false;
        b.token_end = p + 1;
        in.iterator() = past<What>(b, p + 1);
        return true;
    }
};
struct comma : sign<',', Behind::operand> {};

// Matches `R` at the next token even if it stands on a later line.
template <typename R> struct across {
    using rule_t = across;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        const char* const saved = in.current();
        in.iterator() = lexical::skip_gap(saved);
        if (try_rule<R, A, Action, Control>(in, b))
            return true;
        in.iterator() = saved;
        return false;
    }
};

// --- must match ---

// `R` leaves one node. If it does not match, the mistake is reported, the rest of the statement
// skipped, and an error node stands in its place; while in panic it is silent.
template <typename R, Missing What> struct expect {
    using rule_t = expect;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (!b.panic && try_rule<R, A, Action, Control>(in, b))
            return true;
        if (!b.panic) {
            (void)report_missing(b, What, p);
            b.panic = true;
            in.iterator() = skip_to_end_of_statement(b, p);
        }
        b.push_error(p, p);
        return true;
    }
};

// The same for a word or sign that leaves no node.
template <typename R, Missing What> struct expect_sign {
    using rule_t = expect_sign;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (b.panic || try_rule<R, A, Action, Control>(in, b))
            return true;
        if (const char* const go_on = report_missing(b, What, p)) { // as if it were there
            in.iterator() = go_on;
            return true;
        }
        b.panic = true;
        in.iterator() = skip_to_end_of_statement(b, p);
        return true;
    }
};

// Leaves an `absent` node.
struct absent : pegtl::success {};
template <typename R> struct optional : pegtl::sor<R, absent> {};

// The part of a statement before its block: a mistake in it does not cost the block.
template <typename... R> struct header {
    using rule_t = header;
    using subs_t = pegtl::type_list<R...>;
    FETTLE_MATCH {
        const bool saved = b.header;
        b.header = true;
        const bool matched = try_rule<pegtl::seq<R...>, A, Action, Control>(in, b);
        b.header = saved;
        return matched;
    }
};

// --- nesting ---

// One level deeper; `R` leaves one node.
template <typename R> struct nested {
    using rule_t = nested;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        if (b.depth >= nesting_limit) {
            const char* const p = in.current();
            if (!b.panic) {
                report_nesting(b, p);
                b.panic = true;
                in.iterator() = skip_to_end_of_statement(b, p);
            }
            b.push_error(p, p);
            return true;
        }
        ++b.depth;
        const bool matched = try_rule<R, A, Action, Control>(in, b);
        --b.depth;
        return matched;
    }
};

// `R` between brackets, in which line ends mean nothing. A bracket that is never closed ends with
// its line.
template <char Open, typename R, char Close> struct bracketed {
    using rule_t = bracketed;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        const char* const open = in.current();
        if (*open != Open)
            return false;
        ++b.brackets;
        ++b.depth;
        b.token_end = open + 1;
        in.iterator() = past_blanks(b, open + 1);
        if (b.depth > nesting_limit) {
            report_nesting(b, open);
            b.panic = true;
            in.iterator() = skip_to_end_of_statement(b, in.current());
        }
        const bool matched = try_rule<R, A, Action, Control>(in, b);
        --b.depth;
        --b.brackets;
        if (!matched)
            return false;
        if (b.panic)
            return true;
        const char* const p = in.current();
        if (*p == Close) {
            b.token_end = p + 1;
            in.iterator() = past_blanks(b, p + 1);
        } else {
            in.iterator() = unclosed_bracket(b, open, Close, p);
        }
        return true;
    }
};

// A chain of operators nests in the tree; see operator_limit.
template <typename R> struct chained {
    using rule_t = chained;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        if (!try_rule<R, A, Action, Control>(in, b))
            return false;
        if (++b.operators > operator_limit && !b.panic) {
            const char* const p = in.current();
            report_operators(b, p);
            b.panic = true;
            in.iterator() = skip_to_end_of_statement(b, p);
        }
        return true;
    }
};

// An element of a list: operators in a row are counted from the list on.
template <typename R> struct element {
    using rule_t = element;
    using subs_t = pegtl::type_list<R>;
    FETTLE_MATCH {
        const int saved = b.operators;
        const bool matched = try_rule<R, A, Action, Control>(in, b);
        b.operators = saved;
        return matched;
    }
};

// --- statements and blocks ---

// One statement of a block or declaration of the file, whatever it takes: always gets further.
template <BlockKind Where, typename S> struct statement_of {
    using rule_t = statement_of;
    using subs_t = pegtl::type_list<S>;
    FETTLE_MATCH {
        const char* const start = in.current();
        begin_statement(b, start);
        const char* const broken = b.broken;
        b.broken = nullptr;
        // Where any word may start a field, the rest of a broken line would pass for one.
        const bool rest = continues_broken(b, broken, start);
        if ((rest && takes_fields(Where)) || !try_rule<S, A, Action, Control>(in, b)) {
            if (rest) {
                in.iterator() = skip_rest_of_broken(b, broken, start);
            } else if (!guess_statement(b, Where, start) ||
                       !try_rule<S, A, Action, Control>(in, b)) {
                in.iterator() = unknown_statement(b, Where, start);
            }
        }
        const char* const p = in.current();
        if (b.panic || *p == '\n' || *p == ';' || *p == '}' || *p == '\0' || b.after_block) {
            if (b.panic && b.broken == nullptr)
                b.broken = start;
            b.panic = false;
        } else {
            b.broken = start;
            in.iterator() = left_over(b, Where, p);
        }
        b.quiet = false;
        b.alias_at = nullptr;
        return true;
    }
};

template <BlockKind Where, typename S> struct statements {
    using rule_t = statements;
    using subs_t = pegtl::type_list<S>;
    FETTLE_MATCH {
        for (;;) {
            const char* p = lexical::skip_gap(in.current());
            while (*p == ';')
                p = lexical::skip_gap(p + 1);
            in.iterator() = p;
            if (p == b.end)
                return true;
            if constexpr (Where == BlockKind::file) {
                if (*p == '}') {
                    in.iterator() = stray_brace(b, p);
                    continue;
                }
            } else {
                if (*p == '}' || ends_block(b, Where, p))
                    return true;
            }
            (void)try_rule<statement_of<Where, S>, A, Action, Control>(in, b);
        }
    }
};

// A block: "{", statements, "}". `MayOpen`: without its "{", the statements that stand in from the
// header are taken for it.
template <BlockKind Where, typename S> struct braces {
    using rule_t = braces;
    using subs_t = pegtl::type_list<S>;
    FETTLE_MATCH {
        const char* const brace = in.current();
        if (*brace == '{') {
            b.token_end = brace + 1;
            in.iterator() = brace + 1;
        } else {
            const char* const start = start_without_brace(b, Where, brace);
            if (start == nullptr)
                return false;
            in.iterator() = start;
        }
        const char* const statement = b.statement;
        const bool saved_header = b.header;
        b.header = false;
        b.panic = false;
        b.quiet = false;
        if (enter_block(b, Where, brace, statement)) {
            (void)try_rule<statements<Where, S>, A, Action, Control>(in, b);
        } else {
            in.iterator() = skip_block(b, in.current());
        }
        const char* const p = in.current();
        const char* const after = leave_block(b, p);
        if (after != p)
            b.token_end = after;
        in.iterator() = lexical::skip_blank(after);
        b.statement = statement;
        b.header = saved_header;
        b.after_block = true;
        return true;
    }
};

} // namespace fettle::grammar

namespace tao::pegtl {

template <typename Name, fettle::grammar::Behind W, fettle::grammar::Fixed F>
struct analyze_traits<Name, fettle::grammar::word_of<F, W>> : analyze_any_traits<> {};
template <typename Name, fettle::grammar::Behind W, fettle::grammar::Fixed F>
struct analyze_traits<Name, fettle::grammar::lead<F, W>> : analyze_any_traits<> {};
template <typename Name, char C, fettle::grammar::Behind W>
struct analyze_traits<Name, fettle::grammar::sign<C, W>> : analyze_any_traits<> {};
template <typename Name>
struct analyze_traits<Name, fettle::grammar::blank> : analyze_opt_traits<> {};
template <typename Name, typename R>
struct analyze_traits<Name, fettle::grammar::across<R>> : analyze_seq_traits<R> {};
template <typename Name, typename R, fettle::Missing W>
struct analyze_traits<Name, fettle::grammar::expect<R, W>> : analyze_opt_traits<R> {};
template <typename Name, typename R, fettle::Missing W>
struct analyze_traits<Name, fettle::grammar::expect_sign<R, W>> : analyze_opt_traits<R> {};
template <typename Name, typename... R>
struct analyze_traits<Name, fettle::grammar::header<R...>> : analyze_seq_traits<R...> {};
template <typename Name, typename R>
struct analyze_traits<Name, fettle::grammar::nested<R>> : analyze_seq_traits<R> {};
template <typename Name, char O, typename R, char C>
struct analyze_traits<Name, fettle::grammar::bracketed<O, R, C>> : analyze_seq_traits<any, R> {};
template <typename Name, typename R>
struct analyze_traits<Name, fettle::grammar::chained<R>> : analyze_seq_traits<R> {};
template <typename Name, typename R>
struct analyze_traits<Name, fettle::grammar::element<R>> : analyze_seq_traits<R> {};
template <typename Name, fettle::BlockKind P, typename S>
struct analyze_traits<Name, fettle::grammar::statement_of<P, S>> : analyze_any_traits<S> {};
template <typename Name, fettle::BlockKind P, typename S>
struct analyze_traits<Name, fettle::grammar::statements<P, S>> : analyze_opt_traits<S> {};
template <typename Name, fettle::BlockKind P, typename S>
struct analyze_traits<Name, fettle::grammar::braces<P, S>> : analyze_seq_traits<any, S> {};

} // namespace tao::pegtl
