#include "compiler/output/compare.h"

#include "compiler/output/controller_table.h"
#include "compiler/output/pair_up.h"
#include "compiler/output/phrases.h"
#include "compiler/output/plot_shape.h"
#include "compiler/output/side_by_side.h"
#include "compiler/proof/table_curve.h"
#include "runtime/schedule/curve.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace fettle {

namespace {

using Lines = SideBySide::Lines;

// --- the curves ---------------------------------------------------------------------------------

// The temperatures of a schedule at times that only go up.
class Walk {
  public:
    explicit Walk(const Schedule& schedule)
        : schedule_(schedule), starts_(Curve(schedule, Estimates::use).starts_s()) {}

    // Where a segment begins or ends, as far as that is known.
    std::vector<double> times() const {
        std::vector<double> times;
        for (const auto& start : starts_) {
            if (start)
                times.push_back(*start);
        }
        return times;
    }
    double at(double time_s) {
        const auto& segments = schedule_.segments;
        while (next_ + 1 < segments.size() && starts_[next_ + 1] && *starts_[next_ + 1] < time_s)
            ++next_;
        const double begin_s = *starts_[next_], end_s = *starts_[next_ + 1];
        const double part = end_s > begin_s ? (time_s - begin_s) / (end_s - begin_s) : 1;
        return segments[next_].from_c +
               (segments[next_].to_c - segments[next_].from_c) * std::clamp(part, 0.0, 1.0);
    }

  private:
    const Schedule& schedule_;
    std::vector<std::optional<double>> starts_;
    std::size_t next_ = 0;
};

struct Apart {
    double degrees_k = 0;
    double time_s = 0;
};
// While the times of both are known or estimated; nothing where they never are. Both are straight
// between the places that are looked at.
std::optional<Apart> furthest_apart(const Schedule& a, const Schedule& b) {
    Walk in_a(a), in_b(b);
    std::vector<double> times = in_a.times(), of_b = in_b.times();
    if (times.size() < 2 || of_b.size() < 2)
        return std::nullopt;
    const double end_s = std::min(times.back(), of_b.back());
    times.insert(times.end(), of_b.begin(), of_b.end());
    std::sort(times.begin(), times.end());
    Apart apart;
    for (const double time_s : times) {
        if (time_s > end_s)
            break;
        const double degrees_k = std::fabs(in_a.at(time_s) - in_b.at(time_s));
        if (degrees_k > apart.degrees_k + 1e-9)
            apart = {degrees_k, time_s};
    }
    return apart;
}

std::vector<PlotOptions::Dot> dots_of(const Shape& shape, std::size_t count) {
    std::vector<PlotOptions::Dot> dots;
    std::size_t segment = 0;
    for (std::size_t i = 0; i <= count && !shape.segments.empty(); ++i) {
        const double time_s = shape.total_s * static_cast<double>(i) / static_cast<double>(count);
        while (segment + 1 < shape.segments.size() && shape.segments[segment].end_s < time_s)
            ++segment;
        dots.push_back({time_s, shape.segments[segment].temperature_at(time_s)});
    }
    return dots;
}

// --- the page -----------------------------------------------------------------------------------

struct Side {
    const FiringDocument& document;
    std::string name;         // over its column
    const Schedule& schedule; // that is drawn and told
};

class Comparison {
  public:
    Comparison(const Side& a, const Side& b, bool of_controllers, const ShowOptions& options)
        : a_(a), b_(b), of_controllers_(of_controllers), options_(options),
          page_(std::max<std::size_t>(options.width, 60), options.plain, options.colour),
          sides_(page_) {}

    std::string run() {
        put_head();
        if (!of_controllers_)
            put_steps();
        put_totals();
        put_keys();
        put_rules();
        put_curves();
        page_.blank();
        page_.line(sides_.any_difference() ? "* differs" : "The two are the same.", Ink::faint);
        return std::move(page_).take();
    }

  private:
    void heading(std::string_view text) {
        page_.blank();
        page_.line(text, Ink::strong);
    }

    // A row of what is said of both in the same way.
    template <typename Says> void both(std::string_view label, Says says) {
        sides_.row(label, says(a_), says(b_));
    }

    void put_head() {
        if (of_controllers_) {
            const FiringDocument& document = a_.document;
            const std::string name = one_line(document.name);
            page_.line(fmt::format("{} on two controllers",
                                   document.title.empty() ? name : one_line(document.title)),
                       Ink::strong);
        } else {
            page_.line("Two firings", Ink::strong);
        }
        for (const std::string& line : in_short())
            page_.paragraph(2, "", line);
        page_.blank();
        sides_.headings(a_.name, b_.name);
        if (of_controllers_) {
            both("controller",
                 [](const Side& side) { return std::string(side.document.controller.title); });
            return;
        }
        both("title", [](const Side& side) { return std::string(side.document.title); });
        both("made from", [](const Side& side) { return template_line(side.document); });
        both("kiln", [](const Side& side) { return title_and_name(side.document.kiln); });
        both("controller",
             [](const Side& side) { return title_and_name(side.document.controller); });
        both("ware", ware_lines);
        both("start", [&](const Side& side) {
            const Schedule& schedule = side.schedule;
            return "at " + print_temperature(schedule.start_c, options_.scale, 1) +
                   (schedule.delay_s > 0
                        ? fmt::format(" after {}", print_duration(schedule.delay_s))
                        : "");
        });
    }

    static Lines ware_lines(const Side& side) {
        Lines lines;
        for (const WareGroup& ware : side.document.load) {
            const std::string line = ware_line(ware);
            lines.push_back(ware.name.empty() ? line : fmt::format("{}: {}", ware.name, line));
        }
        return lines;
    }

    // What somebody asks first: how much longer, how much hotter, how far apart.
    std::vector<std::string> in_short() const {
        std::vector<std::string> lines;
        const Curve a(a_.schedule, Estimates::use), b(b_.schedule, Estimates::use);
        const auto time_a = a.duration().value, time_b = b.duration().value;
        const double longer_s = time_a && time_b ? std::round((*time_b - *time_a) / 60) * 60 : 0;
        if (time_a && time_b) {
            lines.push_back(longer_s == 0 ? "Both take the same time, to the minute."
                                          : fmt::format("{} takes {} {}.", b_.name,
                                                        print_duration(std::fabs(longer_s)),
                                                        longer_s > 0 ? "longer" : "less time"));
        }
        const double hotter_k = *b.peak().value - *a.peak().value;
        lines.push_back(std::fabs(hotter_k) < 0.05
                            ? "Both peak at the same temperature."
                            : fmt::format("{} peaks {} {}.", b_.name,
                                          printed_step(std::fabs(hotter_k), options_.scale),
                                          hotter_k > 0 ? "hotter" : "cooler"));
        const auto apart = furthest_apart(a_.schedule, b_.schedule);
        if (apart && apart->degrees_k >= 0.05) {
            lines.push_back(fmt::format("The curves are furthest apart {} after the first step "
                                        "starts: {}.",
                                        printed_time(apart->time_s, {}),
                                        printed_step(apart->degrees_k, options_.scale)));
        }
        return lines;
    }

    // --- step by step ---

    struct StepCell {
        Lines lines; // target, rate and time in columns; then what changes with the step
        Lines texts; // its jobs and notes
    };

    struct Run {
        std::uint32_t phase;
        std::size_t begin, end; // segments
    };
    static std::vector<Run> runs_of(const Schedule& schedule) {
        std::vector<Run> runs;
        for (std::size_t i = 0; i < schedule.segments.size(); ++i) {
            const std::uint32_t phase = schedule.segments[i].phase;
            if (runs.empty() || runs.back().phase != phase)
                runs.push_back({phase, i, i});
            runs.back().end = i + 1;
        }
        return runs;
    }

    void put_steps() {
        heading("Step by step: to, rate, time");
        cells_[0] = cells_of(a_.schedule);
        cells_[1] = cells_of(b_.schedule);
        const auto runs_a = runs_of(a_.schedule), runs_b = runs_of(b_.schedule);
        const auto same_name = [&](std::size_t i, std::size_t j) {
            return a_.schedule.phases[runs_a[i].phase].name ==
                           b_.schedule.phases[runs_b[j].phase].name
                       ? 1
                       : 0;
        };
        for (const Paired& pair : pair_up(runs_a.size(), runs_b.size(), same_name)) {
            page_.blank();
            put_phase(pair.a ? &runs_a[*pair.a] : nullptr, pair.b ? &runs_b[*pair.b] : nullptr);
        }
    }

    void put_phase(const Run* a, const Run* b) {
        const std::string& name =
            a != nullptr ? a_.schedule.phases[a->phase].name : b_.schedule.phases[b->phase].name;
        sides_.heading_row(name, a != nullptr ? phase_time(a_.schedule, *a) : "not here",
                           b != nullptr ? phase_time(b_.schedule, *b) : "not here");
        const std::size_t count_a = a != nullptr ? a->end - a->begin : 0;
        const std::size_t count_b = b != nullptr ? b->end - b->begin : 0;
        const auto alike = [&](std::size_t i, std::size_t j) {
            const Segment& in_a = a_.schedule.segments[a->begin + i];
            const Segment& in_b = b_.schedule.segments[b->begin + j];
            const bool climbs = in_a.kind == SegmentKind::full || in_b.kind == SegmentKind::full;
            if (what_it_does(in_a) != what_it_does(in_b))
                return 0;
            const bool same_end = std::fabs(in_a.to_c - in_b.to_c) < 0.05;
            return 2 + (same_end ? 2 : 0) + (climbs && in_a.kind != in_b.kind ? 0 : 1);
        };
        for (const Paired& pair : pair_up(count_a, count_b, alike)) {
            const Segment& either = pair.a ? a_.schedule.segments[a->begin + *pair.a]
                                           : b_.schedule.segments[b->begin + *pair.b];
            const StepCell* in_a = pair.a ? &cells_[0][a->begin + *pair.a] : nullptr;
            const StepCell* in_b = pair.b ? &cells_[1][b->begin + *pair.b] : nullptr;
            sides_.row(fmt::format("  {}", what_it_does(either)), told(in_a, in_b),
                       told(in_b, in_a));
        }
    }

    // Jobs and notes only where the other one has others.
    static Lines told(const StepCell* cell, const StepCell* other) {
        if (cell == nullptr)
            return {};
        Lines lines = cell->lines;
        if (other == nullptr || cell->texts != other->texts)
            lines.insert(lines.end(), cell->texts.begin(), cell->texts.end());
        return lines;
    }

    static std::string phase_time(const Schedule& schedule, const Run& run) {
        std::optional<double> known = 0, estimated = 0;
        for (std::size_t i = run.begin; i < run.end; ++i) {
            const Segment& segment = schedule.segments[i];
            const auto own = segment.duration_s;
            const auto guess = own ? own : segment.estimated_duration_s;
            known = known && own ? std::optional(*known + *own) : std::nullopt;
            estimated = estimated && guess ? std::optional(*estimated + *guess) : std::nullopt;
        }
        return printed_time(known, estimated);
    }

    struct Numbers {
        std::string to, rate, time;
    };
    Numbers numbers_of(const Segment& segment) const {
        return {print_temperature(segment.to_c, options_.scale, 1),
                printed_rate(segment, options_.scale),
                printed_time(segment.duration_s, segment.estimated_duration_s)};
    }
    std::vector<StepCell> cells_of(const Schedule& schedule) const {
        // As wide in both columns: steps that are the same must look the same.
        std::size_t to_width = 0, rate_width = 0, time_width = 0;
        for (const Schedule* each : {&a_.schedule, &b_.schedule}) {
            for (const Segment& segment : each->segments) {
                const Numbers numbers = numbers_of(segment);
                to_width = std::max(to_width, numbers.to.size());
                rate_width = std::max(rate_width, numbers.rate.size());
                time_width = std::max(time_width, numbers.time.size());
            }
        }
        static const KilnState nothing_set;
        const KilnState* before = &nothing_set;
        std::vector<StepCell> cells;
        for (const Segment& segment : schedule.segments) {
            const Numbers numbers = numbers_of(segment);
            StepCell cell;
            cell.lines = {right_in(numbers.to, to_width) + "  " +
                          right_in(numbers.rate, rate_width) + "  " +
                          right_in(numbers.time, time_width)};
            std::vector<std::string> also;
            if (!segment.to_cone.empty())
                also.push_back("cone " + segment.to_cone);
            if (segment.waiting_within_k)
                also.push_back("waiting within " +
                               printed_step(*segment.waiting_within_k, options_.scale));
            const KilnState& now = schedule.states[segment.state];
            add_changes(also, *before, now);
            before = &now;
            if (!also.empty())
                cell.lines.push_back(joined(also));
            for (const std::string& job : segment.jobs)
                cell.texts.push_back("do: " + job);
            for (const std::string& note : segment.notes)
                cell.texts.push_back("note: " + note);
            cells.push_back(std::move(cell));
        }
        return cells;
    }

    // --- totals, cones, rules ---

    void put_totals() {
        heading("In all");
        both("time", [](const Side& side) { return duration_line(side.schedule); });
        both("ends",
             [&](const Side& side) { return end_line(side.schedule, options_.start_clock_s); });
        both("peak", [&](const Side& side) {
            return print_temperature(*Curve(side.schedule).peak().value, options_.scale, 1);
        });
        if (of_controllers_)
            return; // the documents' heat work and cones are those of the firing
        both("heat work", [](const Side& side) { return heat_work_line(side.document.heat_work); });
        const auto& cones_a = a_.document.cones_expected;
        const auto& cones_b = b_.document.cones_expected;
        const auto same_cone = [&](std::size_t i, std::size_t j) {
            return cones_a[i].cone == cones_b[j].cone ? 1 : 0;
        };
        for (const Paired& pair : pair_up(cones_a.size(), cones_b.size(), same_cone)) {
            const ConeExpected& either = pair.a ? cones_a[*pair.a] : cones_b[*pair.b];
            sides_.row(fmt::format("cone {}", either.cone),
                       pair.a ? cone_words(cones_a[*pair.a]) : "",
                       pair.b ? cone_words(cones_b[*pair.b]) : "");
        }
        both("as specified", [&](const Side& side) {
            Lines lines;
            for (const AcceptItem& item : side.document.accept)
                lines.push_back(accept_line(item, side.schedule, options_.scale));
            return lines;
        });
    }

    std::string cone_words(const ConeExpected& cone) const {
        if (!cone.falls)
            return "stands at the end";
        return fmt::format("down near {}{}", print_temperature(cone.at_c, options_.scale),
                           cone.falls_s ? ", " + printed_offset(*cone.falls_s) : "");
    }

    void put_rules() {
        if (of_controllers_)
            return;
        heading("Rules");
        both("counted", [](const Side& side) { return counts(side.document.checks); });
        const auto& checks_a = a_.document.checks;
        const auto& checks_b = b_.document.checks;
        const auto same_rule = [&](std::size_t i, std::size_t j) {
            return checks_a[i].rule == checks_b[j].rule && checks_a[i].group == checks_b[j].group
                       ? 1
                       : 0;
        };
        const auto quiet = [](const Check& check) {
            return check.result == CheckResult::holds ||
                   check.result == CheckResult::not_applicable;
        };
        for (const Paired& pair : pair_up(checks_a.size(), checks_b.size(), same_rule)) {
            const Check* a = pair.a ? &checks_a[*pair.a] : nullptr;
            const Check* b = pair.b ? &checks_b[*pair.b] : nullptr;
            const bool same_result = a != nullptr && b != nullptr && a->result == b->result;
            if (same_result && quiet(*a))
                continue;
            if (a == nullptr || b == nullptr) { // a rule that only one of them knows
                if (quiet(a != nullptr ? *a : *b))
                    continue;
            }
            const Check& either = a != nullptr ? *a : *b;
            sides_.row(readable_name(either.rule) +
                           (either.group.empty() ? "" : fmt::format(" for {}", either.group)),
                       check_words(a), check_words(b));
        }
    }

    Lines check_words(const Check* check) const {
        if (check == nullptr)
            return {};
        Lines lines{std::string(result_words(check->result))};
        const std::string found = found_line(*check, options_.scale);
        if (!found.empty() && check->result != CheckResult::not_applicable)
            lines.push_back(found);
        if (check->result == CheckResult::waived)
            lines.push_back(fmt::format("because {}", check->waiver));
        return lines;
    }

    // --- keys ---

    static std::size_t rows_in(const Steps& steps) {
        std::size_t rows = 0;
        for (const StepProgram& program : steps.programs)
            rows += program.rows.size();
        return rows;
    }

    static std::string form_words(const Steps& steps) {
        switch (steps.form) {
        case StepForm::duration_target: return "a time and a temperature";
        case StepForm::rate_target_soak: return "a rate, a temperature, a soak";
        case StepForm::rate_or_soak: return "a climb, or a soak";
        }
        return {};
    }

    // Both tables, row beside row where they start with the same segment of the firing. For two
    // firings, that would say little: there, how much is to be keyed.
    void put_keys() {
        if (!a_.document.steps && !b_.document.steps)
            return;
        heading(of_controllers_ ? "To key: step by step, by phase" : "To key");
        const auto say = [&](std::string_view label, const auto& words) {
            both(label, [&](const Side& side) {
                return side.document.steps ? words(*side.document.steps) : std::string();
            });
        };
        say("each step", form_words);
        say("steps", [](const Steps& steps) {
            std::string text = fmt::format("{}", rows_in(steps));
            if (steps.max_steps && steps.programs.size() == 1)
                text += fmt::format(" of {}", *steps.max_steps);
            if (steps.programs.size() > 1)
                text += fmt::format(" in {} programs", steps.programs.size());
            return text;
        });
        say("delay", [](const Steps& steps) {
            return steps.delay_s > 0 ? print_duration(steps.delay_s) : std::string();
        });
        say("exactness", [&](const Steps& steps) { return deviation_line(steps, options_.scale); });
        say("care", [](const Steps& steps) { return care_line(steps); });
        if (of_controllers_ && a_.document.steps && b_.document.steps)
            put_key_rows(*a_.document.steps, *b_.document.steps);
    }

    struct KeyRow {
        const StepRow* row;
        std::string keys;
    };
    static std::vector<KeyRow> key_rows(const Steps& steps) {
        std::vector<KeyRow> rows;
        std::size_t number = 0;
        for (const StepProgram& program : steps.programs) {
            ++number;
            for (const StepRow& row : program.rows) {
                const PrintedKeys keys = printed_keys(row, steps);
                std::string text = steps.programs.size() > 1
                                       ? fmt::format("{}.{:<3}", number, row.step)
                                       : fmt::format("{:>2} ", row.step);
                for (const std::string* key : {&keys.time, &keys.rate, &keys.target, &keys.soak}) {
                    if (!key->empty())
                        text += " " + right_in(*key, 7);
                }
                rows.push_back({&row, std::move(text)});
            }
        }
        return rows;
    }

    void put_key_rows(const Steps& a, const Steps& b) {
        const auto rows_a = key_rows(a), rows_b = key_rows(b);
        const auto same_start = [&](std::size_t i, std::size_t j) {
            return rows_a[i].row->segments.front() == rows_b[j].row->segments.front() ? 1 : 0;
        };
        std::string_view phase;
        for (const Paired& pair : pair_up(rows_a.size(), rows_b.size(), same_start)) {
            const StepRow& either = pair.a ? *rows_a[*pair.a].row : *rows_b[*pair.b].row;
            const bool next = either.phase != phase;
            if (next)
                page_.blank();
            phase = either.phase;
            const std::string_view label = next ? phase : std::string_view();
            const Lines keys_a = pair.a ? Lines{rows_a[*pair.a].keys} : Lines{};
            const Lines keys_b = pair.b ? Lines{rows_b[*pair.b].keys} : Lines{};
            if (a.form == b.form && a.scale == b.scale)
                sides_.row(label, keys_a, keys_b);
            else
                sides_.unmarked_row(label, keys_a, keys_b);
        }
    }

    // --- the curves ---

    void put_curves() {
        if (options_.curve_height == 0 || a_.schedule.segments.empty() ||
            b_.schedule.segments.empty()) {
            return;
        }
        const Shape other = shape_of(b_.schedule);
        PlotOptions plot;
        plot.width = page_.width();
        plot.height = options_.curve_height;
        plot.scale = options_.scale;
        plot.style = options_.plain ? PlotStyle::ascii : PlotStyle::lines;
        plot.dotted = dots_of(other, 8 * page_.width());
        plot.dotted_fits = true;
        plot.dotted_meaning =
            shortened(fmt::format("{}{}", b_.name,
                                  other.shapes ? " (its own time in the kiln: only a sketch)" : ""),
                      page_.width() - 16, options_.plain);
        page_.blank();
        page_.line(fmt::format("The line, and the phases below it: {}",
                               shortened(a_.name, page_.width() - 36, options_.plain)),
                   Ink::faint);
        for (const std::string& line : plot_curve(a_.schedule, plot))
            page_.line(line);
        page_.paragraph(2, "",
                        "Where only the line is seen, the two are less than a character apart.",
                        Ink::faint);
    }

    Side a_, b_;
    bool of_controllers_;
    const ShowOptions& options_;
    Page page_;
    SideBySide sides_;
    std::array<std::vector<StepCell>, 2> cells_; // of the segments of each side
};

// Names that tell the two apart.
std::pair<std::string, std::string> names_of(std::string_view a, std::string_view b) {
    if (a == b)
        return {one_line(a) + ", first", one_line(b) + ", second"};
    return {one_line(a), one_line(b)};
}

Schedule curve_of_table(const FiringDocument& document) {
    std::string problem;
    if (document.steps) {
        TableCurve curve = table_curve(*document.steps, *document.schedule, problem);
        if (problem.empty())
            return std::move(curve.schedule);
    }
    return *document.schedule;
}

} // namespace

std::string compare_firings(const FiringDocument& a, const FiringDocument& b,
                            const ShowOptions& options) {
    const auto [name_a, name_b] = names_of(a.name, b.name);
    return Comparison({a, name_a, *a.schedule}, {b, name_b, *b.schedule}, false, options).run();
}

std::string compare_controllers(const FiringDocument& a, const FiringDocument& b,
                                const ShowOptions& options) {
    const Schedule made_by_a = curve_of_table(a), made_by_b = curve_of_table(b);
    const auto [name_a, name_b] = names_of(a.controller.name, b.controller.name);
    return Comparison({a, name_a, made_by_a}, {b, name_b, made_by_b}, true, options).run();
}

} // namespace fettle
