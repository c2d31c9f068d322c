// Works out what checked expressions are worth. No recursion in the language, so it always ends;
// a budget bounds how long it may take.
#pragma once

#include "compiler/ceramics/ceramics.h"
#include "compiler/meaning/builtins.h"
#include "compiler/meaning/program.h"

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace fettle {

// What only finished firings can tell. Rooms further down the house answer it.
class FiringQuestions {
  public:
    virtual ~FiringQuestions() = default;
    // A question to the curve at hand, in a rule.
    virtual Value ask_curve(BuiltinId question, std::span<const Value> arguments) = 0;
    // A field of a firing, in a test. `firing` is Value::index of a firing value.
    virtual Value firing_field(std::uint32_t firing, std::uint32_t field) = 0;
    // A firing made in place in a test: gives the index for its value; `none` when it has errors.
    virtual std::uint32_t make_firing(DeclarationId template_,
                                      std::span<const Value> arguments) = 0;
    virtual std::uint32_t declared_firing(DeclarationId firing) = 0;
    virtual bool keeps_every_rule(std::uint32_t firing) = 0;
    virtual bool breaks_rule(std::uint32_t firing, std::string_view rule) = 0;
};

// The names a rule reads, for one group of ware.
struct RuleEnvironment {
    std::array<Value, 8> ware{};         // by field of Holder::ware
    Value body, kiln, glaze, controller; // profiles; nothing: there is none
};

class Evaluator {
  public:
    Evaluator(const Program& program, const Ceramics& ceramics, Diagnostics& diagnostics,
              Arena& arena);

    // The frame must have Declaration::frame_size values.
    Value evaluate(ModuleId module, NodeId node, Value* frame) {
        return evaluate(program_.modules[module], node, frame);
    }
    // As `evaluate`, widened to `type` (one value to a range) and refused when unknown or poison:
    // reports a missing field once and gives poison.
    Value evaluate_known(ModuleId module, NodeId node, Value* frame, std::string_view what);
    std::string_view text(ModuleId module, NodeId node, Value* frame);
    // A comparison of two values that are worked out already. `node` is for messages.
    Value compare(ModuleId module, NodeId node, BinaryOp op, const Value& a, const Value& b);

    // Space for a frame, given back by `leave`.
    Value* enter(std::uint32_t size);
    void leave(Value* frame);
    // Parameters of a call into the frame of the callee, defaults worked out.
    bool bind(ModuleId module, const CallInfo& call, const Declaration& callee, Value* caller,
              Value* frame);
    // One unit of work; false when the budget is used up (reported once).
    bool spend(ModuleId module, NodeId node) {
        if (budget_ <= 1)
            return spend_last(module, node);
        --budget_;
        return true;
    }

    void set_questions(FiringQuestions* questions) { questions_ = questions; }
    void set_environment(const RuleEnvironment* environment) { environment_ = environment; }
    const Program& program() const { return program_; }
    Diagnostics& diagnostics() { return diagnostics_; }
    Arena& arena() { return arena_; }
    void reset_budget() { budget_ = most_work; }

    static constexpr std::uint64_t most_work = 20'000'000;

  private:
    // Literals and locals are most of what is asked for.
    Value evaluate(const Module& module, NodeId node, Value* frame) {
        const NodeInfo& info = module.info[node];
        if (info.kind == RefKind::literal)
            return module.literals[info.index];
        if (!spend(module.id, node))
            return Value::poison();
        if (info.kind != RefKind::local)
            return work_out(module, node, frame);
        Value& local = frame[info.index];
        if (local.is(ValueKind::put_off))
            local = evaluate(module, local.index, frame);
        return local;
    }
    Value work_out(const Module& module, NodeId node, Value* frame);
    bool spend_last(ModuleId module, NodeId node);
    Value name(const Module& module, NodeId node);
    Value field_access(const Module& module, NodeId node, Value* frame);
    Value call(const Module& module, NodeId node, Value* frame);
    Value builtin(const Module& module, NodeId node, const CallInfo& info, Value* frame);
    Value binary(const Module& module, NodeId node, Value* frame);
    Value arithmetic(const Module& module, NodeId node, BinaryOp op, Value a, Value b);
    Value list(const Module& module, NodeId node, Value* frame);
    Value range(const Module& module, NodeId node, Value* frame);
    Value within(const Module& module, NodeId node, Value* frame);
    Value text_value(const Module& module, NodeId node, Value* frame);
    Value fail(DiagnosticKind kind, ModuleId module, NodeId node, std::string message);

    const Program& program_;
    const Ceramics& ceramics_;
    Diagnostics& diagnostics_;
    Arena& arena_;
    const std::span<const Builtin> builtins_ = builtins();
    FiringQuestions* questions_ = nullptr;
    const RuleEnvironment* environment_ = nullptr;
    // Frames, in chunks that are never moved; most firings need one.
    struct Chunk {
        std::unique_ptr<Value[]> values;
        std::size_t size = 0;
    };
    std::vector<Chunk> chunks_;
    std::size_t chunk_ = 0; // the one in use
    std::size_t used_ = 0;  // of it
    std::uint64_t budget_ = most_work;
};

// The order of two values of one kind: -1, 0, 1. Values that differ by less than one part in a
// thousand million count as equal, so that 150 C/h asked for is 150 C/h kept.
int compare_values(const Value& a, const Value& b);
bool same_value(const Value& a, const Value& b);
// As a reader writes it; quantities in the unit they were written in.
std::string print_value(const Program& program, const Value& value, TypeId type);
// One value where a range stands becomes the range from it to it.
Value widen(const Types& types, TypeId type, Value value, Arena& arena);

// Works out constants and profiles, in the order of dependence. Part of check_program.
void evaluate_declarations(Program& program, const std::vector<DeclarationId>& order,
                           const Ceramics& ceramics, Diagnostics& diagnostics);

} // namespace fettle
