// Declarations and the file: language reference, "Declarations" and "Libraries".
// Part of the grammar's one translation unit (parse.cpp).
#pragma once

#include "compiler/syntax/grammar_statement.h"

namespace fettle::grammar {

struct declared_name : expect<new_name, Missing::name> {};

struct parameter_type : expect_sign<sign<':', Behind::operand>, Missing::parameter_type> {};
struct default_value : seq<equals, expect<expression, Missing::expression>> {};
struct parameter
    : seq<new_name, parameter_type, expect<type, Missing::type>, optional<default_value>> {};
struct one_parameter : element<expect<parameter, Missing::parameter>> {};
struct parameter_list
    : opt<pegtl::not_at<pegtl::one<')'>>, one_parameter,
          star<next_entry, pegtl::not_at<pegtl::one<')'>>, one_parameter>, opt<list_comma>> {};
struct parameters : bracketed<'(', parameter_list, ')'> {};

struct imported_name : expect<new_name, Missing::name> {};
struct imported_names
    : bracketed<'(',
                seq<imported_name, star<list_comma, pegtl::not_at<pegtl::one<')'>>, imported_name>,
                    opt<list_comma>>,
                ')'> {};
struct alias : seq<key_operand<"as">, expect<new_name, Missing::name>> {};
struct use : seq<lead<"use">, expect<path, Missing::module_name>, optional<imported_names>,
                 optional<alias>> {};

struct arrow {
    using rule_t = arrow;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        const char* const p = in.current();
        if (*p != '-' || p[1] != '>')
            return false;
        b.token_end = p + 2;
        in.iterator() = past<Behind::operand>(b, p + 2);
        return true;
    }
};
struct function_result
    : seq<expect_sign<arrow, Missing::result_type>, expect<type, Missing::type>,
          expect_sign<equals, Missing::equals>, expect<expression, Missing::expression>> {};
struct function : seq<lead<"function", Behind::blanks>, declared_name,
                      expect<parameters, Missing::parameters>, function_result, absent, absent> {};

struct from : seq<key_operand<"from">, expect<path, Missing::parent>> {};
struct inherited : seq<from, header<title>, own_block<profile_block>> {};
struct whole : seq<absent, header<title>, required_block<profile_block>> {};
template <ProfileKind Kind, Fixed Word>
struct profile
    : seq<lead<Word, Behind::blanks>, header<declared_name>, absent, sor<inherited, whole>> {};
struct any_profile
    : sor<profile<ProfileKind::body, "body">, profile<ProfileKind::kiln, "kiln">,
          profile<ProfileKind::insulation, "insulation">,
          profile<ProfileKind::controller, "controller">,
          profile<ProfileKind::material, "material">, profile<ProfileKind::glaze, "glaze">,
          profile<ProfileKind::tariff, "tariff">, profile<ProfileKind::studio, "studio">> {};

struct reusable_phase
    : seq<lead<"phase", Behind::blanks>, header<declared_name, optional<parameters>, absent, title>,
          required_block<steps>> {};
struct template_
    : seq<lead<"template", Behind::blanks>,
          header<declared_name, optional<parameters>, absent, title>, required_block<settings>> {};
// `=`, or a call where it was left out: "firing mugs gentle_bisque(...)".
struct origin_sign {
    using rule_t = origin_sign;
    using subs_t = pegtl::type_list<>;
    FETTLE_MATCH {
        if (try_rule<equals, A, Action, Control>(in, b)) {
            return true;
        }
        return call_without_sign(b, in.current());
    }
};
struct instance : seq<origin_sign, expect<postfix, Missing::template_call>, header<title>,
                      own_block<settings>> {};
struct own_settings : seq<absent, header<title>, required_block<settings>> {};
struct firing : seq<lead<"firing", Behind::blanks>, header<declared_name>, absent,
                    sor<instance, own_settings>> {};
struct rule : seq<lead<"rule", Behind::blanks>, header<declared_name, absent, absent, title>,
                  required_block<rule_block>> {};
struct memory : seq<lead<"memory", Behind::blanks>,
                    header<declared_name, expect_sign<key_operand<"for">, Missing::memory_for>,
                           expect<path, Missing::kiln>>,
                    required_block<memory_block>> {};
struct test : seq<lead<"test", Behind::blanks>, header<expect<text_token, Missing::test_name>>,
                  required_block<test_block>> {};

struct from_folder : seq<key_operand<"from">, text_value> {};
struct needs : seq<lead<"needs">, expect<path, Missing::library_name>,
                   expect<version_number, Missing::version>, optional<from_folder>> {};
struct version_word : word {};
struct library_version : seq<pegtl::at<key<"version">>, version_word, blank, no_sign,
                             expect<version_number, Missing::version>> {};
struct library_statement : sor<library_version, about, needs, field> {};
struct library_block : braces<BlockKind::library, library_statement> {};
struct library : seq<lead<"library">, header<expect<path, Missing::library_name>>,
                     required_block<library_block>> {};

struct declaration;
struct private_
    : seq<lead<"private", Behind::operand>, nested<expect<declaration, Missing::declaration>>> {};
struct declaration : sor<firing, template_, any_profile, reusable_phase, rule, use, let, function,
                         memory, test, library, private_> {};

struct declarations : statements<BlockKind::file, declaration> {};
struct file : declarations {};

} // namespace fettle::grammar

namespace tao::pegtl {

template <typename Name>
struct analyze_traits<Name, fettle::grammar::arrow> : analyze_any_traits<> {};
template <typename Name>
struct analyze_traits<Name, fettle::grammar::origin_sign> : analyze_opt_traits<> {};

} // namespace tao::pegtl
