#include "compiler/output/phrases.h"

#include "compiler/output/columns.h"
#include "compiler/output/words.h"
#include "runtime/schedule/curve.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace fettle {

std::string readable_name(std::string_view name) {
    std::string text(name);
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

std::string title_and_name(const NamedProfile& profile) {
    if (profile.title.empty()) {
        return std::string(profile.name);
    }
    return fmt::format("{} ({})", profile.title, profile.name);
}

std::string joined(const std::vector<std::string>& parts) {
    return fmt::format("{}", fmt::join(parts, ", "));
}

std::string printed_step(double kelvin, Scale scale) {
    return print_number(difference_to_scale(kelvin, scale), 1) +
           (scale == Scale::celsius ? "C" : "F");
}

std::string printed_time(std::optional<double> known_s, std::optional<double> estimated_s) {
    const auto rounded = [](double seconds) {
        return print_duration(seconds < 600 ? seconds : std::round(seconds / 60) * 60);
    };
    if (known_s) {
        return rounded(*known_s);
    }
    return estimated_s ? "~" + rounded(*estimated_s) : "?";
}

std::string printed_offset(double seconds) {
    const long long minutes = std::llround(seconds / 60);
    return fmt::format("+{}:{:02}", minutes / 60, minutes % 60);
}

ClockTime clock_after(double clock_s, double time_s) {
    const double rounded_s = std::round((clock_s + time_s) / 60) * 60;
    return {print_clock(std::fmod(rounded_s, 86400)),
            static_cast<long long>(rounded_s / 86400) + 1};
}

// --- what is fired ---

std::string ware_line(const WareGroup& ware) {
    std::vector<std::string> parts;
    if (!ware.body.name.empty()) {
        parts.push_back(title_and_name(ware.body));
    }
    if (!ware.glaze.name.empty()) {
        parts.push_back("glaze " + title_and_name(ware.glaze));
    }
    if (ware.thickness_mm) {
        parts.push_back(print_number(*ware.thickness_mm, 1) + "mm thick");
    }
    const bool was_fired = !ware.state.empty() && ware.state != "raw";
    if (was_fired) {
        parts.push_back(ware.bisqued.empty() ? std::string(ware.state)
                                             : fmt::format("bisqued to {}", ware.bisqued));
    } else if (ware.moisture) { // bisque has none that counts
        parts.push_back(print_number(*ware.moisture * 100, 1) + "% moist");
    }
    if (ware.mass_kg) {
        parts.push_back(print_number(*ware.mass_kg, 1) + "kg");
    }
    if (!ware.shelf.empty()) {
        parts.push_back(fmt::format("shelf {}", ware.shelf));
    }
    return joined(parts);
}

std::string template_line(const FiringDocument& document) {
    std::vector<std::string> parts;
    for (const Argument& argument : document.arguments) {
        parts.push_back(fmt::format("{} {}", argument.name, argument.value));
    }
    std::string text(document.template_name);
    if (!parts.empty() && !text.empty()) {
        text += ": ";
    }
    return text + joined(parts);
}

// --- steps ---

std::string_view what_it_does(const Segment& segment) {
    switch (segment.kind) {
    case SegmentKind::ramp: return segment.to_c >= segment.from_c ? "climb" : "cool";
    case SegmentKind::soak: return "soak";
    case SegmentKind::full: return "climb";
    case SegmentKind::free: return "cool freely";
    case SegmentKind::opened: return "cool opened";
    }
    return {};
}

std::string printed_rate(const Segment& segment, Scale scale) {
    if (segment.kind == SegmentKind::full) {
        return "full";
    }
    const auto rate = segment.rate_k_per_h();
    if (!rate || segment.kind == SegmentKind::soak) {
        return {};
    }
    return print_rate(std::fabs(*rate), scale, 1);
}

void add_changes(std::vector<std::string>& also, const KilnState& before, const KilnState& now) {
    if (now.vent != before.vent) {
        also.push_back(fmt::format("vent {}", to_word(now.vent)));
    }
    if (now.atmosphere != before.atmosphere) {
        also.push_back(std::string(to_word(now.atmosphere)));
    }
    for (const ControlSetting& setting : now.settings) {
        if (std::find(before.settings.begin(), before.settings.end(), setting) ==
            before.settings.end()) {
            also.push_back(one_line(setting.control + " " + setting.value));
        }
    }
}

// --- totals ---

std::string duration_line(const Schedule& schedule) {
    const Curve known(schedule), estimated(schedule, Estimates::use);
    std::string text = printed_time(known.duration().value, estimated.duration().value);
    if (text == "?") {
        text = "not known: a climb at full speed takes the kiln's own time";
    }
    const auto cooling = estimated.free_cooling();
    if (cooling.value && cooling.segments.empty()) {
        return text;
    }
    return text + (cooling.value ? fmt::format(", without {} of cooling in the kiln's own time",
                                               printed_time({}, cooling.value))
                                 : ", without cooling in the kiln's own time (not known)");
}

std::string steps_of(const std::vector<std::uint32_t>& segments) {
    constexpr std::size_t most = 8;
    if (segments.size() == 2) {
        return fmt::format("steps {} and {}", segments[0] + 1, segments[1] + 1);
    }
    std::vector<std::string> numbers;
    for (std::size_t i = 0; i < segments.size() && i < most; ++i) {
        numbers.push_back(fmt::format("{}", segments[i] + 1));
    }
    if (segments.size() > most) {
        numbers.push_back(fmt::format("{} more", segments.size() - most));
    }
    return (segments.size() == 1 ? "step " : "steps ") + joined(numbers);
}

std::string end_line(const Schedule& schedule, std::optional<double> start_clock_s) {
    const auto end = Curve(schedule, Estimates::use).starts_s().back();
    if (!start_clock_s || !end) {
        return {};
    }
    const bool known = Curve(schedule).starts_s().back().has_value();
    const ClockTime time = clock_after(*start_clock_s + schedule.delay_s, *end);
    return fmt::format("{}{}{}", known ? "" : "about ", time.text,
                       time.day == 1 ? "" : fmt::format(" on day {}", time.day));
}

std::string peak_line(const Schedule& schedule, Scale scale) {
    const auto peak = Curve(schedule).peak();
    std::string text = print_temperature(*peak.value, scale, 1);
    if (!peak.segments.empty()) {
        text += ", " + steps_of(peak.segments);
    }
    return text;
}

std::string heat_work_line(const HeatWorkReached& heat_work) {
    if (heat_work.cone.empty() && heat_work.next_cone.empty()) {
        return {};
    }
    std::string text = heat_work.cone.empty() ? std::string("no cone complete")
                                              : fmt::format("cone {} complete", heat_work.cone);
    if (!heat_work.next_cone.empty() && heat_work.fraction_to_next) {
        text +=
            fmt::format(", {}% of the way to cone {}",
                        print_number(*heat_work.fraction_to_next * 100, 0), heat_work.next_cone);
    }
    return text;
}

// --- acceptance and rules ---

namespace {

// A value in the unit of its check, in the reader's scale where it is a temperature.
std::string printed_value(double value, std::string_view unit, Scale scale) {
    if (unit == "C") {
        return print_temperature(value, scale, 1);
    }
    if (unit == "dC") {
        return print_difference(value, scale, 1);
    }
    if (unit == "C/h") {
        return print_rate(value, scale, 1);
    }
    if (unit == "s") {
        return print_duration(value);
    }
    if (unit == "min") {
        return print_duration(value * 60);
    }
    return fmt::format("{}{}", print_number(value), unit);
}

} // namespace

std::string accept_line(const AcceptItem& item, const Schedule& schedule, Scale scale) {
    const double tolerance = item.tolerance.value_or(0);
    const std::string value = item.value ? printed_value(*item.value, item.unit, scale) : "";
    if (item.kind == "peak") {
        return fmt::format(
            "the peak is within {} of {}", printed_step(tolerance, scale),
            value.empty() ? print_temperature(*Curve(schedule).peak().value, scale, 1) : value);
    }
    if (item.kind == "soak") {
        return fmt::format("it soaks at least {} within {} of the peak",
                           print_duration(item.value.value_or(0)), printed_step(tolerance, scale));
    }
    if (item.kind == "witness") {
        return fmt::format("the witness cone {}{} is down", item.cone,
                           item.shelf.empty() ? "" : fmt::format(" on the {} shelf", item.shelf));
    }
    if (item.kind == "duration") {
        return fmt::format("it takes the time asked, within {}", print_duration(tolerance));
    }
    return fmt::format("{} {}", item.kind, value);
}

namespace {

struct ResultWords {
    CheckResult result;
    std::string_view one, many;
};
constexpr ResultWords words_of_results[] = {
    {CheckResult::holds, "holds", "hold"},
    {CheckResult::broken, "is broken", "are broken"},
    {CheckResult::waived, "is waived", "are waived"},
    {CheckResult::unknown, "could not be checked", "could not be checked"},
    {CheckResult::not_applicable, "does not apply", "do not apply"},
};

} // namespace

std::string_view result_words(CheckResult result) {
    for (const ResultWords& words : words_of_results) {
        if (words.result == result) {
            return words.one;
        }
    }
    return {};
}

std::string counts(const std::vector<Check>& checks) {
    if (std::all_of(checks.begin(), checks.end(),
                    [](const Check& check) { return check.result == CheckResult::holds; })) {
        return fmt::format("{} checked, all hold", checks.size());
    }
    std::vector<std::string> parts;
    for (const ResultWords& words : words_of_results) {
        const auto count = std::count_if(checks.begin(), checks.end(), [&](const Check& check) {
            return check.result == words.result;
        });
        if (count > 0) {
            parts.push_back(fmt::format("{} {}", count, count == 1 ? words.one : words.many));
        }
    }
    return joined(parts);
}

namespace {

std::string printed(const CheckValue& value, std::string_view unit, Scale scale) {
    if (const auto* number = std::get_if<double>(&value)) {
        return printed_value(*number, unit, scale);
    }
    if (const auto* words = std::get_if<std::string_view>(&value)) {
        return std::string(*words);
    }
    return {};
}

} // namespace

std::string found_line(const Check& check, Scale scale) {
    std::vector<std::string> parts;
    const std::string found = printed(check.found, check.unit, scale);
    const std::string allowed = printed(check.allowed, check.unit, scale);
    if (!found.empty()) {
        parts.push_back("found " + found);
    }
    if (!allowed.empty()) {
        parts.push_back((check.sense == Check::Sense::least  ? "at least "
                         : check.sense == Check::Sense::most ? "at most "
                                                             : "should be ") +
                        allowed);
    }
    if (!check.segments.empty()) {
        parts.push_back(steps_of(check.segments));
    }
    return joined(parts);
}

} // namespace fettle
