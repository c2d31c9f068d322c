#include "runtime/heatwork/heat_work.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double seconds_per_hour = 3600;

// Below this a stretch counts as level: the difference of two rates would lose more than the middle
// of the stretch does.
constexpr double level_k = 1e-4;

bool does_none(const ConeKinetics& cone, const HeatStretch& stretch) {
    return !(stretch.duration_s > 0) || std::max(stretch.from_c, stretch.to_c) <= cone.idle_c;
}

double work_between(const ConeKinetics& cone, const HeatStretch& stretch, double rate_from,
                    double rate_to) {
    const double hours = stretch.duration_s / seconds_per_hour;
    const double rise = stretch.to_c - stretch.from_c;
    if (std::abs(rise) < level_k)
        return work_rate(cone, (stretch.from_c + stretch.to_c) / 2) * hours;
    return (rate_to - rate_from) / rise * hours;
}

// Where the i-th cone stands, 0 at complete.
double log_work(double work) {
    return std::log(std::max(work, 1e-300));
}

ConeReading above_the_last(const ConeScale& scale) {
    const std::size_t last = scale.cones.size() - 1;
    return {.complete = last, .position = scale.cones[last].cone};
}

ConeReading between(const ConeScale& scale, std::size_t colder, double work, double next_work) {
    ConeReading reading{.complete = colder, .next = colder + 1};
    const double here = log_work(work);
    const double fraction = here / (here - log_work(next_work));
    const double from = scale.cones[colder].cone, to = scale.cones[colder + 1].cone;
    reading.position = from + fraction * (to - from);
    reading.fraction_to_next = fraction;
    return reading;
}

ConeReading below_the_first(const ConeScale& scale, double work) {
    return {.next = 0, .fraction_to_next = work, .position = scale.cones[0].cone - 1 + work};
}

// A cone that lacks no more than rounding takes away is read as complete; the position stays exact.
ConeReading rounded(const ConeScale& scale, ConeReading reading, double next_work) {
    if (!reading.next || next_work < complete_from)
        return reading;
    reading.complete = reading.next;
    reading.fraction_to_next = 0;
    reading.next = *reading.complete + 1;
    if (*reading.next == scale.cones.size())
        reading.next.reset();
    return reading;
}

// Work of the cones from the hottest that has any (the one before `end`) down, as far as the first
// that is complete. A cone counts as complete too when a hotter one is.
template <class WorkOf>
ConeReading read_scale(const ConeScale& scale, std::size_t end, WorkOf work_of) {
    if (scale.cones.empty())
        return {};
    double next_work = 0;
    for (std::size_t i = end; i-- > 0;) {
        const double work = std::max<double>(work_of(i), next_work);
        if (work >= 1) {
            if (i + 1 == scale.cones.size())
                return above_the_last(scale);
            return rounded(scale, between(scale, i, work, next_work), next_work);
        }
        next_work = work;
    }
    return rounded(scale, below_the_first(scale, next_work), next_work);
}

// One past the cones that can be anywhere near complete, and one more: no cone gets more than all
// the time at the hottest, and for most of a scale that is next to nothing.
std::size_t end_of_worked(const ConeScale& scale, std::span<const HeatStretch> stretches) {
    constexpr double next_to_nothing = 0.01;
    double hottest_c = -1000, hours = 0;
    for (const HeatStretch& stretch : stretches) {
        if (!(stretch.duration_s > 0))
            continue;
        hottest_c = std::max({hottest_c, stretch.from_c, stretch.to_c});
        hours += stretch.duration_s / seconds_per_hour;
    }
    std::size_t end = scale.cones.size();
    while (end > 0 && work_rate(scale.cones[end - 1], hottest_c) * hours < next_to_nothing)
        --end;
    return std::min(end + 1, scale.cones.size());
}

} // namespace

bool append_stretches(const Segment& segment, Estimates estimates,
                      std::vector<HeatStretch>& stretches) {
    std::optional<double> duration = segment.duration_s;
    if (!duration && estimates == Estimates::use) {
        duration = segment.estimated_duration_s;
        const auto& course = segment.estimated_course;
        for (std::size_t i = 1; i < course.size() && duration; ++i) {
            stretches.push_back({course[i - 1].temperature_c, course[i].temperature_c,
                                 course[i].time_s - course[i - 1].time_s});
        }
        if (duration && course.size() > 1)
            return true;
    }
    stretches.push_back({segment.from_c, segment.to_c, duration.value_or(0)});
    return duration.has_value();
}

KnownStretches stretches_of(const Schedule& schedule, Estimates estimates) {
    KnownStretches known;
    known.stretches.reserve(schedule.segments.size());
    for (const Segment& segment : schedule.segments) {
        if (append_stretches(segment, estimates, known.stretches))
            continue;
        ++known.unknown;
        known.hottest_unknown_c = std::max({known.hottest_unknown_c, segment.from_c, segment.to_c});
    }
    return known;
}

double work(const ConeKinetics& cone, const HeatStretch& stretch) {
    if (does_none(cone, stretch))
        return 0;
    return work_between(cone, stretch, steady_rate(cone, stretch.from_c),
                        steady_rate(cone, stretch.to_c));
}

double work(const ConeKinetics& cone, std::span<const HeatStretch> stretches) {
    double sum = 0;
    double known_c = -1000,
           known_rate = 0; // the end of one stretch is mostly the start of the next
    for (const HeatStretch& stretch : stretches) {
        if (does_none(cone, stretch))
            continue;
        const double from =
            stretch.from_c == known_c ? known_rate : steady_rate(cone, stretch.from_c);
        known_rate = stretch.to_c == stretch.from_c ? from : steady_rate(cone, stretch.to_c);
        known_c = stretch.to_c;
        sum += work_between(cone, stretch, from, known_rate);
    }
    return sum;
}

std::optional<Completion> when_complete(const ConeKinetics& cone,
                                        std::span<const HeatStretch> stretches) {
    double before = 0;
    double time_s = 0;
    for (std::size_t i = 0; i < stretches.size(); ++i) {
        const HeatStretch& stretch = stretches[i];
        const double here = work(cone, stretch);
        if (before + here >= 1) {
            const double rise = stretch.to_c - stretch.from_c;
            double share = (1 - before) / here;
            double at_c = stretch.from_c + share * rise;
            if (std::abs(rise) >= level_k) {
                const double rate = rise / stretch.duration_s * seconds_per_hour;
                at_c = end_point(cone, steady_rate(cone, stretch.from_c) + rate * (1 - before));
                share = std::clamp((at_c - stretch.from_c) / rise, 0.0, 1.0);
            }
            return Completion{i, time_s + share * stretch.duration_s, at_c};
        }
        before += here;
        time_s += std::max(0.0, stretch.duration_s);
    }
    return std::nullopt;
}

ConeReading reading_of(const ConeScale& scale, std::span<const double> works) {
    return read_scale(scale, scale.cones.size(), [&](std::size_t i) { return works[i]; });
}

ConeReading cone_reached(const ConeScale& scale, std::span<const HeatStretch> stretches) {
    return read_scale(scale, end_of_worked(scale, stretches),
                      [&](std::size_t i) { return work(scale.cones[i], stretches); });
}

HeatWork::HeatWork(const ConeScale& scale) : scale_(&scale) {}

void HeatWork::add(const HeatStretch& stretch) {
    constexpr double negligible = 1e-13; // of a cone; hotter cones get less still
    for (std::size_t i = hottest_complete_; i < scale_->cones.size(); ++i) {
        const double added = fettle::work(scale_->cones[i], stretch);
        works_[i] += added;
        if (works_[i] >= 1)
            hottest_complete_ = i;
        if (added < negligible)
            break;
    }
}

ConeReading HeatWork::reading() const {
    return reading_of(*scale_, std::span(works_.data(), scale_->cones.size()));
}

} // namespace fettle
