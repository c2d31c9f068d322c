// Each question to a curve by hand on one small firing, then against brute-force sampling on
// random schedules.
#include "runtime/schedule/curve.h"

#include <cmath>
#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

using Indices = std::vector<std::uint32_t>;

// Adds segments one after the other, each starting where the last one ended.
struct Builder {
    Schedule schedule;

    explicit Builder(double start_c = 20) {
        schedule.start_c = start_c;
        schedule.phases.push_back({"all", "", ""});
        schedule.states.push_back({});
    }
    Segment& add(SegmentKind kind, double to_c, std::optional<double> duration_s) {
        Segment segment;
        segment.kind = kind;
        segment.from_c =
            schedule.segments.empty() ? schedule.start_c : schedule.segments.back().to_c;
        segment.to_c = to_c;
        segment.duration_s = duration_s;
        segment.state = static_cast<std::uint32_t>(schedule.states.size() - 1);
        schedule.segments.push_back(segment);
        return schedule.segments.back();
    }
    Builder& ramp(double to_c, double hours) {
        add(SegmentKind::ramp, to_c, hours * 3600);
        return *this;
    }
    Builder& soak(double hours) {
        double here = schedule.segments.empty() ? schedule.start_c : schedule.segments.back().to_c;
        add(SegmentKind::soak, here, hours * 3600);
        return *this;
    }
    Builder& own_time(SegmentKind kind, double to_c, std::optional<double> estimate_h = {}) {
        Segment& segment = add(kind, to_c, std::nullopt);
        if (estimate_h) {
            segment.estimated_duration_s = *estimate_h * 3600;
        }
        return *this;
    }
    Builder& state(Atmosphere atmosphere, Vent vent) {
        schedule.states.push_back({atmosphere, vent, {}});
        return *this;
    }
};

// 20 -> 120 (1 h), 120 soak (2 h), -> 620 (5 h), -> 1020 (2 h), soak (0.5 h), soak (0.25 h),
// -> 920 (2 h, a controlled fall), then free to 100.
Builder bisque() {
    Builder b;
    b.state(Atmosphere::oxidation, Vent::open).ramp(120, 1).soak(2).ramp(620, 5);
    b.state(Atmosphere::oxidation, Vent::propped).ramp(1020, 2).soak(0.5).soak(0.25);
    b.state(Atmosphere::reduction, Vent::closed).ramp(920, 2);
    b.own_time(SegmentKind::free, 100);
    return b;
}

TEST(Curve, StartAndPeak) {
    const auto b = bisque();
    const Curve curve(b.schedule);
    EXPECT_EQ(curve.start().value, 20);
    EXPECT_EQ(curve.peak().value, 1020);
    EXPECT_EQ(curve.peak().segments, (Indices{3, 4, 5}));
}

TEST(Curve, PeakOfNothingAndOfAFall) {
    const Builder none(650);
    EXPECT_EQ(Curve(none.schedule).peak().value, 650);
    Builder fall(650);
    fall.ramp(100, 5);
    EXPECT_EQ(Curve(fall.schedule).peak().value, 650);
    EXPECT_TRUE(Curve(fall.schedule).peak().segments.empty());
}

TEST(Curve, DurationLeavesFreeCoolingOut) {
    const auto b = bisque();
    EXPECT_EQ(Curve(b.schedule).duration().value, 12.75 * 3600);
    EXPECT_EQ(Curve(b.schedule).duration().segments, (Indices{0, 1, 2, 3, 4, 5, 6}));
    EXPECT_EQ(Curve(b.schedule).free_cooling().value, std::nullopt);
    EXPECT_EQ(Curve(b.schedule).free_cooling().segments, (Indices{7}));
    Builder no_cooling;
    no_cooling.ramp(100, 1);
    EXPECT_EQ(Curve(no_cooling.schedule).free_cooling().value, 0);
}

TEST(Curve, FullClimbIsUnknownUnlessEstimated) {
    Builder b;
    b.ramp(600, 6).own_time(SegmentKind::full, 1000, 3).soak(1);
    EXPECT_EQ(Curve(b.schedule).duration().value, std::nullopt);
    EXPECT_EQ(Curve(b.schedule).duration().segments, (Indices{1}));
    EXPECT_EQ(Curve(b.schedule, Estimates::use).duration().value, 10 * 3600);
    EXPECT_EQ(Curve(b.schedule).fastest_rise(700, 800).value, std::nullopt);
    EXPECT_EQ(Curve(b.schedule).fastest_rise(700, 800).segments, (Indices{1}));
    EXPECT_NEAR(*Curve(b.schedule, Estimates::use).fastest_rise(700, 800).value, 400 / 3.0, 1e-9);
    // It starts at 600 and has no part below, so what is asked below it is known.
    EXPECT_NEAR(*Curve(b.schedule).fastest_rise(500, 600).value, 580 / 6.0, 1e-9);
    EXPECT_EQ(Curve(b.schedule).time_above(900).value, std::nullopt);
    EXPECT_EQ(Curve(b.schedule, Estimates::use).time_above(900).value, (0.75 + 1) * 3600);
    EXPECT_EQ(Curve(b.schedule).time_above(1000).value, 3600);
    EXPECT_EQ(Curve(b.schedule).peak().value, 1000);
}

TEST(Curve, FastestRiseAndFall) {
    const auto b = bisque();
    const Curve curve(b.schedule);
    EXPECT_NEAR(*curve.fastest_rise(20, 1020).value, 200, 1e-9);
    EXPECT_EQ(curve.fastest_rise(20, 1020).segments, (Indices{3}));
    // 100 C/h by two segments: both are named, and the order of the ends does not matter.
    EXPECT_NEAR(*curve.fastest_rise(620, 20).value, 100, 1e-9);
    EXPECT_EQ(curve.fastest_rise(20, 620).segments, (Indices{0, 2}));
    EXPECT_EQ(curve.fastest_rise(1020, 1100).value, 0);
    EXPECT_TRUE(curve.fastest_rise(1020, 1100).segments.empty());
    // A range of one temperature: what passes it, at either side.
    EXPECT_NEAR(*curve.fastest_rise(573, 573).value, 100, 1e-9);
    EXPECT_NEAR(*curve.fastest_rise(620, 620).value, 200, 1e-9);
    EXPECT_NEAR(*curve.fastest_fall(1000, 950).value, 50, 1e-9);
    EXPECT_EQ(curve.fastest_fall(1000, 950).segments, (Indices{6}));
    EXPECT_EQ(curve.fastest_fall(600, 540).value, std::nullopt);
    EXPECT_EQ(curve.fastest_fall(600, 540).segments, (Indices{7}));
    // The unknown fall starts at 920: only touching it is not being there.
    EXPECT_NEAR(*curve.fastest_fall(1020, 920).value, 50, 1e-9);
}

TEST(Curve, TimesInRanges) {
    const auto b = bisque();
    const Curve curve(b.schedule);
    EXPECT_NEAR(*curve.time_above(1000).value, (0.1 + 0.75 + 0.4) * 3600, 1e-6);
    EXPECT_EQ(curve.time_above(1000).segments, (Indices{3, 4, 5, 6}));
    EXPECT_NEAR(*curve.time_above(1020).value, 0.75 * 3600, 1e-6);
    EXPECT_EQ(curve.time_above(1021).value, 0);
    EXPECT_EQ(curve.time_above(100).value, std::nullopt);
    EXPECT_EQ(curve.time_between(500, 600).value, std::nullopt) << "the free fall passes there";
    EXPECT_NEAR(*curve.time_rising_between(520, 720).value, (1 + 0.5) * 3600, 1e-6);
    EXPECT_NEAR(*curve.time_rising_between(120, 120).value, 0, 1e-6);
    EXPECT_NEAR(*curve.time_falling_between(1000, 950).value, 3600, 1e-6);
    EXPECT_EQ(curve.time_falling_between(950, 900).value, std::nullopt);
}

TEST(Curve, RangesAreInclusiveForSoaks) {
    Builder b;
    b.ramp(120, 1).soak(2).ramp(220, 1);
    const Curve curve(b.schedule);
    EXPECT_NEAR(*curve.time_between(120, 220).value, 3 * 3600, 1e-6);
    EXPECT_NEAR(*curve.time_between(20, 120).value, 3 * 3600, 1e-6);
    EXPECT_NEAR(*curve.time_between(120, 120).value, 2 * 3600, 1e-6);
    EXPECT_EQ(curve.longest_soak(100, 120).value, 2 * 3600);
    EXPECT_EQ(curve.longest_soak(121, 200).value, 0);
}

TEST(Curve, ConsecutiveSoaksAreOne) {
    const auto b = bisque();
    const Curve curve(b.schedule);
    EXPECT_EQ(curve.longest_soak(1000, 1100).value, 0.75 * 3600);
    EXPECT_EQ(curve.longest_soak(1000, 1100).segments, (Indices{4, 5}));
    EXPECT_EQ(curve.longest_soak(0, 2000).segments, (Indices{1}));
}

TEST(Curve, Atmospheres) {
    const auto b = bisque();
    const Curve curve(b.schedule);
    EXPECT_EQ(curve.uses(Atmosphere::reduction).value, 1);
    EXPECT_EQ(curve.uses(Atmosphere::reduction).segments, (Indices{6, 7}));
    EXPECT_EQ(curve.uses(Atmosphere::neutral).value, 0);
    EXPECT_EQ(curve.lowest_temperature_in(Atmosphere::reduction).value, 100);
    EXPECT_EQ(curve.lowest_temperature_in(Atmosphere::reduction).segments, (Indices{7}));
    EXPECT_EQ(curve.lowest_temperature_in(Atmosphere::neutral).value, std::nullopt);
}

TEST(Curve, VentIsTheLeastOpen) {
    const auto b = bisque();
    const Curve curve(b.schedule);
    EXPECT_EQ(curve.vent_between(20, 620).value, Vent::closed) << "it falls through there shut";
    EXPECT_EQ(curve.vent_between(20, 100).value, Vent::open);
    EXPECT_EQ(curve.vent_between(930, 1020).segments, (Indices{6}));
    EXPECT_EQ(curve.vent_between(1030, 1100).value, std::nullopt) << "never there";
    Builder some;
    some.ramp(100, 1).state(Atmosphere::unknown, Vent::open).ramp(200, 1);
    EXPECT_EQ(Curve(some.schedule).vent_between(20, 200).value, std::nullopt);
    EXPECT_EQ(Curve(some.schedule).vent_between(20, 200).segments, (Indices{0}));
    EXPECT_EQ(Curve(some.schedule).vent_between(100, 200).value, Vent::open);
}

TEST(Curve, StartsStopAtTheFirstUnknown) {
    const auto b = bisque();
    const auto starts = Curve(b.schedule).starts_s();
    ASSERT_EQ(starts.size(), 9u);
    EXPECT_EQ(starts[0], 0);
    EXPECT_EQ(starts[2], 3 * 3600);
    EXPECT_EQ(starts[7], 12.75 * 3600);
    EXPECT_EQ(starts[8], std::nullopt);
    EXPECT_EQ(Curve(Builder().schedule).starts_s().size(), 1u);
}

TEST(Curve, TemperatureAtATime) {
    const auto b = bisque();
    const Curve curve(b.schedule);
    EXPECT_EQ(curve.temperature_at(0), 20);
    EXPECT_EQ(curve.temperature_at(1800), 70);
    EXPECT_EQ(curve.temperature_at(2 * 3600), 120);
    EXPECT_EQ(curve.temperature_at(12.75 * 3600), 920);
    EXPECT_EQ(curve.temperature_at(12.76 * 3600), std::nullopt);
    EXPECT_EQ(curve.temperature_at(-1), std::nullopt);
    EXPECT_EQ(curve.temperature_at(std::nan("")), std::nullopt);
    EXPECT_EQ(Curve(Builder().schedule).temperature_at(0), 20);
}

TEST(Curve, WithoutNamingNothingIsNamed) {
    const auto b = bisque();
    const Curve curve(b.schedule, Estimates::ignore, Naming::no);
    EXPECT_EQ(curve.peak().value, 1020);
    EXPECT_TRUE(curve.peak().segments.empty());
    EXPECT_EQ(curve.fastest_fall(600, 540).value, std::nullopt);
    EXPECT_TRUE(curve.fastest_fall(600, 540).segments.empty());
    EXPECT_TRUE(curve.vent_between(20, 100).segments.empty());
}

TEST(Curve, NotANumberIsUnknown) {
    const auto b = bisque();
    const Curve curve(b.schedule);
    EXPECT_EQ(curve.time_above(std::nan("")).value, std::nullopt);
    EXPECT_EQ(curve.fastest_rise(std::nan(""), 5).value, std::nullopt);
    EXPECT_EQ(curve.vent_between(5, std::nan("")).value, std::nullopt);
}

// --- against sampling ---------------------------------------------------------------------------

Schedule random_schedule(std::mt19937_64& random) {
    auto uniform = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    Builder b(uniform(10, 40));
    const int count = std::uniform_int_distribution<int>(1, 20)(random);
    for (int i = 0; i < count; ++i) {
        if (random() % 4 == 0) {
            b.state(static_cast<Atmosphere>(random() % 4), static_cast<Vent>(1 + random() % 3));
        }
        switch (random() % 4) {
        case 0: b.soak(uniform(0.1, 3)); break;
        case 1: b.own_time(SegmentKind::free, uniform(20, 1300), uniform(0.5, 8)); break;
        default: b.ramp(uniform(20, 1300), uniform(0.2, 8));
        }
    }
    return b.schedule;
}

// What a patient person with a stopwatch would find: `steps` equal steps in each segment.
struct Sampled {
    double above = 0, between = 0, rising = 0, falling = 0, peak = -1e9, rise = 0, fall = 0;
    double coarseness = 0; // the sum of one step of each segment
    std::optional<Vent> vent;
};

Sampled sample(const Schedule& schedule, double low, double high) {
    constexpr int steps = 4000;
    Sampled sampled;
    const Curve curve(schedule, Estimates::use);
    const auto starts = curve.starts_s();
    for (std::size_t i = 0; i < schedule.segments.size(); ++i) {
        const Segment& segment = schedule.segments[i];
        const double step = (*starts[i + 1] - *starts[i]) / steps;
        sampled.coarseness += step;
        for (int k = 0; k < steps; ++k) {
            const double now = *starts[i] + step * (k + 0.5);
            const double here = *curve.temperature_at(now);
            const double ahead = *curve.temperature_at(now + step / 4);
            sampled.peak = std::max(sampled.peak, here);
            if (here >= low) {
                sampled.above += step;
            }
            if (here < low || here > high) {
                continue;
            }
            sampled.between += step;
            const bool flat = segment.kind == SegmentKind::soak;
            const double rate = flat ? 0 : (ahead - here) / (step / 4) * 3600;
            if (!flat && rate > 0) {
                sampled.rising += step;
            }
            if (!flat && rate < 0) {
                sampled.falling += step;
            }
            sampled.rise = std::max(sampled.rise, rate);
            sampled.fall = std::max(sampled.fall, -rate);
            const Vent vent = schedule.states[segment.state].vent;
            if (!sampled.vent || (vent > *sampled.vent)) {
                sampled.vent = vent; // open < … < closed
            }
        }
    }
    return sampled;
}

TEST(Curve, AgreesWithSampling) {
    std::mt19937_64 random(20260311);
    int compared_rates = 0;
    for (int round = 0; round < 60; ++round) {
        Schedule schedule = random_schedule(random);
        schedule.states[0].vent = Vent::open;
        const double low = std::uniform_real_distribution<double>(30, 1200)(random);
        const double high = low + std::uniform_real_distribution<double>(20, 400)(random);
        const Curve curve(schedule, Estimates::use);
        const Sampled sampled = sample(schedule, low, high);
        const double slack = 2 * sampled.coarseness;
        EXPECT_NEAR(*curve.time_above(low).value, sampled.above, slack) << round;
        EXPECT_NEAR(*curve.time_between(low, high).value, sampled.between, slack) << round;
        EXPECT_NEAR(*curve.time_rising_between(low, high).value, sampled.rising, slack) << round;
        EXPECT_NEAR(*curve.time_falling_between(high, low).value, sampled.falling, slack) << round;
        EXPECT_GE(*curve.peak().value, sampled.peak - 1e-9) << round;
        EXPECT_NEAR(*curve.peak().value, std::max(sampled.peak, schedule.start_c), 1) << round;
        // A part shorter than a sampling step can be missed, so sampling never finds more.
        EXPECT_GE(*curve.fastest_rise(low, high).value * (1 + 1e-6), sampled.rise) << round;
        EXPECT_GE(*curve.fastest_fall(high, low).value * (1 + 1e-6), sampled.fall) << round;
        if (sampled.rise > 0 && sampled.rise > *curve.fastest_rise(low, high).value * 0.999) {
            ++compared_rates;
        }
        if (sampled.vent) {
            EXPECT_EQ(curve.vent_between(low, high).value, sampled.vent) << round;
        }
    }
    EXPECT_GT(compared_rates, 40) << "sampling found the same fastest climb nearly always";
}

} // namespace
} // namespace fettle
