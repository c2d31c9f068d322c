// The words that outputs use for the values of enumerations: one spelling of each.
#pragma once

#include "runtime/schedule/schedule.h"

#include <string_view>

namespace fettle {

constexpr std::string_view to_word(SegmentKind kind) {
    switch (kind) {
    case SegmentKind::ramp: return "ramp";
    case SegmentKind::soak: return "soak";
    case SegmentKind::full: return "full";
    case SegmentKind::free: return "free";
    case SegmentKind::opened: return "opened";
    }
    return {};
}

// Empty where it was not set.
constexpr std::string_view to_word(Atmosphere atmosphere) {
    switch (atmosphere) {
    case Atmosphere::unknown: return {};
    case Atmosphere::oxidation: return "oxidation";
    case Atmosphere::neutral: return "neutral";
    case Atmosphere::reduction: return "reduction";
    }
    return {};
}

// Empty where it was not set.
constexpr std::string_view to_word(Vent vent) {
    switch (vent) {
    case Vent::unknown: return {};
    case Vent::open: return "open";
    case Vent::propped: return "propped";
    case Vent::closed: return "closed";
    }
    return {};
}

} // namespace fettle
