#include "compiler/output/step_table.h"

#include "compiler/output/phrases.h"
#include "compiler/output/words.h"
#include "compiler/source/characters.h"
#include "runtime/schedule/curve.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace fettle {

namespace {

enum Column : std::size_t { step, what, target, rate, time, starts, clock, column_count };
using Cells = std::array<std::string, column_count>;

constexpr std::string_view headings[column_count] = {"step", "what",   "to",   "rate",
                                                     "time", "starts", "clock"};
constexpr std::size_t least_for_also = 16; // narrower, what also changes gets lines of its own
constexpr std::size_t text_indent = 6;     // of notes, jobs and the trail

struct Row {
    Cells cells;
    std::vector<std::string> also; // a new day, the cone, what changes with this step
};

class StepTable {
  public:
    StepTable(Page& page, const Schedule& schedule, const ShowOptions& options)
        : page_(page), schedule_(schedule), options_(options) {
        for (std::size_t i = 0; i < column_count; ++i) {
            widths_[i] = headings[i].size();
        }
        if (!options.start_clock_s) {
            widths_[clock] = 0;
        }
        make_rows();
        if (left_of_also() > page.width() + gap_) {
            gap_ = 1;
        }
    }

    void put() {
        put_headings();
        const auto& segments = schedule_.segments;
        for (std::size_t i = 0; i < segments.size(); ++i) {
            if (i == 0 || segments[i].phase != segments[i - 1].phase) {
                put_phase(i);
            }
            put_row(rows_[i]);
            put_texts(segments[i]);
        }
        page_.rule();
        put_legend();
    }

  private:
    void make_rows() {
        const auto known = Curve(schedule_).starts_s();
        const auto estimated = Curve(schedule_, Estimates::use).starts_s();
        static const KilnState nothing_set;
        const KilnState* before = &nothing_set;
        for (std::size_t i = 0; i < schedule_.segments.size(); ++i) {
            const Segment& segment = schedule_.segments[i];
            Row row;
            row.cells[step] = fmt::format("{}", i + 1);
            row.cells[what] = what_it_does(segment);
            row.cells[target] = print_temperature(segment.to_c, options_.scale, 1);
            row.cells[rate] = printed_rate(segment, options_.scale);
            // A soak is shown as it was asked for; one that waits for a cone, to the minute.
            const bool as_asked = segment.kind == SegmentKind::soak && segment.to_cone.empty();
            row.cells[time] = as_asked && segment.duration_s
                                  ? print_duration(*segment.duration_s)
                                  : printed_time(segment.duration_s, segment.estimated_duration_s);
            put_start(row, known[i], estimated[i]);
            if (!segment.to_cone.empty()) {
                row.also.push_back("cone " + segment.to_cone);
            }
            if (segment.waiting_within_k) {
                row.also.push_back("waiting within " +
                                   printed_step(*segment.waiting_within_k, options_.scale));
            }
            const KilnState& now = schedule_.states[segment.state];
            add_changes(row.also, *before, now);
            before = &now;
            for (std::size_t c = 0; c < column_count; ++c) {
                widths_[c] = std::max(widths_[c], row.cells[c].size());
            }
            has_estimate_ = has_estimate_ || row.cells[time].front() == '~';
            has_unknown_ = has_unknown_ || row.cells[time] == "?";
            rows_.push_back(std::move(row));
        }
    }

    void put_start(Row& row, std::optional<double> known, std::optional<double> estimated) {
        const auto start = known ? known : estimated;
        row.cells[starts] = start ? (known ? "" : "~") + printed_offset(*start) : "?";
        if (!options_.start_clock_s) {
            return;
        }
        row.cells[clock] = "?";
        if (!start) {
            return;
        }
        const auto [text, day] = clock_after(*options_.start_clock_s + schedule_.delay_s, *start);
        row.cells[clock] = text;
        if (day != day_) {
            row.also.push_back(fmt::format("day {}", day));
        }
        day_ = day;
    }

    std::string joined(const Cells& cells) const {
        std::string line;
        for (std::size_t c = 0; c < column_count; ++c) {
            if (widths_[c] == 0) {
                continue;
            }
            if (!line.empty()) {
                line.append(gap_, ' ');
            }
            line += c == what ? left_in(cells[c], widths_[c]) : right_in(cells[c], widths_[c]);
        }
        return line;
    }

    std::size_t left_of_also() const {
        std::size_t left = 0;
        for (std::size_t width : widths_) {
            left += width == 0 ? 0 : width + gap_;
        }
        return left;
    }
    bool also_has_a_column() const { return left_of_also() + least_for_also <= page_.width(); }

    void put_headings() {
        Cells cells;
        for (std::size_t c = 0; c < column_count; ++c) {
            if (widths_[c] > 0) {
                cells[c] = headings[c];
            }
        }
        const bool anything = std::any_of(rows_.begin(), rows_.end(),
                                          [](const Row& row) { return !row.also.empty(); });
        const std::string also =
            anything && also_has_a_column() ? std::string(gap_, ' ') + "also" : std::string();
        page_.line(joined(cells) + also, Ink::faint);
        page_.rule();
    }

    void put_phase(std::size_t first) {
        const Phase& phase = schedule_.phases[schedule_.segments[first].phase];
        std::string heading = one_line(phase.name);
        if (!phase.title.empty()) {
            heading += ": " + one_line(phase.title);
        }
        std::optional<double> known = 0, estimated = 0;
        for (std::size_t i = first; i < schedule_.segments.size(); ++i) {
            const Segment& segment = schedule_.segments[i];
            if (segment.phase != schedule_.segments[first].phase) {
                break;
            }
            const auto own = segment.duration_s;
            const auto guess = own ? own : segment.estimated_duration_s;
            known = known && own ? std::optional(*known + *own) : std::nullopt;
            estimated = estimated && guess ? std::optional(*estimated + *guess) : std::nullopt;
        }
        if (first > 0) {
            page_.blank();
        }
        page_.two_ends(heading, printed_time(known, estimated), Ink::strong);
        if (options_.why && !phase.about.empty()) {
            page_.paragraph(text_indent, "", phase.about, Ink::faint);
        }
    }

    void put_row(const Row& row) {
        std::string line = joined(row.cells);
        if (row.also.empty()) {
            return page_.line(line);
        }
        std::size_t left = left_of_also();
        if (!also_has_a_column()) {
            page_.line(line);
            line.clear();
            left = text_indent;
        }
        for (const std::string& part : lines_of(row.also, page_.width() - left)) {
            page_.line(left_in(line, left) + part);
            line.clear();
        }
    }

    // "a, b," and "c": broken between the items, and inside one only where it is too long.
    static std::vector<std::string> lines_of(const std::vector<std::string>& items,
                                             std::size_t width) {
        std::vector<std::string> lines(1);
        for (std::size_t i = 0; i < items.size(); ++i) {
            const std::string item = items[i] + (i + 1 < items.size() ? "," : "");
            const std::string joined = lines.back().empty() ? item : lines.back() + " " + item;
            if (display_width(joined) <= width) {
                lines.back() = joined;
                continue;
            }
            const auto parts = wrapped(item, width);
            if (lines.back().empty()) {
                lines.pop_back();
            }
            lines.insert(lines.end(), parts.begin(), parts.end());
        }
        return lines;
    }

    void put_texts(const Segment& segment) {
        for (const std::string& job : segment.jobs) {
            page_.paragraph(text_indent, "do:   ", job, Ink::strong);
        }
        for (const std::string& note : segment.notes) {
            page_.paragraph(text_indent, "note: ", note);
        }
        if (!options_.why) {
            return;
        }
        if (!segment.to_cone.empty()) {
            page_.paragraph(
                text_indent, "why:  ",
                fmt::format("{} is where cone {} is complete, after all that came before",
                            print_temperature(segment.to_c, options_.scale, 1), segment.to_cone),
                Ink::faint);
        }
        if (!segment.trail.empty()) {
            page_.paragraph(text_indent, "from: ", trail(segment), Ink::faint);
        }
    }

    // "line 30 of phases.fettle, asked for by line 12 of mugs.fettle, asked for by line 4".
    std::string trail(const Segment& segment) const {
        std::string text;
        std::optional<std::uint32_t> file;
        for (const Origin& origin : segment.trail) {
            if (!text.empty()) {
                text += ", asked for by ";
            }
            text += fmt::format("line {}", origin.line);
            if (origin.file != file) {
                text += " of " + schedule_.files[origin.file];
            }
            file = origin.file;
        }
        return text;
    }

    void put_legend() {
        if (has_estimate_) {
            page_.paragraph(0, "~ ", "the kiln's own time, as its figures let expect", Ink::faint);
        }
        if (has_unknown_) {
            page_.paragraph(0, "? ", "the kiln's own time, which is not known", Ink::faint);
        }
    }

    Page& page_;
    const Schedule& schedule_;
    const ShowOptions& options_;
    std::array<std::size_t, column_count> widths_{};
    std::size_t gap_ = 2; // between columns; 1 where there is little room
    std::vector<Row> rows_;
    long long day_ = 1; // of the last row, by the clock
    bool has_estimate_ = false, has_unknown_ = false;
};

} // namespace

void put_step_table(Page& page, const Schedule& schedule, const ShowOptions& options) {
    StepTable(page, schedule, options).put();
}

} // namespace fettle
