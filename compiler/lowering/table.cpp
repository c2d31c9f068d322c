#include "compiler/lowering/table.h"

#include "compiler/lowering/curve_questions.h"
#include "compiler/lowering/step_words.h"
#include "compiler/meaning/controller.h"
#include "compiler/proof/table_curve.h"
#include "compiler/target/make_steps.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

class Table {
  public:
    Table(const CompileContext& context, CompiledFiring& result, Diagnostics& diagnostics)
        : context_(context), program_(context.program), result_(result), firing_(result.firing),
          diagnostics_(diagnostics) {}

    void make() {
        controller_ = the_controller();
        if (controller_ == nullptr)
            return;
        const auto can = abilities_of(program_, *controller_);
        if (!can) {
            diagnostics_
                .report(DiagnosticKind::no_step_form, name_span(),
                        fmt::format("the controller {} does not say its `step_form`, so no table "
                                    "is made for it",
                                    result_.document.controller.name))
                .mend("write what one of its steps is, as `step_form rate_target_soak`");
            return;
        }
        StepsOptions options;
        options.firing = result_.document.name;
        options.controller = result_.document.controller.name;
        options.simplify_within_k = firing_.simplify_within_k;
        options.split = context_.split_programs;
        options.aim = {&context_.ceramics.shelf_cones(), result_.reading, ceiling()};
        options.rows_that_break_a_rule = [this](const Steps& steps) {
            return rows_at_fault(steps);
        };
        StepsResult made = make_steps(result_.schedule, *can, options, result_.document.kept);
        for (const StepsRefusal& refusal : made.refusals)
            say(refusal);
        if (!made.steps)
            return;
        result_.fault = difference(*made.steps, result_.schedule);
        result_.document.steps = std::move(made.steps);
        say_broken_rules();
    }

  private:
    const Profile* the_controller() const {
        if (context_.controller != none)
            return &program_.profiles[context_.controller];
        if (firing_.kiln == none)
            return nullptr;
        const Value& value =
            program_.profiles[firing_.kiln]
                .fields[static_cast<std::size_t>(field::at(Holder::kiln, "controller"))];
        return value.is(ValueKind::profile) ? &program_.profiles[value.index] : nullptr;
    }

    Span name_span() const {
        const Declaration& declaration = program_.declarations[controller_->declaration];
        return program_.span(declaration.module,
                             program_.modules[declaration.module].child(declaration.node, 0));
    }

    std::optional<double> ceiling() const {
        if (firing_.kiln == none)
            return std::nullopt;
        const Value& value =
            program_.profiles[firing_.kiln]
                .fields[static_cast<std::size_t>(field::at(Holder::kiln, "ceiling"))];
        return value.known() ? std::optional(value.number) : std::nullopt;
    }

    void say(const StepsRefusal& refusal) {
        Diagnostic& d =
            refusal.segment == StepsRefusal::whole_firing
                ? diagnostics_.report(refusal.kind, firing_.span, refusal.message)
                : StepWords(program_, firing_, diagnostics_)
                      .report(refusal.kind, firing_.steps[result_.made_by[refusal.segment]], none,
                              refusal.message);
        d.subject = std::string(refusal.field);
        if (!refusal.field.empty()) {
            const Span span = controller_->field_spans[static_cast<std::size_t>(
                field::at(Holder::controller, refusal.field))];
            if (span == Span{})
                d.note(name_span(), "the controller is declared here");
            else
                d.note(span, "the controller says so here");
        }
        if (!refusal.mend.empty())
            d.mend(refusal.mend);
    }

    // --- the rules, on the table's own curve ---

    struct Again {
        TableCurve curve;
        std::vector<Check> checks;
        KeptTexts kept;
    };
    Again ask_again(const Steps& steps) {
        Again again;
        std::string problem;
        again.curve = table_curve(steps, result_.schedule, problem);
        std::vector<std::uint32_t> made_by;
        made_by.reserve(again.curve.asked.size());
        for (const std::uint32_t segment : again.curve.asked)
            made_by.push_back(result_.made_by[segment]);
        Diagnostics unsaid;
        again.checks =
            check_rules(program_, context_.ceramics, context_.rules, firing_, again.curve.schedule,
                        made_by, reading_of_schedule(context_.ceramics, again.curve.schedule),
                        again.kept, unsaid, RuleWords::of_broken, context_.controller);
        return again;
    }

    // Checks are in the same order, whatever the schedule.
    bool is_news(const Check& now, std::size_t index) const {
        const std::vector<Check>& before = result_.document.checks;
        return now.result == CheckResult::broken && index < before.size() &&
               before[index].result != CheckResult::broken &&
               before[index].result != CheckResult::waived;
    }

    std::vector<std::uint32_t> rows_at_fault(const Steps& steps) {
        const Again again = ask_again(steps);
        std::vector<std::uint32_t> rows;
        for (std::size_t i = 0; i < again.checks.size(); ++i) {
            if (!is_news(again.checks[i], i))
                continue;
            for (const std::uint32_t segment : again.checks[i].segments) {
                if (again.curve.row[segment] != TableCurve::no_row)
                    rows.push_back(again.curve.row[segment]);
            }
        }
        std::sort(rows.begin(), rows.end());
        rows.erase(std::unique(rows.begin(), rows.end()), rows.end());
        return rows;
    }

    void say_broken_rules() {
        const Again again = ask_again(*result_.document.steps);
        for (std::size_t i = 0; i < again.checks.size(); ++i) {
            const Check& check = again.checks[i];
            if (!is_news(check, i))
                continue;
            std::string message =
                fmt::format("{}: the table for {} breaks the rule {}, which the firing keeps",
                            firing_.name, result_.document.controller.name, check.rule);
            const auto* found = std::get_if<double>(&check.found);
            const auto* allowed = std::get_if<double>(&check.allowed);
            if (found != nullptr && allowed != nullptr) {
                message += fmt::format(": {}{} after rounding, where {}{} is allowed",
                                       print_number(*found, 2), check.unit,
                                       print_number(*allowed, 2), check.unit);
            }
            Diagnostic& d =
                diagnostics_.report(DiagnosticKind::table_breaks_rule, firing_.span, message);
            d.level = check.level == CheckLevel::error     ? Level::error
                      : check.level == CheckLevel::caution ? Level::caution
                                                           : Level::advice;
            d.subject = fmt::format("{} {}", check.rule, check.group);
            d.note(name_span(), "the controller is declared here");
            d.mend("leave the rule a little more room in the firing, at least one step of the "
                   "controller");
        }
    }

    const CompileContext& context_;
    const Program& program_;
    CompiledFiring& result_;
    const Firing& firing_;
    Diagnostics& diagnostics_;
    const Profile* controller_ = nullptr;
};

} // namespace

void fill_steps(const CompileContext& context, CompiledFiring& result, Diagnostics& diagnostics) {
    Table(context, result, diagnostics).make();
}

} // namespace fettle
