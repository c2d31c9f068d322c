#include "compiler/lowering/prove.h"

#include "compiler/lowering/curve_questions.h"

#include <fmt/format.h>

#include <algorithm>
#include <deque>

namespace fettle {
namespace {

// The firings of one test, and what the test asks about them.
class TestQuestions : public FiringQuestions {
  public:
    TestQuestions(const CompileContext& context, Diagnostics& diagnostics)
        : context_(context), diagnostics_(diagnostics) {}

    Value ask_curve(BuiltinId, std::span<const Value>) override { return Value::poison(); }

    std::uint32_t make_firing(DeclarationId template_, std::span<const Value> arguments) override {
        Made& made = firings_.emplace_back();
        compile_template(context_, template_, arguments, made.compiled, made.diagnostics);
        return accept(made);
    }

    std::uint32_t declared_firing(DeclarationId firing) override {
        for (const auto& [id, index] : declared_) {
            if (id == firing)
                return index;
        }
        Made& made = firings_.emplace_back();
        compile_firing(context_, firing, made.compiled, made.diagnostics);
        const std::uint32_t index = accept(made);
        declared_.emplace_back(firing, index);
        return index;
    }

    Value firing_field(std::uint32_t firing, std::uint32_t field) override {
        const CompiledFiring& compiled = firings_[firing].compiled;
        const std::string_view name = fields_of(Holder::firing)[field].name;
        CurveQuestions curve(context_.program, context_.ceramics, compiled.schedule,
                             compiled.reading);
        if (name == "peak")
            return curve.ask_curve(BuiltinId::peak, {});
        if (name == "start")
            return curve.ask_curve(BuiltinId::start, {});
        if (name == "duration")
            return curve.ask_curve(BuiltinId::duration, {});
        if (name == "cone_reached")
            return curve.ask_curve(BuiltinId::cone_reached, {});
        return Value::quantity(static_cast<double>(compiled.schedule.segments.size()));
    }

    bool keeps_every_rule(std::uint32_t firing) override {
        const auto& checks = firings_[firing].compiled.document.checks;
        return std::none_of(checks.begin(), checks.end(), [](const Check& check) {
            return check.result == CheckResult::broken || check.result == CheckResult::unknown ||
                   check.result == CheckResult::waived;
        });
    }

    bool breaks_rule(std::uint32_t firing, std::string_view rule) override {
        const auto& checks = firings_[firing].compiled.document.checks;
        return std::any_of(checks.begin(), checks.end(), [&](const Check& check) {
            return check.rule == rule && check.result == CheckResult::broken;
        });
    }

    // The rules that a firing does not keep, for the message.
    std::string not_kept(std::uint32_t firing) const {
        std::string all;
        for (const Check& check : firings_[firing].compiled.document.checks) {
            const std::string_view how = check.result == CheckResult::broken    ? "broken"
                                         : check.result == CheckResult::unknown ? "not known"
                                         : check.result == CheckResult::waived  ? "waived"
                                                                                : "";
            if (how.empty())
                continue;
            all += fmt::format("{}{} ({})", all.empty() ? "" : ", ", check.rule, how);
        }
        return all;
    }

  private:
    struct Made {
        CompiledFiring compiled;
        Diagnostics diagnostics;
    };

    // A firing that breaks rules is still there to be asked about; one that could not be made at
    // all is not, and the test says why.
    std::uint32_t accept(Made& made) {
        bool whole = true;
        for (const Diagnostic& diagnostic : made.diagnostics.all()) {
            if (diagnostic.level != Level::error ||
                diagnostic.kind == DiagnosticKind::broken_rule) {
                continue;
            }
            whole = false;
            diagnostics_.add(diagnostic);
        }
        if (!whole || made.compiled.document.schedule == nullptr)
            return none;
        return static_cast<std::uint32_t>(firings_.size() - 1);
    }

    const CompileContext& context_;
    Diagnostics& diagnostics_;
    std::deque<Made> firings_;
    std::vector<std::pair<DeclarationId, std::uint32_t>> declared_;
};

class TestRun {
  public:
    TestRun(const CompileContext& context, const Declaration& test, Diagnostics& diagnostics)
        : program_(context.program), test_(test), module_(program_.modules[test.module]),
          diagnostics_(diagnostics), questions_(context, diagnostics),
          evaluator_(program_, context.ceramics, diagnostics, arena_) {
        evaluator_.set_questions(&questions_);
    }

    TestOutcome run() {
        TestOutcome outcome;
        const std::size_t before = diagnostics_.count(Level::error);
        frame_ = evaluator_.enter(test_.frame_size);
        outcome.title = title();
        const NodeId block = module_.child(test_.node, 1);
        for (std::uint32_t i = 0; i < module_.tree.count(block); ++i) {
            const NodeId item = module_.child(block, i);
            if (module_.tree[item].kind == NodeKind::let) {
                frame_[module_.info[item].index] = evaluate(module_.child(item, 1));
            } else if (module_.tree[item].kind == NodeKind::expect) {
                ++outcome.expectations;
                expect(module_.child(item, 0));
            }
        }
        outcome.passed = diagnostics_.count(Level::error) == before;
        return outcome;
    }

  private:
    Value evaluate(NodeId node) { return evaluator_.evaluate(test_.module, node, frame_); }

    // As it is written: the arena ends with the test.
    std::string_view title() const {
        const NodeId text = module_.child(test_.node, 0);
        std::string_view written = module_.tree.source(text);
        if (written.size() >= 2)
            written = written.substr(1, written.size() - 2);
        return written;
    }

    void expect(NodeId node) {
        const std::size_t before = diagnostics_.count(Level::error);
        const Value value = evaluate(node);
        if (value.yes() || diagnostics_.count(Level::error) != before)
            return;
        if (value.is(ValueKind::poison))
            return; // a `let` of the test failed, and said why
        if (value.is(ValueKind::unknown)) {
            report(node, fmt::format("this can't be told: {} is not known",
                                     describe_missing(program_, value)));
            return;
        }
        explain(node);
    }

    Diagnostic& report(NodeId node, std::string message) {
        return diagnostics_.report(DiagnosticKind::failed_expectation, module_.span(node),
                                   std::move(message));
    }

    std::string print(NodeId node) {
        return print_value(program_, evaluate(node), module_.info[node].type);
    }
    std::string_view source(NodeId node) const { return module_.tree.source(node); }

    // "mugs.duration is 17h20m, expected at most 16h".
    void explain(NodeId node) {
        while (module_.tree[node].kind == NodeKind::paren)
            node = module_.child(node, 0);
        const auto child = [&](std::uint32_t n) { return module_.child(node, n); };
        switch (module_.tree[node].kind) {
        case NodeKind::binary: return explain_binary(node);
        case NodeKind::within_range:
            report(node, fmt::format("{} is {}, expected within {}", source(child(0)),
                                     print(child(0)), print(child(1))));
            return;
        case NodeKind::within_of:
            report(node, fmt::format("{} is {}, expected within {} of {}", source(child(0)),
                                     print(child(0)), print(child(1)), print(child(2))));
            return;
        case NodeKind::keeps_rules:
            report(node, fmt::format("{} does not keep every rule: {}", source(child(0)),
                                     questions_.not_kept(evaluate(child(0)).index)));
            return;
        case NodeKind::breaks_rule:
            report(node, fmt::format("{} does not break {}", source(child(0)), source(child(1))));
            return;
        default: report(node, fmt::format("`{}` does not hold", source(node)));
        }
    }

    void explain_binary(NodeId node) {
        const NodeId left = module_.child(node, 0);
        const NodeId right = module_.child(node, 1);
        std::string_view words;
        switch (static_cast<BinaryOp>(module_.tree[node].flag)) {
        case BinaryOp::and_: return explain(evaluate(left).yes() ? right : left);
        case BinaryOp::less: words = "less than "; break;
        case BinaryOp::less_equal: words = "at most "; break;
        case BinaryOp::greater: words = "more than "; break;
        case BinaryOp::greater_equal: words = "at least "; break;
        case BinaryOp::is_not: words = "anything but "; break;
        case BinaryOp::is: break;
        default: report(node, fmt::format("`{}` does not hold", source(node))); return;
        }
        report(node, fmt::format("{} is {}, expected {}{}", source(left), print(left), words,
                                 print(right)));
    }

    const Program& program_;
    const Declaration& test_;
    const Module& module_;
    Diagnostics& diagnostics_;
    TestQuestions questions_;
    Arena arena_;
    Evaluator evaluator_;
    Value* frame_ = nullptr;
};

} // namespace

TestOutcome run_test(const CompileContext& context, DeclarationId test, Diagnostics& diagnostics) {
    return TestRun(context, context.program.declarations[test], diagnostics).run();
}

} // namespace fettle
