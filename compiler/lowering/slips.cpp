#include "compiler/lowering/slips.h"

#include "compiler/lowering/step_words.h"
#include "runtime/heatwork/heat_work.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

// Hotter than almost any ware is fired; above it a number is asked about.
constexpr double hottest_usual_c = 1450;
// A firing that stays below this is no bisque; above 850 and below 1320 the same number in Celsius
// is one, or a glaze firing.
constexpr double coolest_bisque_c = 590;
constexpr double usual_peaks_c[] = {850, 1320};
// How far, in cones, a target must lie from where the body belongs for its mirror image to be asked
// about.
constexpr double far_off_cones = 2;

// Between two cones of the scale, in cones; there is no cone 0 between 01 and 1.
double cones_between(double a, double b) {
    double distance = b - a;
    if (a < 0 && b > 0)
        distance -= 1;
    if (a > 0 && b < 0)
        distance += 1;
    return distance;
}

class Slips {
  public:
    Slips(const Program& program, const Ceramics& ceramics, const Firing& firing,
          const Schedule& schedule, std::span<const std::uint32_t> made_by,
          Diagnostics& diagnostics)
        : program_(program), ceramics_(ceramics), firing_(firing), schedule_(schedule),
          made_by_(made_by), words_(program, firing, diagnostics) {}

    void report() const {
        const bool rules_tell = has_standard_rules();
        for (const Step& step : firing_.steps) {
            if (step.target.is(ValueKind::cone)) {
                if (!rules_tell)
                    opposite_cone(step);
            } else if (step.kind == StepKind::climb && !step.cooling && !step.by) {
                marked_celsius(step);
            }
        }
        marked_fahrenheit();
        if (!rules_tell)
            hotter_cone();
    }

  private:
    // The rules opposite_cone and hotter_cone of the standard library tell the same mistakes, and
    // know the glaze too: one mistake gives one message.
    bool has_standard_rules() const {
        for (const Module& module : program_.modules) {
            if (module.standard && module.name == "std.rules")
                return true;
        }
        return false;
    }

    // --- cones ---

    void opposite_cone(const Step& step) const {
        const double cone = step.target.number;
        for (const FiringWare& group : firing_.ware) {
            const Value& body =
                group.fields[static_cast<std::size_t>(field::at(Holder::ware, "body"))];
            if (!body.is(ValueKind::profile))
                continue;
            const Profile& profile = program_.profiles[body.index];
            if (const Range* range = belongs(profile, cone)) {
                report_opposite(step, profile, *range);
                return;
            }
        }
    }

    struct Range {
        std::string_view field, words;
    };
    // The range of the body that the cone's mirror image lies in, while the cone itself is far from
    // all of them.
    static const Range* belongs(const Profile& body, double cone) {
        static constexpr Range ranges[] = {{"matures", "matures at"}, {"bisque", "is bisqued to"}};
        const Range* found = nullptr;
        for (const Range& range : ranges) {
            const Value& cones =
                body.fields[static_cast<std::size_t>(field::at(Holder::body, range.field))];
            if (!cones.is(ValueKind::range))
                continue;
            const double low = cones.low().number, high = cones.high().number;
            const double off = std::max(cones_between(cone, low), cones_between(high, cone));
            if (off <= far_off_cones)
                return nullptr;
            if (found == nullptr && -cone >= low && -cone <= high)
                found = &range;
        }
        return found;
    }

    void report_opposite(const Step& step, const Profile& body, const Range& range) const {
        const auto index = static_cast<std::size_t>(field::at(Holder::body, range.field));
        const std::string mirrored = "cone " + cone_name(-step.target.number);
        Diagnostic& d = words_.report(
            DiagnosticKind::opposite_cone, step, words_.target_node(step),
            fmt::format("this goes to cone {}, but {} {} {}; cones with a zero are the cooler ones",
                        cone_name(step.target.number),
                        program_.name(program_.declarations[body.declaration].name), range.words,
                        print_value(program_, body.fields[index], Types::cone)));
        d.note(body.field_spans[index], "the body says so here");
        const NodeId target = words_.target_node(step);
        const Module& module = words_.module_of(step);
        const std::string text = fmt::format("write `{}` if that is meant", mirrored);
        if (module.tree[target].kind == NodeKind::cone) {
            d.mend(text, module.span(target), mirrored);
        } else {
            d.mend(text);
        }
    }

    // The firing was to go no further than the hottest cone that it asks for.
    void hotter_cone() const {
        const Step* asked = nullptr;
        for (const Step& step : firing_.steps) {
            if (step.target.is(ValueKind::cone) &&
                (asked == nullptr || step.target.number > asked->target.number)) {
                asked = &step;
            }
        }
        if (asked == nullptr)
            return;
        const auto& cones = ceramics_.shelf_cones().cones;
        const auto next = std::find_if(cones.begin(), cones.end(), [&](const ConeKinetics& cone) {
            return cones_between(asked->target.number, cone.cone) >= 1;
        });
        if (next == cones.end())
            return;
        const KnownStretches known = stretches_of(schedule_);
        if (work(*next, known.stretches) < 1)
            return;
        const auto when = when_complete(*next, known.stretches);
        if (!when)
            return;
        double before_s = 0;
        for (std::size_t i = 0; i < when->stretch; ++i)
            before_s += known.stretches[i].duration_s;
        const Step& step = firing_.steps[made_by_[when->stretch]];
        const bool soak = schedule_.segments[when->stretch].kind == SegmentKind::soak;
        Diagnostic& d = words_.report(
            DiagnosticKind::hotter_cone_reached, step, none,
            fmt::format(
                "cone {} falls {} into this {}, but the hottest that is asked for is cone {}",
                cone_name(next->cone),
                print_duration(std::round((when->time_s - before_s) / 60) * 60),
                soak ? "soak" : "step", cone_name(asked->target.number)));
        if (asked != &step)
            d.note(words_.span_of(*asked),
                   fmt::format("cone {} is asked for here", cone_name(asked->target.number)));
        d.mend(fmt::format("make it shorter or cooler, or ask for cone {}", cone_name(next->cone)));
    }

    // --- scales ---

    void marked_celsius(const Step& step) const {
        const double c = step.target.number;
        if (!looks_like_fahrenheit(c))
            return;
        Diagnostic& d = words_.report(
            DiagnosticKind::looks_like_fahrenheit, step, words_.target_node(step),
            fmt::format("{} is hotter than almost any ware; it looks like a temperature in "
                        "Fahrenheit",
                        words_.temperature(c, step)));
        mend_scale(d, step, c, 'F');
    }

    void marked_fahrenheit() const {
        const Step* hottest = nullptr;
        for (const Step& step : firing_.steps) {
            if (step.kind != StepKind::climb || step.cooling || step.by ||
                !step.target.is(ValueKind::quantity)) {
                continue;
            }
            if (hottest == nullptr || step.target.number > hottest->target.number)
                hottest = &step;
        }
        double peak_c = firing_.start_c;
        for (const Segment& segment : schedule_.segments)
            peak_c = std::max(peak_c, segment.to_c);
        if (hottest == nullptr || words_.scale_of(*hottest) != Scale::fahrenheit ||
            peak_c > hottest->target.number + 1 || peak_c >= coolest_bisque_c) {
            return;
        }
        const double number = to_scale(peak_c, Scale::fahrenheit);
        if (number < usual_peaks_c[0] || number > usual_peaks_c[1])
            return;
        Diagnostic& d = words_.report(
            DiagnosticKind::looks_like_fahrenheit, *hottest, words_.target_node(*hottest),
            fmt::format("the firing goes no higher than {}, which is only {}; it looks like a "
                        "temperature in Celsius",
                        words_.temperature(peak_c, *hottest),
                        print_temperature(std::round(peak_c), Scale::celsius)));
        mend_scale(d, *hottest, std::round(number * 10) / 10, 'C');
    }

    void mend_scale(Diagnostic& d, const Step& step, double number, char letter) const {
        const NodeId node = words_.target_node(step);
        const Module& module = words_.module_of(step);
        const std::string mended = print_number(number) + letter;
        const std::string text = fmt::format("write `{}` if that is meant", mended);
        if (module.tree[node].kind == NodeKind::quantity) {
            d.mend(text, module.span(node), mended);
        } else {
            d.mend(text);
        }
    }

    const Program& program_;
    const Ceramics& ceramics_;
    const Firing& firing_;
    const Schedule& schedule_;
    std::span<const std::uint32_t> made_by_;
    StepWords words_;
};

} // namespace

bool looks_like_fahrenheit(double celsius) {
    const double read_so_c = from_scale(celsius, Scale::fahrenheit);
    return celsius > hottest_usual_c && read_so_c >= 550 && read_so_c <= 1400;
}

void report_slips(const Program& program, const Ceramics& ceramics, const Firing& firing,
                  const Schedule& schedule, std::span<const std::uint32_t> made_by,
                  Diagnostics& diagnostics) {
    Slips(program, ceramics, firing, schedule, made_by, diagnostics).report();
}

} // namespace fettle
