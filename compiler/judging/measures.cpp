// What an inquest holds its evidence against, measured in the log and read from the firing.
#include "compiler/judging/judge_firing.h"

#include "runtime/schedule/curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

struct MeasureWords {
    std::string_view measure;
    enum class As : std::uint8_t {
        minutes,
        hours,
        rate,
        kelvin,
        celsius,
        cones,
        cone,
        share,
        yes,
        millimetres,
        percent,
        expansion
    } as;
    std::string_view words;      // {} is the value
    std::string_view below = {}; // the same for a value below 0, printed without its sign
};
using As = MeasureWords::As;

constexpr MeasureWords measure_words[] = {
    {"minutes_700_900", As::minutes, "{} between 700C and 900C on the way up"},
    {"vent_shut_700_900", As::yes, "the vent shut between 700C and 900C: {}"},
    {"thickness_mm", As::millimetres, "a wall of {}"},
    {"organics", As::percent, "{} of organic matter in the body"},
    {"reduction_from_c", As::celsius, "reduction from {} on"},
    {"cones_over_body", As::cones, "{} past the hottest cone of the body",
     "{} below the hottest cone of the body"},
    {"cones_under_body", As::cones, "{} short of the coldest cone of the body",
     "{} above the coldest cone of the body"},
    {"cones_over", As::cones, "{} past the cone asked for", "{} short of the cone asked for"},
    {"cones_short", As::cones, "{} short of the cone asked for", "{} past the cone asked for"},
    {"cones_over_by_log", As::cones, "by the log {} past the cone asked for",
     "by the log {} short of the cone asked for"},
    {"cones_short_by_log", As::cones, "by the log {} short of the cone asked for",
     "by the log {} past the cone asked for"},
    {"minutes_near_peak", As::minutes, "{} within 10 degrees of the peak"},
    {"fall_at_quartz_k_per_h", As::rate, "falls by {} between 620C and 520C"},
    {"fall_at_cristobalite_k_per_h", As::rate, "falls by {} between 280C and 200C"},
    {"opened_above_c", As::celsius, "falls like an opened kiln from {}"},
    {"hours_above_1100", As::hours, "{} above 1100C"},
    {"bisque_cone", As::cone, "bisqued to {}"},
    {"climb_at_top_k_per_h", As::rate, "climbs by {} over the last hundred degrees"},
    {"top_climb_share", As::share, "the last climb went at {} of the speed asked"},
    {"top_soak_share", As::share, "the stay at the top was {} of the time asked"},
    {"short_of_peak_k", As::kelvin, "the peak is {} below the one asked",
     "the peak is {} above the one asked"},
    {"over_peak_k", As::kelvin, "the peak is {} above the one asked",
     "the peak is {} below the one asked"},
    {"deepest_dip_k", As::kelvin, "falls by {} on the way up, and comes back"},
    {"shelf_hotter_k", As::kelvin, "by its cones a shelf was {} hotter than the sensor",
     "by its cones every shelf was at least {} colder than the sensor"},
    {"shelf_colder_k", As::kelvin, "by its cones a shelf was {} colder than the sensor",
     "by its cones every shelf was at least {} hotter than the sensor"},
    {"glaze_more_expansion", As::expansion, "the glaze shrinks {} more than the body",
     "the glaze shrinks {} less than the body"},
    {"glaze_less_expansion", As::expansion, "the glaze shrinks {} less than the body",
     "the glaze shrinks {} more than the body"},
};

const Value* field_of(const Program& program, const Value& profile, Holder holder,
                      std::string_view name) {
    if (!profile.is(ValueKind::profile))
        return nullptr;
    const auto& fields = program.profiles[profile.index].fields;
    const auto index = static_cast<std::size_t>(field::at(holder, name));
    return index < fields.size() && fields[index].known() ? &fields[index] : nullptr;
}

class Measuring {
  public:
    Measuring(const CompileContext& context, const CompiledFiring& firing,
              const JudgedFiring& judged)
        : program_(context.program), firing_(firing), judged_(judged),
          smooth_(smoothed(judged.judgement.curve, 120)) {}

    Measures run() {
        on_the_way_up();
        at_the_top();
        cooling();
        cones();
        ware();
        return std::move(out_);
    }

  private:
    void put(std::string_view name, std::optional<double> value) {
        if (value)
            out_.insert_or_assign(std::string(name), *value);
    }

    void put_greatest(std::string_view name, double value) {
        const auto at = out_.find(name);
        put(name, at == out_.end() ? value : std::max(at->second, value));
    }

    void on_the_way_up() {
        const double peak_s = judged_.judgement.alignment.peak_s;
        const LogCurve up = part_of(smooth_, smooth_.begins_s(), peak_s);
        if (!up.empty() && judged_.judgement.alignment.peak_c > 900 && up.celsius.front() < 700)
            put("minutes_700_900", time_within(up, 700, 900) / 60);
        const auto vent = Curve(firing_.schedule, Estimates::use).vent_on_the_way_up(700, 900);
        if (vent.value)
            put("vent_shut_700_900", *vent.value == Vent::closed ? 1 : 0);
        double deepest = 0;
        for (const LogDip& dip : judged_.judgement.alignment.dips)
            deepest = std::max(deepest, dip.depth_k);
        put("deepest_dip_k", deepest);
        const Curve curve(firing_.schedule, Estimates::use);
        if (curve.uses(Atmosphere::reduction).value == 1.0)
            put("reduction_from_c", curve.lowest_temperature_in(Atmosphere::reduction).value);
    }

    void at_the_top() {
        const Alignment& alignment = judged_.judgement.alignment;
        const double peak = alignment.peak_c;
        put("minutes_near_peak", time_within(smooth_, peak - 10, peak + 10) / 60);
        const auto asked = Curve(firing_.schedule, Estimates::use).peak().value;
        if (asked) {
            put("short_of_peak_k", *asked - peak);
            put("over_peak_k", peak - *asked);
        }
        if (peak > 1100)
            put("hours_above_1100", time_within(smooth_, 1100, 3000) / 3600);
        const auto top = top_of(firing_.schedule);
        if (!top)
            return;
        const SegmentJudgement& climb = judged_.judgement.segments[top->climb];
        const auto from =
            last_at_or_below(smooth_, peak - 100, smooth_.begins_s(), climb.piece.to_s);
        if (from && climb.piece.to_s > *from)
            put("climb_at_top_k_per_h",
                (temperature_at(smooth_, climb.piece.to_s) - temperature_at(smooth_, *from)) /
                    (climb.piece.to_s - *from) * 3600);
        if (climb.real_rate_k_per_h && climb.asked_rate_k_per_h)
            put("top_climb_share", *climb.real_rate_k_per_h / *climb.asked_rate_k_per_h);
        if (top->soak) {
            const SegmentJudgement& soak = judged_.judgement.segments[*top->soak];
            if (soak.asked_s && soak.piece.end == PieceEnd::reached)
                put("top_soak_share", soak.piece.duration_s() / *soak.asked_s);
        }
    }

    void cooling() {
        const LogCurve down =
            part_of(smooth_, judged_.judgement.alignment.peak_s, smooth_.ends_s());
        if (down.empty())
            return;
        put("fall_at_quartz_k_per_h", steepest_fall_k_per_h(down, 520, 620, 300));
        put("fall_at_cristobalite_k_per_h", steepest_fall_k_per_h(down, 200, 280, 300));
        // A shut kiln falls ever more slowly; one that is opened falls faster again.
        constexpr double window = 600;
        for (double at = down.begins_s() + 3600; at + window < down.ends_s(); at += 120) {
            const double now = temperature_at(down, at);
            const double before = now - temperature_at(down, at - window);
            const double after = temperature_at(down, at + window) - now;
            if (now < 450 && -after > 3 * std::max(1.0, -before) && -after > 10) {
                put("opened_above_c", now);
                break;
            }
        }
        if (!out_.contains("opened_above_c") && down.celsius.back() < 150)
            put("opened_above_c", 0);
    }

    double past(const ConeReading& heat, double cone) const {
        return cones_past(heat, cone, *judged_.scale);
    }

    // The cones outrank the sensor: the hottest and the coldest shelf.
    void cones() {
        hottest_ = coldest_ = judged_.judgement.heat;
        std::optional<double> hotter, colder;
        for (const ShelfHeat& shelf : judged_.judgement.shelves) {
            if (!shelf.known || shelf.contradictory)
                continue;
            if (!hotter || shelf.best_k > *hotter)
                hottest_ = shelf.heat;
            if (!colder || -shelf.best_k > *colder)
                coldest_ = shelf.heat;
            hotter = std::max(hotter.value_or(shelf.best_k), shelf.best_k);
            colder = std::max(colder.value_or(-shelf.best_k), -shelf.best_k);
        }
        put("shelf_hotter_k", hotter);
        put("shelf_colder_k", colder);
        if (const auto asked = judged_.asked_cone) {
            put("cones_over_by_log", past(judged_.judgement.heat, *asked));
            put("cones_short_by_log", -past(judged_.judgement.heat, *asked));
            put("cones_over", past(hottest_, *asked));
            put("cones_short", -past(coldest_, *asked));
        }
    }

    // The whole load: the ware that is most at risk counts.
    void ware() {
        for (const FiringWare& group : firing_.firing.ware) {
            const auto at = [&](std::string_view name) -> const Value& {
                return group.fields[static_cast<std::size_t>(field::at(Holder::ware, name))];
            };
            if (at("thickness").known())
                put_greatest("thickness_mm", at("thickness").number * 1000);
            if (at("bisqued").is(ValueKind::cone))
                put("bisque_cone", at("bisqued").number);
            const Value& body = at("body");
            if (const Value* organics = field_of(program_, body, Holder::body, "organics"))
                put_greatest("organics", organics->number);
            if (const Value* matures = field_of(program_, body, Holder::body, "matures");
                matures != nullptr && matures->is(ValueKind::range)) {
                put("cones_over_body", past(hottest_, matures->high().number));
                if (is_glost(group))
                    put("cones_under_body", -past(coldest_, matures->low().number));
            }
            const Value* of_body = field_of(program_, body, Holder::body, "expansion");
            const Value* of_glaze = field_of(program_, at("glaze"), Holder::glaze, "expansion");
            if (of_body != nullptr && of_glaze != nullptr) {
                put("glaze_more_expansion", of_glaze->number - of_body->number);
                put("glaze_less_expansion", of_body->number - of_glaze->number);
            }
        }
    }

    static bool is_glost(const FiringWare& group) {
        return group.fields[static_cast<std::size_t>(field::at(Holder::ware, "glaze"))].is(
            ValueKind::profile);
    }

    const Program& program_;
    const CompiledFiring& firing_;
    const JudgedFiring& judged_;
    LogCurve smooth_;
    Measures out_;
    ConeReading hottest_, coldest_;
};

std::string cones_text(double cones) {
    const std::string number = print_number(cones, 1);
    return number == "1" ? "a cone" : cones < 1 ? number + " of a cone" : number + " cones";
}

std::string printed(MeasureWords::As as, double value) {
    switch (as) {
    case As::minutes: return print_duration(std::round(value) * 60);
    case As::hours: return print_duration(std::round(value * 12) * 300);
    case As::rate: return print_rate(value, Scale::celsius);
    case As::kelvin: return fmt::format("{} degrees", print_number(value, 0));
    case As::celsius: return print_temperature(value, Scale::celsius);
    case As::cones: return cones_text(value);
    case As::cone: return "cone " + cone_name(value);
    case As::share: return fmt::format("{}%", print_number(value * 100, 0));
    case As::yes: return value != 0 ? "yes" : "no";
    case As::millimetres: return print_number(value, 0) + "mm";
    case As::percent: return print_number(value * 100, 1) + "%";
    case As::expansion: return print_number(value * 1e6, 1) + "ppm/K";
    }
    return {};
}

} // namespace

Measures measure(const CompileContext& context, const CompiledFiring& firing,
                 const JudgedFiring& judged) {
    return Measuring(context, firing, judged).run();
}

std::string measure_text(std::string_view measure, double value) {
    for (const MeasureWords& row : measure_words) {
        if (row.measure == measure)
            return fmt::format(
                fmt::runtime(value < 0 && !row.below.empty() ? row.below : row.words),
                printed(row.as, row.below.empty() ? value : std::fabs(value)));
    }
    return std::string(measure);
}

} // namespace fettle
