// What outputs for people say about a firing, each phrase made in one place: for the terminal and
// for the sheets alike. Plain text: where it goes to a terminal or a page, it must be made safe
// there.
#pragma once

#include "compiler/lowering/document.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

std::string joined(const std::vector<std::string>& parts); // "a, b, c"

// "red heat" of `red_heat`.
std::string readable_name(std::string_view name);
// "The loft kiln (loft)"
std::string title_and_name(const NamedProfile& profile);
// "5C" for a difference: after "within" it can be nothing else.
std::string printed_step(double kelvin, Scale scale);
// "12h", "~14h30m" with an estimate in it, "?" where it is not known. From ten minutes on, to the
// minute.
std::string printed_time(std::optional<double> known_s, std::optional<double> estimated_s);
// "+12:05", hours and minutes since the first step.
std::string printed_offset(double seconds);
// A time from the start of the first segment as a time of day, to the minute; `clock_s` is that of
// the first segment. `day` counts from 1.
struct ClockTime {
    std::string text; // "07:15"
    long long day = 1;
};
ClockTime clock_after(double clock_s, double time_s);

std::string ware_line(const WareGroup& ware);
std::string template_line(const FiringDocument& document); // "glost: thickness 8mm, top cone 6"

std::string_view what_it_does(const Segment& segment);         // "climb", "soak", "cool freely"
std::string printed_rate(const Segment& segment, Scale scale); // "100C/h", "full", or nothing
// Adds "vent open", "reduction", "damper half": what `now` has otherwise than `before`.
void add_changes(std::vector<std::string>& also, const KilnState& before, const KilnState& now);

std::string duration_line(const Schedule& schedule);
// "step 3", "steps 5 and 6", "steps 1, 4, 7".
std::string steps_of(const std::vector<std::uint32_t>& segments);
// When all is over, by the clock, where that is known or estimated; else nothing.
std::string end_line(const Schedule& schedule, std::optional<double> start_clock_s);
std::string peak_line(const Schedule& schedule, Scale scale);
std::string heat_work_line(const HeatWorkReached& heat_work);

std::string accept_line(const AcceptItem& item, const Schedule& schedule, Scale scale);
std::string_view result_words(CheckResult result);       // "holds", "is broken"
std::string counts(const std::vector<Check>& checks);    // "12 hold, 1 is waived"
std::string found_line(const Check& check, Scale scale); // "found 120C/h, at most 80C/h"

} // namespace fettle
