#include "compiler/proof/table_curve.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <span>

namespace fettle {

namespace {

constexpr double noise = 1e-6;

double in_celsius(double value, Scale scale) {
    return scale == Scale::celsius ? value : (value - 32) * 5 / 9;
}
double in_kelvin(double degrees, Scale scale) {
    return scale == Scale::celsius ? degrees : degrees * 5 / 9;
}

bool is_by_itself(const Segment& segment) {
    return segment.kind == SegmentKind::free || segment.kind == SegmentKind::opened;
}

// One piece of what a row does: a climb, a fall, or a stay.
struct Piece {
    SegmentKind kind = SegmentKind::ramp;
    double from_c = 0, to_c = 0;
    std::optional<double> duration_s;
    std::span<const std::uint32_t> segments;
};

std::vector<Piece> pieces_of(const StepRow& row, const Steps& steps, double from_c) {
    const double to_c = in_celsius(row.target, steps.scale);
    const std::span<const std::uint32_t> all(row.segments);
    const auto move = all.first(all.size() - std::min<std::size_t>(row.soak_segments, all.size()));
    const auto stay = all.subspan(move.size());
    std::vector<Piece> pieces;
    const bool by_itself = row.kind == SegmentKind::free || row.kind == SegmentKind::opened;
    if (steps.form == StepForm::duration_target) {
        Piece piece{row.kind, from_c, to_c, {}, all};
        if (row.duration_min && !by_itself) {
            piece.duration_s = *row.duration_min * 60;
        }
        return {piece};
    }
    // A soak where the firing starts may lie a little beside what can be keyed.
    if (row.kind != SegmentKind::soak && std::fabs(to_c - from_c) >= noise) {
        Piece piece{row.kind, from_c, to_c, {}, move.empty() ? all : move};
        if (row.rate_per_h && !by_itself) {
            piece.duration_s =
                std::fabs(to_c - from_c) / in_kelvin(*row.rate_per_h, steps.scale) * 3600;
        }
        pieces.push_back(piece);
    }
    if (row.soak_min && *row.soak_min > 0) {
        pieces.push_back(
            {SegmentKind::soak, to_c, to_c, *row.soak_min * 60, stay.empty() ? all : stay});
    }
    return pieces;
}

class Reading {
  public:
    Reading(const Steps& steps, const Schedule& asked) : steps_(steps), asked_(asked) {}

    TableCurve curve(std::string& problem) {
        Schedule& schedule = curve_.schedule;
        schedule.start_c = asked_.start_c;
        schedule.delay_s = steps_.delay_s;
        schedule.phases = asked_.phases;
        schedule.states = asked_.states;
        schedule.files = asked_.files;
        at_c_ = asked_.start_c;
        std::uint32_t number = 0;
        for (const StepProgram& program : steps_.programs) {
            for (const StepRow& row : program.rows) {
                if (!add(row, number++)) {
                    problem = fmt::format("step {} stands for no segment", row.step);
                    return std::move(curve_);
                }
            }
        }
        cool_until(static_cast<std::uint32_t>(asked_.segments.size()));
        return std::move(curve_);
    }

  private:
    bool add(const StepRow& row, std::uint32_t number) {
        if (row.segments.empty() || row.segments.back() >= asked_.segments.size()) {
            return false;
        }
        cool_until(row.segments.front());
        for (const Piece& piece : pieces_of(row, steps_, at_c_)) {
            add(piece, number);
        }
        at_c_ = in_celsius(row.target, steps_.scale);
        next_ = std::max(next_, row.segments.back() + 1);
        return true;
    }

    // One segment for each that the piece stands for, in the same shares of its time: so that what
    // holds there (vent, atmosphere) holds here.
    void add(const Piece& piece, std::uint32_t number) {
        double whole_s = 0;
        for (const std::uint32_t i : piece.segments) {
            whole_s += asked_.segments[i].duration_s.value_or(0);
        }
        double done = 0;
        for (const std::uint32_t i : piece.segments) {
            const Segment& from = asked_.segments[i];
            const double share = piece.segments.size() == 1 || whole_s <= 0
                                     ? 1.0 / static_cast<double>(piece.segments.size())
                                     : from.duration_s.value_or(0) / whole_s;
            Segment segment = from;
            segment.kind = piece.kind;
            segment.from_c = piece.from_c + (piece.to_c - piece.from_c) * done;
            done += share;
            segment.to_c = piece.from_c + (piece.to_c - piece.from_c) * std::min(done, 1.0);
            segment.duration_s =
                piece.duration_s ? std::optional(*piece.duration_s * share) : std::nullopt;
            push(std::move(segment), number, i);
        }
    }

    // Cooling by itself, which no row stands for.
    void cool_until(std::uint32_t segment) {
        for (; next_ < segment && is_by_itself(asked_.segments[next_]); ++next_) {
            Segment fall = asked_.segments[next_];
            fall.from_c = at_c_;
            at_c_ = fall.to_c;
            push(std::move(fall), TableCurve::no_row, next_);
        }
    }

    void push(Segment segment, std::uint32_t row, std::uint32_t asked) {
        curve_.schedule.segments.push_back(std::move(segment));
        curve_.row.push_back(row);
        curve_.asked.push_back(asked);
    }

    const Steps& steps_;
    const Schedule& asked_;
    TableCurve curve_;
    double at_c_ = 20;
    std::uint32_t next_ = 0; // the first segment that has not been fired yet
};

class Comparing {
  public:
    Comparing(const Steps& steps, const Schedule& asked) : steps_(steps), asked_(asked) {}

    std::string run() {
        delay();
        double at_c = asked_.start_c;
        std::uint32_t next = 0;
        double peak_c = asked_.start_c, asked_peak_c = asked_.start_c;
        for (std::size_t program = 0; program < steps_.programs.size(); ++program) {
            for (std::size_t i = 0; i < steps_.programs[program].rows.size(); ++i) {
                const StepRow& row = steps_.programs[program].rows[i];
                skip_falls(next, row.segments.empty() ? 0 : row.segments.front(), at_c);
                if (!consecutive(row, next)) {
                    say(row, "the segments that it stands for are not the next ones");
                    return problem_;
                }
                const std::uint32_t begins = next_row_begins(program, i);
                next = compare(row, at_c, begins);
                at_c = in_celsius(row.target, steps_.scale);
                peak_c = std::max(peak_c, at_c);
            }
        }
        skip_falls(next, static_cast<std::uint32_t>(asked_.segments.size()), at_c);
        if (next != asked_.segments.size() && problem_.empty()) {
            problem_ = fmt::format("no step stands for segment {}", next + 1);
        }
        for (const Segment& segment : asked_.segments) {
            asked_peak_c = std::max(asked_peak_c, segment.to_c);
        }
        if (problem_.empty() && std::fabs(peak_c - asked_peak_c) > step_k() + noise) {
            problem_ =
                fmt::format("the table's peak is {}C, the schedule's {}C", peak_c, asked_peak_c);
        }
        return problem_;
    }

  private:
    double step_k() const { return in_kelvin(steps_.temperature_step, steps_.scale); }

    void say(const StepRow& row, const std::string& what) {
        if (problem_.empty()) {
            problem_ = fmt::format("step {}: {}", row.step, what);
        }
    }

    void delay() {
        if (std::fabs(steps_.delay_s - asked_.delay_s) > steps_.time_step_s) {
            problem_ = fmt::format("the table waits {} s before it starts, the schedule {} s",
                                   steps_.delay_s, asked_.delay_s);
        }
    }

    void skip_falls(std::uint32_t& next, std::uint32_t until, double& at_c) const {
        for (; next < until && is_by_itself(asked_.segments[next]); ++next) {
            at_c = asked_.segments[next].to_c;
        }
    }

    bool consecutive(const StepRow& row, std::uint32_t next) const {
        if (row.segments.empty() || row.segments.front() != next ||
            row.segments.back() >= asked_.segments.size()) {
            return false;
        }
        for (std::size_t i = 1; i < row.segments.size(); ++i) {
            if (row.segments[i] != row.segments[i - 1] + 1) {
                return false;
            }
        }
        return true;
    }

    // The first segment of the next row; beyond all of them where there is none.
    std::uint32_t next_row_begins(std::size_t program, std::size_t i) const {
        const std::vector<StepProgram>& programs = steps_.programs;
        const std::vector<StepRow>& rows = programs[program].rows;
        const StepRow* next = nullptr;
        if (i + 1 < rows.size()) {
            next = &rows[i + 1];
        } else if (program + 1 < programs.size() && !programs[program + 1].rows.empty()) {
            next = &programs[program + 1].rows.front();
        }
        return next != nullptr && !next->segments.empty()
                   ? next->segments.front()
                   : static_cast<std::uint32_t>(asked_.segments.size());
    }

    struct Asked {
        double from_c = 0, to_c = 0, duration_s = 0;
        bool own_time = false;
    };
    Asked asked_of(std::span<const std::uint32_t> segments) const {
        Asked sum{asked_.segments[segments.front()].from_c, asked_.segments[segments.back()].to_c};
        for (const std::uint32_t i : segments) {
            sum.own_time = sum.own_time || !asked_.segments[i].duration_s;
            sum.duration_s += asked_.segments[i].duration_s.value_or(0);
        }
        return sum;
    }

    // Returns the segment that the next row has to begin with.
    std::uint32_t compare(const StepRow& row, double from_c, std::uint32_t next_begins) {
        std::uint32_t next = row.segments.back() + 1;
        for (const Piece& piece : pieces_of(row, steps_, from_c)) {
            const Asked asked = asked_of(piece.segments);
            // What is longer than a step can be is cut: then the next row fires the same.
            const bool goes_on = next_begins <= piece.segments.back();
            if (goes_on) {
                next = piece.segments.front();
            }
            if (!goes_on && std::fabs(piece.to_c - asked.to_c) > step_k() + noise) {
                say(row,
                    fmt::format("it ends at {}C, the schedule at {}C", piece.to_c, asked.to_c));
            }
            if (asked.own_time != !piece.duration_s.has_value()) {
                say(row, "one side takes the kiln's own time, the other does not");
            } else if (!asked.own_time && piece.kind == SegmentKind::soak) {
                soak(row, piece, asked, goes_on);
            } else if (!asked.own_time) {
                ramp(row, piece, asked);
            }
        }
        return next;
    }

    void ramp(const StepRow& row, const Piece& piece, const Asked& asked) {
        const double rate = (piece.to_c - piece.from_c) / *piece.duration_s * 3600;
        const double asked_rate = (asked.to_c - asked.from_c) / asked.duration_s * 3600;
        if (rate * asked_rate <= 0 ||
            std::fabs(rate) > std::fabs(asked_rate) * (1 + noise) + noise) {
            say(row, fmt::format("it goes at {}C/h, the schedule at {}C/h", rate, asked_rate));
        }
        const double exact_s = std::fabs((piece.to_c - piece.from_c) / asked_rate) * 3600;
        const bool by_time = steps_.form == StepForm::duration_target;
        const bool too_slow =
            by_time ? *piece.duration_s > exact_s + steps_.time_step_s + noise
                    : std::fabs(rate) + in_kelvin(steps_.rate_step, steps_.scale) + noise <
                          std::fabs(asked_rate);
        if (too_slow) {
            say(row, fmt::format("it takes {} s, where {} s would be as asked", *piece.duration_s,
                                 exact_s));
        }
    }

    void soak(const StepRow& row, const Piece& piece, const Asked& asked, bool goes_on) {
        soaked_s_ = goes_on_ ? soaked_s_ + *piece.duration_s : *piece.duration_s;
        goes_on_ = goes_on;
        const double room_s = steps_.time_step_s * static_cast<double>(piece.segments.size());
        if (!goes_on && std::fabs(soaked_s_ - asked.duration_s) > room_s + noise) {
            say(row, fmt::format("it stays for {} s, the schedule for {} s", soaked_s_,
                                 asked.duration_s));
        }
    }

    const Steps& steps_;
    const Schedule& asked_;
    std::string problem_;
    double soaked_s_ = 0; // of a soak that was cut, so far
    bool goes_on_ = false;
};

} // namespace

TableCurve table_curve(const Steps& steps, const Schedule& asked, std::string& problem) {
    return Reading(steps, asked).curve(problem);
}

std::string difference(const Steps& steps, const Schedule& asked) {
    return Comparing(steps, asked).run();
}

} // namespace fettle
