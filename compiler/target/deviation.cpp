#include "compiler/target/deviation.h"

#include <cmath>

namespace fettle {

namespace {

// Legs [begin, end) that one stretch was cut into.
double temperature_at(const std::vector<Leg>& legs, std::size_t begin, std::size_t end,
                      double time_s, Scale scale) {
    for (std::size_t i = begin; i < end; ++i) {
        const Leg& leg = legs[i];
        const double own_s = leg.duration_s.value_or(0);
        if (time_s <= own_s || i + 1 == end) {
            const double share = own_s > 0 ? std::fmin(time_s / own_s, 1) : 1;
            return from_scale(leg.from + share * (leg.to - leg.from), scale);
        }
        time_s -= own_s;
    }
    return 0;
}

} // namespace

std::vector<Deviation> deviations(const std::vector<Leg>& legs, const Schedule& schedule,
                                  Scale scale) {
    std::vector<Deviation> all;
    all.reserve(legs.size());
    for (std::size_t begin = 0, end = 0; begin < legs.size(); begin = end) {
        double leg_s = 0;
        for (end = begin; end < legs.size() && legs[end].first == legs[begin].first; ++end) {
            leg_s += legs[end].duration_s.value_or(0);
        }
        double segment_s = 0;
        for (std::uint32_t i = legs[begin].first; i <= legs[begin].last; ++i) {
            segment_s += schedule.segments[i].duration_s.value_or(0);
        }
        double at_s = 0;
        Deviation largest;
        for (std::uint32_t i = legs[begin].first; i <= legs[begin].last; ++i) {
            at_s += schedule.segments[i].duration_s.value_or(0);
            const double share = segment_s > 0 ? at_s / segment_s : 1;
            const double there = temperature_at(legs, begin, end, share * leg_s, scale);
            const double off = std::fabs(there - schedule.segments[i].to_c);
            if (off > largest.degrees_k) {
                largest = {off, i};
            }
        }
        all.resize(end, largest);
    }
    return all;
}

} // namespace fettle
