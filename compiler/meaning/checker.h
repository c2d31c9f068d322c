// Inside of check.h: the state while one declaration is checked. Split over check_names.cpp,
// check_declarations.cpp, check_expressions.cpp and check_statements.cpp.
#pragma once

#include "compiler/meaning/builtins.h"
#include "compiler/meaning/program.h"

#include <array>
#include <fmt/format.h>

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace fettle {

// The text of a literal with its scale letter turned into that of a difference: "5C" -> "5dC".
std::string as_difference(std::string_view literal);

class Checker {
  public:
    Checker(Program& program, const Chemistry& chemistry, Diagnostics& diagnostics)
        : program_(program), types_(*program.types), chemistry_(chemistry),
          diagnostics_(diagnostics) {}

    void collect(); // names of all declarations, imports
    // Declarations with an error of the parser in them are checked, but not used, and what only
    // seems unused in them is not remarked upon.
    void set_aside_what_did_not_parse();
    void check_declarations(); // signatures, then bodies
    // Dependencies first; those on a cycle are reported and made unusable.
    std::vector<DeclarationId> in_order_of_dependence();
    std::vector<DeclarationId> needs(DeclarationId id) const;

  private:
    struct Local {
        NameId name = 0;
        TypeId type = Types::poison;
        std::uint32_t slot = 0;
        NodeId node = 0;
        bool used = false;
        bool parameter = false;
    };
    // What is being checked. Constants are checked when first needed, so frames nest.
    struct Frame {
        DeclarationId declaration = none;
        ModuleId module_id = 0;
        Module* module = nullptr;
        std::vector<Local> locals;
        std::uint32_t next_slot = 0;
        std::uint32_t most_slots = 0;
        bool errors = false;
        bool in_rule = false;
        bool in_test = false;
        Frame* outer = nullptr;
    };
    // Where a statement stands.
    enum class Where : std::uint8_t { firing, steps };

    // --- names (check_names.cpp) ---
    void collect_module(ModuleId id);
    void collect_declaration(ModuleId id, NodeId node, bool is_private);
    void collect_imports(ModuleId id);
    void import_names(ModuleId id, const Import& import, NodeId use);
    void miss_names(ModuleId id, const Import& import, NodeId use);
    bool visible_from(ModuleId from, const Declaration& declaration) const;
    void report_unused_imports();
    void mark_imported(ModuleId module, NameId name);
    // What a name means where the frame is; reports nothing.
    struct Meaning {
        RefKind kind = RefKind::nothing;
        std::uint32_t index = 0;
        ModuleId alias = none; // the name is that of a module
        bool reported = false; // a `use` line could not bring it in, and that has been said
    };
    Meaning look_up(NameId name);
    void report_not_in_module(NodeId word, ModuleId module);
    void report_unknown_name(NodeId node, std::string_view name, TypeId hint);
    std::vector<std::string_view> names_in_reach() const;
    // A declaration by a dotted path; reports what is wrong. `wanted` for the message.
    DeclarationId find_path(NodeId path, std::string_view wanted);

    // --- declarations (check_declarations, check_profiles, check_rules, check_order) ---
    void check_signature(DeclarationId id);
    TypeId check_type(NodeId node);
    void check_body(DeclarationId id);
    void check_constant(DeclarationId id);
    void check_function(DeclarationId id);
    void check_profile(DeclarationId id);
    void check_field(Holder holder, NodeId node);
    void check_field_value(const Field& field, NodeId word, NodeId value);
    void check_profile_statement(Holder holder, NodeId node);
    void check_analysis(NodeId node);
    void check_recipe(NodeId block, bool may_blend);
    void check_ingredient(NodeId part);
    void check_written_once(NodeId list);
    void check_rule(DeclarationId id);
    void check_contradictions(NodeId block); // check_contradictions.cpp
    void check_said_once(NodeId block);
    void check_test(DeclarationId id);
    void check_memory(DeclarationId id);
    void check_library(ModuleId module, NodeId node);
    void check_need(NodeId need, std::vector<NodeId>& before); // names that were needed before it
    void check_phase_like(DeclarationId id, Where where);
    void check_parameters(DeclarationId id);

    // --- statements (check_statements.cpp) ---
    void check_block(NodeId block, Where where);
    void check_statement(NodeId node, Where where);
    bool check_common_statement(NodeId node);
    void check_setting(NodeId node);
    void check_slot_setting(NodeId node);
    void check_step(NodeId node);
    void check_climb(NodeId node);
    void check_ware(NodeId node);
    void check_accept(NodeId block);
    void check_choice_slot(NodeId node, TypeId type);
    void check_follow(NodeId node);
    void misplaced(NodeId node, std::string_view mend);

    // --- expressions (check_expressions, check_values, check_calls, check_operators) ---
    TypeId expression(NodeId node, TypeId hint = Types::poison);
    // The name of a place, for messages: "the rate of a ramp", "`top` of `bisque`". Nearly all
    // values are right, so its pieces are put together only when one is not.
    struct Place {
        std::array<std::string_view, 5> pieces;

        Place(std::string_view words) : pieces{words} {}
        Place(const char* words) : pieces{words} {}
        Place(const std::string& words) : pieces{words} {}
        Place(std::string_view part, std::string_view whole)
            : pieces{"`", part, "` of `", whole, "`"} {}
        std::string words() const;
    };
    // As `expression`, and reports it when a value of another type stands there.
    TypeId require(NodeId node, TypeId expected, const Place& place);
    // The same where only a difference can stand: a plain `5C` is five degrees of difference.
    TypeId require_difference(NodeId node, const Place& place);
    void mismatch(NodeId node, TypeId expected, TypeId actual, std::string_view what);
    void mend_minutes(Diagnostic& d, NodeId node, TypeId actual, TypeId wanted);
    void mend_difference(Diagnostic& d, NodeId product);
    void mend_cone(Diagnostic& d, NodeId node, std::string_view number);
    TypeId literal(NodeId node);
    TypeId text(NodeId node);
    TypeId name(NodeId node, TypeId hint);
    TypeId use_declaration(NodeId node, DeclarationId id);
    TypeId field_access(NodeId node);
    TypeId oxide_of_unity(NodeId node, NodeId word);
    TypeId call(NodeId node, bool as_phase = false);
    TypeId call_declaration(NodeId node, DeclarationId id);
    TypeId call_builtin(NodeId node, int index);
    TypeId builtin_result(const Builtin& builtin, const CallInfo& call);
    struct Wanted {
        std::string_view name;
        bool has_default;
    };
    std::optional<CallInfo> bind_arguments(NodeId node, const std::vector<Wanted>& wanted,
                                           std::string_view callee, DeclarationId declaration);
    TypeId unary_minus(NodeId node);
    TypeId binary(NodeId node);
    TypeId arithmetic(NodeId node, BinaryOp op, TypeId left, TypeId right);
    TypeId comparison(NodeId node, BinaryOp op, TypeId left, TypeId right);
    TypeId equality(NodeId node, TypeId left);
    TypeId conditional(NodeId node, TypeId hint);
    TypeId list(NodeId node, TypeId hint);
    TypeId range(NodeId node, TypeId hint);
    TypeId unify(NodeId node, TypeId a, TypeId b);
    bool comparable_types(TypeId a, TypeId b) const;
    void condition(NodeId node);
    void rule_name(NodeId node);      // a word or a path
    NodeId unwrap(NodeId node) const; // without parentheses

    // --- shared ---
    Diagnostic& report(DiagnosticKind kind, Span span, std::string message);
    Diagnostic& report(DiagnosticKind kind, NodeId node, std::string message);
    const Tree& tree() const { return frame_->module->tree; }
    std::string_view source(NodeId node) const { return tree().source(node); }
    NodeId child(NodeId node, std::uint32_t n) const { return tree().child(node, n); }
    NodeKind kind(NodeId node) const { return tree()[node].kind; }
    std::uint32_t count(NodeId node) const { return tree().count(node); }
    bool present(NodeId node) const { return tree().present(node); }
    NameId intern(NodeId node) { return program_.names.intern(source(node)); }
    TypeId set(NodeId node, TypeId type, RefKind kind = RefKind::nothing, std::uint32_t index = 0);
    TypeId set_literal(NodeId node, TypeId type, const Value& value);
    std::uint32_t add_local(NodeId word, TypeId type, bool parameter = false);
    void leave_scope(std::size_t locals_before);
    void depend_on(DeclarationId id, NodeId where);

    struct Edge {
        DeclarationId to;
        Span where;
    };
    struct ImportedName {
        ModuleId module;
        NameId name;
        Span span;
        bool used = false;
    };

    Program& program_;
    Types& types_;
    const Chemistry& chemistry_;
    Diagnostics& diagnostics_;
    Frame* frame_ = nullptr;
    int constant_depth_ = 0;
    std::vector<std::uint8_t> state_; // of each declaration: 0 not yet, 1 in work, 2 done
    std::vector<std::vector<Edge>> edges_;
    std::vector<ImportedName> imported_;
    PairMap missed_;                             // (module, name): not brought in by a `use`
    PairMap imported_index_;                     // (module, name) -> imported_
    std::vector<std::vector<bool>> import_used_; // by module, by import
};

} // namespace fettle
