#include "runtime/heatwork/heat_work.h"

#include "tests/heatwork/standard_cones.h"

#include <cmath>
#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

constexpr double hour = 3600;

HeatStretch ramp(double from, double to, double rate) {
    return {from, to, std::abs(to - from) / rate * hour};
}

// A firing as a potter could write it, or a little stranger: climbs, falls and stays.
std::vector<HeatStretch> random_firing(std::mt19937& random, int stretches = 12) {
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    std::vector<HeatStretch> firing;
    double at = 20;
    for (int i = 0; i < stretches; ++i) {
        if (between(0, 1) < 0.3) {
            firing.push_back({at, at, between(0.05, 6) * hour});
        } else {
            const double to = std::clamp(at + between(-150, 450), 20.0, 1400.0);
            firing.push_back(ramp(at, to, std::exp(between(std::log(10.0), std::log(400.0)))));
            at = to;
        }
    }
    return firing;
}

// Composite Simpson, the plain way to integrate.
double by_stepping(const ConeKinetics& cone, const HeatStretch& s, int steps) {
    const auto k = [&](int i) {
        return work_rate(cone, s.from_c + (s.to_c - s.from_c) * i / steps);
    };
    double sum = k(0) + k(steps);
    for (int i = 1; i < steps; ++i)
        sum += k(i) * (i % 2 ? 4 : 2);
    return sum * s.duration_s / hour / (3 * steps);
}

TEST(HeatWork, ARampIsExact) {
    for (const double position : {-22.0, -8.0, 3.0, 6.0, 14.0, 30.0}) {
        const ConeKinetics& cone = cone_at(position);
        // Between published points the curve is smooth; across one it bends, so split there.
        const double edge = cone.coldest_end_c;
        for (const HeatStretch& s : {ramp(edge - 80, edge, 60), ramp(edge, edge - 80, 200),
                                     ramp(cone.hottest_end_c, cone.hottest_end_c + 30, 7)})
            EXPECT_NEAR(work(cone, s) / by_stepping(cone, s, 4000), 1, 1e-10) << position;
    }
}

TEST(HeatWork, ARampInsideTheTableIsExact) {
    const ConeKinetics& cone = cone_at(6);
    EXPECT_NEAR(work(cone, ramp(1186, 1221, 60)) / by_stepping(cone, ramp(1186, 1221, 60), 20000),
                1, 1e-10);
}

TEST(HeatWork, ASoakIsExact) {
    const ConeKinetics& cone = cone_at(6);
    EXPECT_DOUBLE_EQ(work(cone, HeatStretch{1200, 1200, 2 * hour}), 2 * work_rate(cone, 1200));
}

TEST(HeatWork, ASteadyClimbIsTheTable) {
    for (const ConeRow& row : large_cones().rows) {
        const std::vector<HeatStretch> climb = {ramp(20, row.end_c, *row.rate_k_per_h)};
        EXPECT_NEAR(work(cone_at(row.cone), climb), 1, 1e-9) << row.cone;
    }
}

TEST(HeatWork, TinyStretchesAddUp) {
    const ConeKinetics& cone = cone_at(6);
    for (const int parts : {10, 1000, 9999, 10001, 1000000}) {
        constexpr int some = 500;
        double sum = 0, from = 1190;
        for (int i = 1; i <= some; ++i) {
            const double to = 1190 + static_cast<double>(i) / parts;
            sum += work(cone, ramp(from, to, 60));
            from = to;
        }
        EXPECT_NEAR(sum / work(cone, ramp(1190, from, 60)), 1, 1e-9) << parts;
    }
}

TEST(HeatWork, CoolingAddsWhatItAdds) {
    const ConeKinetics& cone = cone_at(6);
    EXPECT_DOUBLE_EQ(work(cone, ramp(1220, 1100, 100)), work(cone, ramp(1100, 1220, 100)));
    EXPECT_GT(work(cone, ramp(1220, 1100, 100)), 0);
}

TEST(HeatWork, NothingFromNothing) {
    EXPECT_EQ(work(cone_at(6), HeatStretch{1200, 1200, 0}), 0);
    EXPECT_EQ(work(cone_at(6), HeatStretch{1200, 1250, 0}), 0);
    EXPECT_EQ(work(cone_at(6), HeatStretch{1200, 1250, -5}), 0);
    EXPECT_LT(work(cone_at(-22), HeatStretch{20, 20, 1e6 * hour}), 1e-30);
}

TEST(HeatWork, TwentyMinutesAtTheEndAreWorthThirteenOrFourteenDegrees) {
    // facts of the trade: a soak of 20 minutes at the end point after 60 K/h counts as some 13 to
    // 14 K.
    double sum = 0;
    const std::vector<double> cones = {-6, -4, 1, 5, 6, 7, 8, 9, 10};
    for (const double position : cones) {
        const ConeKinetics& cone = cone_at(position);
        const double end = end_point(cone, 60);
        const double extra = work(cone, HeatStretch{end, end, 1200});
        const double worth = end_point(cone, 60 * (1 + extra)) - end;
        EXPECT_GT(worth, 12) << position;
        EXPECT_LT(worth, 16) << position;
        sum += worth;
    }
    EXPECT_NEAR(sum / static_cast<double>(cones.size()), 14, 1);
}

TEST(HeatWork, OrderHoldsInAnyFiring) {
    std::mt19937 random(7);
    for (int i = 0; i < 300; ++i) {
        const auto firing = random_firing(random);
        double colder = 1e300;
        for (const ConeKinetics& cone : shelf_cones().cones) {
            const double here = work(cone, firing);
            // Cones long complete or hardly begun are no longer compared.
            if (here < 50 && colder > 0.05) {
                EXPECT_GT(colder, here) << cone.cone;
            }
            colder = here;
        }
    }
}

TEST(HeatWork, SplittingAStretchChangesNothing) {
    std::mt19937 random(11);
    for (int i = 0; i < 100; ++i) {
        const auto firing = random_firing(random);
        std::vector<HeatStretch> halves;
        for (const HeatStretch& s : firing) {
            const double middle = (s.from_c + s.to_c) / 2;
            halves.push_back({s.from_c, middle, s.duration_s / 2});
            halves.push_back({middle, s.to_c, s.duration_s / 2});
        }
        const ConeKinetics& cone = cone_at(-4);
        EXPECT_NEAR(work(cone, firing), work(cone, halves), 1e-11 * work(cone, firing) + 1e-13);
    }
}

TEST(HeatWork, SameBytesEveryTime) {
    std::mt19937 random(3);
    const auto firing = random_firing(random);
    const ConeScale again = fit_shelf_cones(large_cones(), high_cones()).scale;
    for (std::size_t i = 0; i < again.cones.size(); ++i)
        EXPECT_EQ(work(again.cones[i], firing), work(shelf_cones().cones[i], firing));
}

// --- reading ------------------------------------------------------------------------------------

double position_after(const std::vector<HeatStretch>& firing) {
    return cone_reached(shelf_cones(), firing).position;
}

TEST(ConeReading, EndPointsReadAsTheirCone) {
    for (const ConeRow& row : large_cones().rows) {
        const std::vector<HeatStretch> climb = {ramp(20, row.end_c + 1e-6, *row.rate_k_per_h)};
        const ConeReading reading = cone_reached(shelf_cones(), climb);
        ASSERT_TRUE(reading.complete);
        EXPECT_EQ(shelf_cones().cones[*reading.complete].cone, row.cone);
        EXPECT_NEAR(reading.fraction_to_next, 0, 1e-4);
        EXPECT_NEAR(reading.position, row.cone, 1e-3);
    }
}

TEST(ConeReading, HalfwayInTemperatureIsAboutHalfway) {
    const double between = (1222 + 1239) / 2.0; // cones 6 and 7 at 60 K/h
    const ConeReading reading =
        cone_reached(shelf_cones(), std::vector<HeatStretch>{ramp(20, between, 60)});
    EXPECT_EQ(shelf_cones().cones[*reading.complete].cone, 6);
    EXPECT_EQ(shelf_cones().cones[*reading.next].cone, 7);
    EXPECT_NEAR(reading.fraction_to_next, 0.5, 0.1);
    EXPECT_NEAR(reading.position, 6 + reading.fraction_to_next, 1e-12);
}

TEST(ConeReading, RoundedTargetStillReadsAsComplete) {
    for (const ConeKinetics& cone : shelf_cones().cones) {
        const double rounded_down = end_point(cone, 60) - 0.05;
        const ConeReading reading =
            cone_reached(shelf_cones(), std::vector<HeatStretch>{ramp(20, rounded_down, 60)});
        ASSERT_TRUE(reading.complete) << cone.cone;
        EXPECT_EQ(shelf_cones().cones[*reading.complete].cone, cone.cone);
        EXPECT_LT(std::abs(reading.position - cone.cone), 0.05);
    }
}

TEST(ConeReading, NothingYetAndBeyondTheLast) {
    const ConeReading cold =
        cone_reached(shelf_cones(), std::vector<HeatStretch>{ramp(20, 400, 60)});
    EXPECT_FALSE(cold.complete);
    EXPECT_EQ(cold.next, 0u);
    EXPECT_LT(cold.fraction_to_next, 0.01);
    const ConeReading hot =
        cone_reached(shelf_cones(), std::vector<HeatStretch>{ramp(20, 2300, 60)});
    EXPECT_EQ(shelf_cones().cones[*hot.complete].cone, 42);
    EXPECT_FALSE(hot.next);
    EXPECT_EQ(hot.position, 42);
    EXPECT_FALSE(cone_reached(ConeScale{}, {}).complete);
}

TEST(ConeReading, ContinuousAndRisingInTime) {
    std::mt19937 random(5);
    for (int i = 0; i < 20; ++i) {
        const auto firing = random_firing(random, 8);
        std::vector<HeatStretch> so_far;
        double before = position_after({});
        double t_before = 0;
        for (const HeatStretch& s : firing) {
            constexpr int parts = 200;
            so_far.push_back(s);
            for (int p = 1; p <= parts; ++p) {
                const double share = static_cast<double>(p) / parts;
                so_far.back() = {s.from_c, s.from_c + share * (s.to_c - s.from_c),
                                 share * s.duration_s};
                const double position = position_after(so_far);
                ASSERT_GE(position, before - 1e-9);
                // A whole cone takes more than a minute and two degrees in the fastest climb here.
                const double step_s = s.duration_s / parts;
                const double step_k = std::abs(s.to_c - s.from_c) / parts;
                if (position > -21.5) {
                    ASSERT_LT(position - before, 1.5 * (step_s / 60 + step_k / 2) + 1e-9)
                        << s.from_c << " to " << s.to_c << " share " << share;
                }
                before = position;
                t_before += step_s;
            }
        }
        EXPECT_GT(t_before, 0);
    }
}

// --- adding up as it goes -----------------------------------------------------------------------

TEST(HeatWorkSum, AgreesWithTheWhole) {
    std::mt19937 random(13);
    for (int i = 0; i < 30; ++i) {
        const auto firing = random_firing(random);
        HeatWork sum(shelf_cones());
        for (const HeatStretch& s : firing) {
            for (int p = 0; p < 50; ++p) {
                const double step = (s.to_c - s.from_c) / 50;
                sum.add({s.from_c + p * step, s.from_c + (p + 1) * step, s.duration_s / 50});
            }
        }
        const ConeReading whole = cone_reached(shelf_cones(), firing);
        EXPECT_EQ(sum.reading().complete, whole.complete);
        EXPECT_NEAR(sum.reading().position, whole.position, 1e-6);
    }
}

// --- when ---------------------------------------------------------------------------------------

TEST(WhenComplete, InARamp) {
    const std::vector<HeatStretch> firing = {ramp(20, 1000, 60), ramp(1000, 1260, 60)};
    const auto when = when_complete(cone_at(6), firing);
    ASSERT_TRUE(when);
    EXPECT_EQ(when->stretch, 1u);
    EXPECT_NEAR(when->temperature_c, 1222, 1e-6);
    EXPECT_NEAR(when->time_s, (1222 - 20) / 60.0 * hour, 1e-3);
}

TEST(WhenComplete, InASoakAndInAFall) {
    const double k = work_rate(cone_at(6), 1200);
    const auto soak = when_complete(cone_at(6), std::vector<HeatStretch>{{1200, 1200, 10 * hour}});
    EXPECT_NEAR(soak->time_s, hour / k, 1e-6);
    EXPECT_EQ(soak->temperature_c, 1200);
    const std::vector<HeatStretch> firing = {ramp(20, 1220, 60), ramp(1220, 1000, 60)};
    const auto fall = when_complete(cone_at(6), firing);
    ASSERT_TRUE(fall);
    EXPECT_EQ(fall->stretch, 1u);
    std::vector<HeatStretch> until = firing;
    until[1] = {1220, fall->temperature_c, fall->time_s - firing[0].duration_s};
    EXPECT_NEAR(work(cone_at(6), until), 1, 1e-9);
}

TEST(WhenComplete, Never) {
    EXPECT_FALSE(when_complete(cone_at(6), std::vector<HeatStretch>{ramp(20, 1200, 60)}));
}

TEST(Stretches, OfASchedule) {
    Schedule schedule;
    schedule.segments = {
        {.kind = SegmentKind::ramp, .from_c = 20, .to_c = 1222, .duration_s = 1202 / 60.0 * hour},
        {.kind = SegmentKind::free, .from_c = 1222, .to_c = 100, .estimated_duration_s = 20 * hour},
        {.kind = SegmentKind::full, .from_c = 100, .to_c = 300}};
    const KnownStretches known = stretches_of(schedule);
    EXPECT_EQ(known.stretches.size(), 3u);
    EXPECT_EQ(known.unknown, 2u);
    EXPECT_EQ(known.hottest_unknown_c, 1222);
    EXPECT_NEAR(work(cone_at(6), known.stretches), 1, 1e-9);
    const KnownStretches guessed = stretches_of(schedule, Estimates::use);
    EXPECT_EQ(guessed.unknown, 1u);
    EXPECT_EQ(guessed.hottest_unknown_c, 300);
    EXPECT_GT(work(cone_at(6), guessed.stretches), 1.5); // 56 K/h of cooling counts like a climb
}

} // namespace
} // namespace fettle
