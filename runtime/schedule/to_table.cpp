#include "runtime/schedule/to_table.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace fettle {

namespace {

// A number that the integer can't hold becomes its nearest end, which fault_of() refuses. Not a
// number: the lowest.
template <typename Integer> Integer rounded(double value) {
    constexpr double lowest = static_cast<double>(std::numeric_limits<Integer>::min());
    const double whole = std::round(value);
    if (!(whole > lowest)) {
        return std::numeric_limits<Integer>::min();
    }
    return whole >= -lowest ? std::numeric_limits<Integer>::max() : static_cast<Integer>(whole);
}

std::int32_t thousandths(double degrees) {
    return rounded<std::int32_t>(degrees * 1000);
}
std::int64_t milliseconds(double seconds) {
    return rounded<std::int64_t>(seconds * 1000);
}

player::Kind kind_of(SegmentKind kind) {
    switch (kind) {
    case SegmentKind::ramp: return player::Kind::ramp;
    case SegmentKind::soak: return player::Kind::soak;
    case SegmentKind::full: return player::Kind::full;
    case SegmentKind::free: return player::Kind::free;
    case SegmentKind::opened: return player::Kind::opened;
    }
    return player::Kind::soak;
}

std::string joined(const std::vector<std::string>& texts) {
    std::string all;
    for (const std::string& text : texts) {
        all += all.empty() ? text : "; " + text;
    }
    return all;
}

} // namespace

MadeTable to_table(const Schedule& schedule, const std::string& name,
                   std::optional<double> ceiling_c) {
    MadeTable made;
    const auto keep = [&made](std::string text) {
        return made.texts.emplace_front(std::move(text)).c_str();
    };
    for (const Phase& phase : schedule.phases) {
        made.phases.push_back(keep(phase.name));
    }
    double end_s = 0; // of the segments so far whose time the clock decides
    std::int64_t end_ms = 0;
    for (const Segment& segment : schedule.segments) {
        player::Segment made_segment{};
        made_segment.kind = kind_of(segment.kind);
        made_segment.to_millicelsius = thousandths(segment.to_c);
        if (segment.duration_s) {
            end_s += *segment.duration_s;
            const std::int64_t next_ms = std::max(milliseconds(end_s), end_ms + 1);
            made_segment.duration_ms = next_ms - end_ms;
            end_ms = next_ms;
        }
        made_segment.expected_ms =
            segment.duration_s ? 0 : milliseconds(segment.estimated_duration_s.value_or(0));
        if (segment.waiting_within_k) {
            made_segment.waiting_within_millikelvin =
                std::max(thousandths(*segment.waiting_within_k), 1);
        }
        made_segment.phase = static_cast<std::uint16_t>(segment.phase);
        made_segment.job = segment.jobs.empty() ? nullptr : keep(joined(segment.jobs));
        made.segments.push_back(made_segment);
    }
    made.table = {keep(name),
                  thousandths(schedule.start_c),
                  ceiling_c ? thousandths(*ceiling_c) : player::no_ceiling,
                  milliseconds(schedule.delay_s),
                  made.segments.data(),
                  static_cast<std::uint16_t>(std::min<std::size_t>(made.segments.size(), 65535)),
                  made.phases.data(),
                  static_cast<std::uint16_t>(made.phases.size())};
    made.fault = player::fault_of(made.table);
    return made;
}

} // namespace fettle
