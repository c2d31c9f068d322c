// What is drawn of a schedule, before any character is chosen: a time for every segment, and the
// range of temperatures in every column.
#pragma once

#include "runtime/schedule/schedule.h"

#include <cstdint>
#include <vector>

namespace fettle {

// How far the time of a segment can be trusted, and so how it is drawn.
enum class Trust : std::uint8_t {
    asked,     // the schedule says it
    estimated, // the kiln model's guess
    shape,     // nobody knows: given some width so that it can be seen
};

struct DrawnSegment {
    double begin_s, end_s; // on the drawn time axis
    double from_c, to_c;
    Trust trust;
    bool decays; // falls fast at first, then ever slower, as a shut kiln does
    std::uint32_t phase;

    double temperature_at(double time_s) const;
};

struct Shape {
    std::vector<DrawnSegment> segments;
    double total_s = 0; // length of the drawn axis, above 0 where there is a segment
    double timed_s = 0; // how far the axis shows true or estimated time
    double lowest_c = 0, highest_c = 0;
    bool estimates = false, shapes = false; // whether there is any of these
};
Shape shape_of(const Schedule& schedule);

// One column of the drawing. `first` and `last` are the temperatures at its edges.
struct ColumnRange {
    double first_c, last_c;
    double low_c, high_c;
    Trust trust; // of what is in its middle
};
std::vector<ColumnRange> columns_of(const Shape& shape, std::size_t count);

// Hours between the marks of a time axis that has room for so many.
double hours_step(double hours, std::size_t most_labels);

} // namespace fettle
