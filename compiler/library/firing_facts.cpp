#include "compiler/library/firing_facts.h"

#include "compiler/output/phrases.h"
#include "compiler/output/words.h"
#include "runtime/schedule/curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <thread>

namespace fettle {
namespace {

constexpr std::string_view results[] = {"holds", "broken", "waived", "unknown", "does not apply"};

std::string cone_line(const HeatWorkReached& heat) {
    if (heat.cone.empty())
        return "";
    if (!heat.fraction_to_next)
        return fmt::format("cone {}", heat.cone);
    return fmt::format("cone {} and {:.0f} % of the way to {}", heat.cone,
                       *heat.fraction_to_next * 100, heat.next_cone);
}

std::string check_line(const Check& check) {
    return fmt::format("{}{}{}: {}", check.rule, check.group.empty() ? "" : " of ", check.group,
                       results[static_cast<std::size_t>(check.result)]);
}

std::string slot_line(const WareGroup& ware) {
    const auto number = [](const std::optional<double>& value) {
        return value ? fmt::format("{:g}", *value) : std::string("?");
    };
    return fmt::format("{}: body {}, glaze {}, {} mm, moisture {}, {} kg, shelf {}", ware.name,
                       ware.body.name, ware.glaze.name, number(ware.thickness_mm),
                       number(ware.moisture), number(ware.mass_kg), ware.shelf);
}

std::string number_of(const std::optional<double>& value, std::string_view unit) {
    return value ? fmt::format(" {:g}{}", *value, unit) : "";
}

std::vector<std::string> table_lines(const Steps& steps) {
    std::vector<std::string> lines;
    const std::string_view degrees = steps.scale == Scale::celsius ? "C" : "F";
    for (const StepProgram& program : steps.programs) {
        for (const StepRow& row : program.rows)
            lines.push_back(fmt::format("{} {:g}{}{}{}{}", to_word(row.kind), row.target, degrees,
                                        number_of(row.rate_per_h, fmt::format("{}/h", degrees)),
                                        number_of(row.duration_min, "min"),
                                        number_of(row.soak_min, "min soak")));
    }
    if (steps.delay_s > 0)
        lines.push_back(fmt::format("delay {:g}min", steps.delay_s / 60));
    return lines;
}

void take(const CompiledFiring& compiled, const Diagnostics& diagnostics, FiringFacts& facts) {
    facts.ok = compiled.ok;
    if (!compiled.ok) {
        for (const Diagnostic& diagnostic : diagnostics.all()) {
            if (diagnostic.level == Level::error && facts.refused.empty())
                facts.refused = diagnostic.message;
        }
        return;
    }
    const FiringDocument& document = compiled.document;
    facts.schedule = compiled.schedule;
    facts.schedule.files.clear();
    for (Segment& segment : facts.schedule.segments)
        segment.trail.clear();
    for (const Check& check : document.checks) {
        if (check.result != CheckResult::not_applicable)
            facts.checks.push_back(check_line(check));
    }
    std::sort(facts.checks.begin(), facts.checks.end());
    if (document.steps)
        facts.table = table_lines(*document.steps);
    facts.cone = cone_line(document.heat_work);
    for (const AcceptItem& item : document.accept)
        facts.accept.push_back(accept_line(item, compiled.schedule, Scale::celsius));
    for (const WareGroup& ware : document.load)
        facts.needs.push_back(slot_line(ware));
    facts.needs.push_back(fmt::format("kiln {}", document.kiln.name));
}

bool same_state(const Schedule& a, const Segment& x, const Schedule& b, const Segment& y) {
    return a.states[x.state] == b.states[y.state];
}

bool same_segment(const Schedule& a, const Segment& x, const Schedule& b, const Segment& y) {
    return x.kind == y.kind && x.from_c == y.from_c && x.to_c == y.to_c &&
           x.duration_s == y.duration_s && x.waiting_within_k == y.waiting_within_k &&
           x.to_cone == y.to_cone && a.phases[x.phase].name == b.phases[y.phase].name &&
           same_state(a, x, b, y);
}

std::string segment_line(const Schedule& schedule, const Segment& segment) {
    std::string text = fmt::format("{} to {:.6g}C", what_it_does(segment), segment.to_c);
    if (segment.duration_s) {
        text += segment.kind == SegmentKind::soak
                    ? fmt::format(" for {}", printed_time(segment.duration_s, {}))
                    : fmt::format(" at {:.4g}C/h", std::abs(*segment.rate_k_per_h()));
    }
    return fmt::format("{} ({})", text, readable_name(schedule.phases[segment.phase].name));
}

// Of the two at once, hottest apart; at the ends of segments, since both are straight between.
struct Apart {
    double kelvin = 0;
    double time_s = 0;
};
Apart furthest_apart(const Schedule& a, const Schedule& b) {
    Apart most;
    const Curve first(a, Estimates::use);
    const Curve second(b, Estimates::use);
    for (const Curve* curve : {&first, &second}) {
        for (const std::optional<double>& time : curve->starts_s()) {
            if (!time)
                break;
            const auto x = first.temperature_at(*time);
            const auto y = second.temperature_at(*time);
            if (x && y && std::abs(*x - *y) > most.kelvin)
                most = {std::abs(*x - *y), *time};
        }
    }
    return most;
}

void compare_lists(std::string_view what, const std::vector<std::string>& before,
                   const std::vector<std::string>& after, std::vector<std::string>& lines) {
    std::vector<std::string> gone;
    std::vector<std::string> come;
    std::set_difference(before.begin(), before.end(), after.begin(), after.end(),
                        std::back_inserter(gone));
    std::set_difference(after.begin(), after.end(), before.begin(), before.end(),
                        std::back_inserter(come));
    for (const std::string& line : gone)
        lines.push_back(fmt::format("{} no longer: {}", what, line));
    for (const std::string& line : come)
        lines.push_back(fmt::format("{} now: {}", what, line));
}

void compare_tables(const std::vector<std::string>& before, const std::vector<std::string>& after,
                    std::vector<std::string>& lines) {
    const auto [was, is] = std::mismatch(before.begin(), before.end(), after.begin(), after.end());
    if (was == before.end() && is == after.end())
        return;
    if (before.size() != after.size()) {
        lines.push_back(fmt::format("{} steps to key in, were {}", after.size(), before.size()));
    } else {
        lines.push_back(
            fmt::format("to key in as step {}: {}, was: {}", is - after.begin() + 1, *is, *was));
    }
}

void compare_segments(const Schedule& a, const Schedule& b, std::vector<std::string>& lines) {
    if (a.start_c != b.start_c)
        lines.push_back(fmt::format("starts at {:g}C, was {:g}C", b.start_c, a.start_c));
    if (a.delay_s != b.delay_s)
        lines.push_back(fmt::format("waits {} before the start, was {}",
                                    printed_time(b.delay_s, {}), printed_time(a.delay_s, {})));
    const std::size_t common = std::min(a.segments.size(), b.segments.size());
    std::size_t first = 0;
    while (first < common && same_segment(a, a.segments[first], b, b.segments[first]))
        ++first;
    if (first == a.segments.size() && first == b.segments.size())
        return;
    const Curve x(a);
    const Curve y(b);
    const auto peak_a = x.peak().value.value_or(0);
    const auto peak_b = y.peak().value.value_or(0);
    if (peak_a != peak_b)
        lines.push_back(fmt::format("peak {:.6g}C, was {:.6g}C", peak_b, peak_a));
    const std::string time_a = printed_time(x.duration().value, {});
    const std::string time_b = printed_time(y.duration().value, {});
    if (time_a != time_b)
        lines.push_back(fmt::format("takes {}, was {}", time_b, time_a));
    if (a.segments.size() != b.segments.size())
        lines.push_back(fmt::format("{} segments, were {}", b.segments.size(), a.segments.size()));
    if (first < common) {
        const std::string was = segment_line(a, a.segments[first]);
        const std::string is = segment_line(b, b.segments[first]);
        lines.push_back(was == is
                            ? fmt::format("segment {}: {}, otherwise vented or set", first + 1, is)
                            : fmt::format("segment {}: {}, was: {}", first + 1, is, was));
    }
    if (const Apart apart = furthest_apart(a, b); apart.kelvin >= 0.5)
        lines.push_back(fmt::format("up to {:.0f} degrees apart, {} after the start", apart.kelvin,
                                    printed_time(apart.time_s, {})));
}

} // namespace

std::vector<FiringFacts> compile_facts(const Compilation& compilation,
                                       const std::vector<DeclarationId>& firings,
                                       unsigned threads) {
    std::vector<FiringFacts> facts(firings.size());
    std::atomic<std::size_t> next = 0;
    const auto work = [&] {
        CompiledFiring compiled;
        for (std::size_t i = next++; i < firings.size(); i = next++) {
            Diagnostics diagnostics;
            compile_firing(compilation.context(), firings[i], compiled, diagnostics);
            take(compiled, diagnostics, facts[i]);
        }
    };
    std::vector<std::thread> others;
    for (unsigned t = 1; t < threads && t * 8 < firings.size(); ++t)
        others.emplace_back(work);
    work();
    for (std::thread& other : others)
        other.join();
    return facts;
}

std::vector<std::string> differences(const FiringFacts& before, const FiringFacts& after) {
    std::vector<std::string> lines;
    if (!before.ok || !after.ok) {
        if (before.ok)
            lines.push_back(fmt::format("is refused now: {}", after.refused));
        else if (after.ok)
            lines.push_back(fmt::format("compiles now; was refused: {}", before.refused));
        return lines;
    }
    compare_segments(before.schedule, after.schedule, lines);
    compare_tables(before.table, after.table, lines);
    if (before.cone != after.cone)
        lines.push_back(fmt::format("heat work {}, was {}",
                                    after.cone.empty() ? "unknown" : after.cone,
                                    before.cone.empty() ? "unknown" : before.cone));
    compare_lists("rule", before.checks, after.checks, lines);
    compare_lists("accepts", before.accept, after.accept, lines);
    compare_lists("made for", before.needs, after.needs, lines);
    return lines;
}

} // namespace fettle
