#include "tests/target/random_firings.h"

#include <algorithm>

namespace fettle {

namespace {

double between(std::mt19937& random, double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
}
bool one_in(std::mt19937& random, int n) {
    return std::uniform_int_distribution<int>(1, n)(random) == 1;
}
template <class T> T one_of(std::mt19937& random, std::initializer_list<T> all) {
    return all.begin()[std::uniform_int_distribution<std::size_t>(0, all.size() - 1)(random)];
}

} // namespace

Schedule random_schedule(std::mt19937& random) {
    Schedule schedule;
    schedule.start_c = one_in(random, 2) ? 20 : between(random, 5, 60);
    if (one_in(random, 3)) {
        schedule.delay_s = between(random, 100, 90000);
    }
    schedule.phases = {{"up", "", ""}, {"down", "", ""}};
    schedule.states.resize(1);
    double at_c = schedule.start_c;
    const int count = std::uniform_int_distribution<int>(1, 24)(random);
    for (int i = 0; i < count; ++i) {
        Segment& segment = schedule.segments.emplace_back();
        segment.from_c = segment.to_c = at_c;
        const int what = std::uniform_int_distribution<int>(0, 19)(random);
        if (what < 5) {
            segment.kind = SegmentKind::soak;
            segment.duration_s = between(random, 20, 20000);
            if (one_in(random, 4)) {
                segment.waiting_within_k = between(random, 0.2, 12);
            }
            continue;
        }
        const bool up = at_c < 100 || (at_c < 1250 && what < 16);
        segment.to_c = up ? between(random, at_c + 0.1, 1300) : between(random, 40, at_c - 0.1);
        if (one_in(random, 3)) { // short ones too
            segment.to_c = at_c + (up ? 1 : -1) * between(random, 0.06, 8);
        }
        const double rate = one_in(random, 2) ? between(random, 3, 400)
                                              : one_of(random, {50.0, 60.0, 100.0, 150.0});
        segment.duration_s = std::abs(segment.to_c - at_c) / rate * 3600;
        if (one_in(random, 12)) {
            segment.kind =
                up ? SegmentKind::full : one_of(random, {SegmentKind::free, SegmentKind::opened});
            segment.duration_s.reset();
            if (one_in(random, 2)) {
                segment.estimated_duration_s = between(random, 600, 20000);
            }
        }
        at_c = segment.to_c;
    }
    return schedule;
}

Abilities random_abilities(std::mt19937& random) {
    Abilities can;
    can.form = one_of(
        random, {StepForm::duration_target, StepForm::rate_target_soak, StepForm::rate_or_soak});
    can.scale = one_of(random, {Scale::celsius, Scale::fahrenheit});
    can.time_step_s = one_of(random, {1.0, 60.0, 60.0, 300.0, 360.0});
    can.temperature_step = one_of(random, {0.1, 1.0, 1.0, 2.0, 5.0, 10.0});
    can.rate_step = one_of(random, {0.1, 1.0, 1.0, 3.0, 5.0});
    if (one_in(random, 2)) {
        can.max_steps = std::uniform_int_distribution<int>(1, 30)(random);
    }
    if (one_in(random, 2)) {
        can.longest_step_s = one_of(random, {3600.0, 5940.0, 99 * 3600.0});
    }
    if (one_in(random, 2)) {
        can.slowest_rate = one_of(random, {0.1, 1.0, 5.0});
        can.fastest_rate = one_of(random, {600.0, 999.0, 1800.0});
    }
    can.longest_delay_s = 100 * 3600;
    can.full_rate = one_of(random, {Can::yes, Can::yes, Can::no});
    can.waits = one_of(random, {Can::yes, Can::no});
    can.cooling = one_of(random, {Can::yes, Can::yes, Can::yes, Can::no});
    return can;
}

} // namespace fettle
