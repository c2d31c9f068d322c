#include "compiler/meaning/controller.h"

#include "compiler/meaning/fields.h"

#include <fmt/format.h>

#include <cmath>

namespace fettle {
namespace {

// Without the binary noise of a change of scale: 1F is 1 degree of Fahrenheit.
double tidy(double value) {
    return std::round(value * 1e9) / 1e9;
}

class Reader {
  public:
    Reader(const Program& program, const Profile& profile) : program_(program), profile_(profile) {}

    const Value& operator[](std::string_view name) const {
        return profile_.fields[static_cast<std::size_t>(field::at(Holder::controller, name))];
    }
    std::string_view word(std::string_view name) const {
        const Value& value = (*this)[name];
        return value.is(ValueKind::choice) ? program_.name(value.index) : std::string_view{};
    }
    std::optional<double> number(std::string_view name) const {
        const Value& value = (*this)[name];
        return value.is(ValueKind::quantity) ? std::optional(value.number) : std::nullopt;
    }
    Can yes_no(std::string_view name) const {
        const Value& value = (*this)[name];
        return !value.is(ValueKind::yes_no) ? Can::unknown : value.yes() ? Can::yes : Can::no;
    }

  private:
    const Program& program_;
    const Profile& profile_;
};

} // namespace

std::optional<Abilities> abilities_of(const Program& program, const Profile& controller) {
    const Reader read(program, controller);
    const std::string_view form = read.word("step_form");
    if (form.empty())
        return std::nullopt;
    Abilities can;
    can.form = form == "duration_target"    ? StepForm::duration_target
               : form == "rate_target_soak" ? StepForm::rate_target_soak
                                            : StepForm::rate_or_soak;
    can.scale = read.word("scale") == "F" ? Scale::fahrenheit : Scale::celsius;
    can.max_steps = read.number("max_steps");
    can.programs = read.number("programs");
    can.time_step_s = read.number("time_step").value_or(can.time_step_s);
    if (const auto step = read.number("temperature_step"))
        can.temperature_step = tidy(difference_to_scale(*step, can.scale));
    if (const auto step = read.number("rate_step"))
        can.rate_step = tidy(difference_to_scale(*step, can.scale) * 3600);
    can.longest_step_s = read.number("longest_step");
    can.longest_delay_s = read.number("start_delay");
    if (const Value& rates = read["rates"]; rates.is(ValueKind::range)) {
        can.slowest_rate = tidy(difference_to_scale(rates.low().number, can.scale) * 3600);
        can.fastest_rate = tidy(difference_to_scale(rates.high().number, can.scale) * 3600);
    }
    can.full_rate = read.yes_no("full_rate");
    can.waits = read.yes_no("waits");
    can.cooling = read.yes_no("cooling");
    return can;
}

void check_abilities(const Program& program, const Profile& controller, Diagnostics& diagnostics) {
    const auto can = abilities_of(program, controller);
    if (!can)
        return;
    const auto span_of = [&](std::string_view name) {
        return controller
            .field_spans[static_cast<std::size_t>(field::at(Holder::controller, name))];
    };
    for (const Contradiction& fault : contradictions(*can)) {
        Diagnostic& d = diagnostics.report(DiagnosticKind::contradictory_controller,
                                           span_of(fault.field), fault.message);
        if (!fault.against.empty()) {
            const bool given = !(span_of(fault.against) == Span{});
            if (given)
                d.note(span_of(fault.against), fmt::format("`{}` stands here", fault.against));
            else
                d.note(fmt::format("`{}` is not given: it is taken as usual", fault.against));
        }
        d.mend(fault.mend);
    }
}

} // namespace fettle
