#include "compiler/lowering/own_times.h"

#include "compiler/lowering/step_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

// Of all ware; nothing where a group does not say.
std::optional<double> ware_mass_kg(const Firing& firing) {
    static const auto mass = static_cast<std::size_t>(field::at(Holder::ware, "mass"));
    double sum = 0;
    for (const FiringWare& group : firing.ware) {
        if (!group.fields[mass].is(ValueKind::quantity))
            return std::nullopt;
        sum += group.fields[mass].number;
    }
    return sum;
}

double to_the_minute(double seconds) {
    return std::round(seconds / 60) * 60;
}

bool power_is_told(std::span<const Check> checks) {
    return std::any_of(checks.begin(), checks.end(), [](const Check& check) {
        return check.rule == "kiln_power" &&
               (check.result == CheckResult::broken || check.result == CheckResult::waived);
    });
}

} // namespace

void estimate_own_times(const Program& program, const Firing& firing, Schedule& schedule) {
    const OwnTime* own_time = nullptr;
    double top_c = schedule.start_c;
    for (Segment& segment : schedule.segments) {
        top_c = std::max(top_c, segment.from_c);
        if (segment.duration_s)
            continue;
        if (firing.kiln == none)
            return;
        if (own_time == nullptr)
            own_time = program.kilns->find(program, firing.kiln);
        if (own_time == nullptr)
            return;
        auto course = own_time->course(segment.kind, segment.from_c, segment.to_c, top_c,
                                       ware_mass_kg(firing));
        if (!course)
            continue;
        // Whole minutes: an estimate should not look like more.
        const double exact_s = course->back().time_s;
        const double rounded_s = std::max(60.0, to_the_minute(exact_s));
        for (EstimatedPoint& point : *course)
            point.time_s *= rounded_s / exact_s;
        course->back().time_s = rounded_s;
        segment.estimated_duration_s = rounded_s;
        segment.estimated_course = std::move(*course);
    }
}

void report_fast_climbs(const Program& program, const Firing& firing, const Schedule& schedule,
                        std::span<const std::uint32_t> made_by, std::span<const Check> checks,
                        Diagnostics& diagnostics) {
    if (firing.kiln == none || power_is_told(checks))
        return;
    constexpr double suspicious = 0.6, plainly = 1.15;
    const OwnTime* own_time = nullptr;
    std::uint32_t reported = none; // step
    for (std::size_t i = 0; i < schedule.segments.size(); ++i) {
        const Segment& segment = schedule.segments[i];
        const auto rate = segment.rate_k_per_h();
        if (segment.kind != SegmentKind::ramp || !rate || *rate <= 0 || made_by[i] == reported)
            continue;
        if (own_time == nullptr)
            own_time = program.kilns->find(program, firing.kiln);
        if (own_time == nullptr)
            return;
        if (*rate < suspicious * quick_fastest_climb_k_per_h(own_time->model(), segment.to_c))
            continue;
        const double makes = own_time->fastest_climb_k_per_h(segment.to_c, ware_mass_kg(firing));
        if (*rate <= plainly * makes)
            continue;
        reported = made_by[i];
        const Step& step = firing.steps[made_by[i]];
        const StepWords words(program, firing, diagnostics);
        const Profile& kiln = program.profiles[firing.kiln];
        const auto name = program.name(program.declarations[kiln.declaration].name);
        const Scale scale = words.scale_of(step);
        Diagnostic& diagnostic = words.report(
            DiagnosticKind::faster_than_kiln, step, words.part_node(step, 1),
            makes < 1 ? fmt::format("at full power {} hardly gets to {}, if at all", name,
                                    words.temperature(segment.to_c, step))
                      : fmt::format("near {} {} makes about {} at full power, and {} is asked",
                                    words.temperature(segment.to_c, step), name,
                                    print_rate(std::floor(makes / 5) * 5, scale),
                                    print_rate(*rate, scale)));
        diagnostic.mend(
            "climb more slowly there, or write `at full` and let the kiln take its time");
    }
}

} // namespace fettle
