#include "compiler/output/plot_shape.h"

#include <algorithm>
#include <cmath>

namespace fettle {

namespace {

// A shape without a time gets this share of the timed axis, and all of them together at most the
// second share.
constexpr double share_of_one_shape = 0.18;
constexpr double share_of_all_shapes = 0.6;

struct Time {
    double seconds;
    Trust trust;
};

Time time_of(const Segment& segment, double shape_s) {
    if (segment.duration_s) {
        return {*segment.duration_s, Trust::asked};
    }
    if (segment.estimated_duration_s) {
        return {*segment.estimated_duration_s, Trust::estimated};
    }
    return {shape_s, Trust::shape};
}

double shape_seconds(const Schedule& schedule) {
    double timed_s = 0;
    std::size_t shapes = 0;
    for (const Segment& segment : schedule.segments) {
        const Time time = time_of(segment, 0);
        timed_s += time.seconds;
        shapes += time.trust == Trust::shape ? 1 : 0;
    }
    if (shapes == 0) {
        return 0;
    }
    if (timed_s <= 0) {
        return 3600;
    }
    return timed_s *
           std::min(share_of_one_shape, share_of_all_shapes / static_cast<double>(shapes));
}

} // namespace

double DrawnSegment::temperature_at(double time_s) const {
    const double length = end_s - begin_s;
    const double part = length > 0 ? std::clamp((time_s - begin_s) / length, 0.0, 1.0) : 1;
    if (!decays) {
        return from_c + (to_c - from_c) * part;
    }
    // Newton's cooling towards a room somewhat below the end.
    const double room_c = std::min(20.0, to_c - 0.05 * (from_c - to_c));
    return room_c + (from_c - room_c) * std::pow((to_c - room_c) / (from_c - room_c), part);
}

Shape shape_of(const Schedule& schedule) {
    const double shape_s = shape_seconds(schedule);
    Shape shape;
    shape.lowest_c = shape.highest_c = schedule.start_c;
    for (const Segment& segment : schedule.segments) {
        const Time time = time_of(segment, shape_s);
        const double begin_s = shape.total_s;
        shape.total_s += time.seconds;
        if (!shape.shapes && time.trust != Trust::shape) {
            shape.timed_s = shape.total_s;
        }
        shape.shapes = shape.shapes || time.trust == Trust::shape;
        shape.estimates = shape.estimates || time.trust == Trust::estimated;
        shape.lowest_c = std::min(shape.lowest_c, segment.to_c);
        shape.highest_c = std::max(shape.highest_c, segment.to_c);
        const bool decays = time.trust != Trust::asked && segment.to_c < segment.from_c;
        shape.segments.push_back({begin_s, shape.total_s, segment.from_c, segment.to_c, time.trust,
                                  decays, segment.phase});
    }
    shape.total_s = std::max(shape.total_s, 1e-3);
    return shape;
}

std::vector<ColumnRange> columns_of(const Shape& shape, std::size_t count) {
    std::vector<ColumnRange> columns;
    columns.reserve(count);
    std::size_t at = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const double width = shape.total_s / static_cast<double>(count);
        const double begin = width * static_cast<double>(i), end = begin + width;
        while (at + 1 < shape.segments.size() && shape.segments[at].end_s <= begin) {
            ++at;
        }
        const double first = shape.segments[at].temperature_at(begin);
        ColumnRange column{first, first, first, first, shape.segments[at].trust};
        for (std::size_t k = at; k < shape.segments.size(); ++k) {
            const DrawnSegment& segment = shape.segments[k];
            if (k > at && segment.begin_s >= end) {
                break;
            }
            if (segment.begin_s <= begin + width / 2) {
                column.trust = segment.trust;
            }
            column.last_c = segment.temperature_at(end);
            for (double edge : {segment.temperature_at(begin), column.last_c}) {
                column.low_c = std::min(column.low_c, edge);
                column.high_c = std::max(column.high_c, edge);
            }
        }
        columns.push_back(column);
    }
    return columns;
}

double hours_step(double hours, std::size_t most_labels) {
    for (double step :
         {1 / 60.0, 1 / 12.0, 0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0, 48.0, 96.0, 168.0}) {
        if (hours / step <= static_cast<double>(most_labels)) {
            return step;
        }
    }
    return std::ceil(hours / static_cast<double>(most_labels) / 168) * 168;
}

} // namespace fettle
