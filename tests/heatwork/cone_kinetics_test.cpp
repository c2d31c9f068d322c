#include "runtime/heatwork/cone_kinetics.h"

#include "runtime/heatwork/cone_fit.h"
#include "tests/heatwork/standard_cones.h"

#include <cmath>
#include <gtest/gtest.h>

namespace fettle {
namespace {

ConeTable rows(std::initializer_list<std::pair<double, double>> points) {
    ConeTable table;
    for (const auto& [rate, end] : points)
        table.rows.push_back({.cone = 6, .rate_k_per_h = rate, .end_c = end});
    return table;
}

TEST(ConeFit, TwoRatesAreMetExactlyByTwoParameters) {
    const ConeFit fit = fit_cones(rows({{60, 1222}, {150, 1243}}));
    const ConeKinetics plain = without_correction(fit.scale.cones.at(0));
    EXPECT_NEAR(end_point(plain, 60), 1222, 1e-6);
    EXPECT_NEAR(end_point(plain, 150), 1243, 1e-6);
}

TEST(ConeFit, GivesBackTheLawThatMadeTheTable) {
    const Arrhenius law = law_through(92000, 1500, 60);
    ConeKinetics made;
    made.below = law;
    const ConeFit fit = fit_cones(
        rows({{15, end_point(made, 15)}, {60, end_point(made, 60)}, {150, end_point(made, 150)}}));
    const ConeKinetics& cone = fit.scale.cones.at(0);
    EXPECT_NEAR(cone.plain.theta_k, 92000, 1e-4);
    EXPECT_NEAR(cone.plain.ln_a, law.ln_a, 1e-8);
    for (const double rate : {5.0, 25.0, 100.0, 400.0})
        EXPECT_NEAR(end_point(cone, rate), end_point(made, rate), 0.7) << rate;
}

TEST(ConeFit, LeastSquaresIsAMinimum) {
    const ConeFit fit = fit_cones(rows({{15, 1185}, {60, 1222}, {150, 1243}}));
    const ConeKinetics& cone = fit.scale.cones.at(0);
    const auto sum_of_squares = [&](double d_theta, double d_ln_a) {
        ConeKinetics plain = without_correction(cone);
        plain.below.theta_k += d_theta;
        plain.below.ln_a += d_ln_a;
        double sum = 0;
        for (const auto& [rate, end] : {std::pair{15.0, 1185.0}, {60.0, 1222.0}, {150.0, 1243.0}})
            sum += std::pow(end_point(plain, rate) - end, 2);
        return sum;
    };
    const double best = sum_of_squares(0, 0);
    EXPECT_LT(best, 5);
    for (const double d : {-0.02, 0.02}) {
        EXPECT_GT(sum_of_squares(0, d), best);
        EXPECT_GT(sum_of_squares(d * 1500, d), best);
    }
}

TEST(ConeFit, OneRateTakesTheSlopeOfOthers) {
    ConeTable table = rows({{300, 1255}});
    const ConeFit alone = fit_cones(table, &shelf_cones());
    EXPECT_EQ(alone.scale.cones.at(0).slope, Slope::neighbours);
    EXPECT_EQ(alone.scale.cones.at(0).below.theta_k, cone_at(6).below.theta_k);
    EXPECT_NEAR(end_point(alone.scale.cones.at(0), 300), 1255, 1e-9);
}

TEST(ConeFit, UnevenConeKeepsItsTwoParameters) {
    // 100 K between the slow rates and 2 between the fast ones against the usual 37 and 21.
    const ConeFit fit = fit_cones(rows({{15, 1230}, {60, 1232}, {150, 1300}}));
    ASSERT_EQ(fit.problems.size(), 1u);
    EXPECT_EQ(fit.problems[0].kind, ConeTableProblem::Kind::uneven);
    EXPECT_EQ(fit.scale.cones.at(0).points, 0);
    EXPECT_GT(work_rate(fit.scale.cones.at(0), 1250), work_rate(fit.scale.cones.at(0), 1240));
    EXPECT_FALSE(is_extrapolated(fit.scale.cones.at(0), 1260));
}

TEST(ConeFit, StandardConesAreEven) {
    const ConeFit fit = fit_shelf_cones(large_cones(), high_cones());
    EXPECT_TRUE(fit.problems.empty());
    EXPECT_TRUE(fit_cones(small_cones(), &fit.scale).problems.empty());
}

TEST(ConeFit, MarksWhatIsAssumed) {
    EXPECT_EQ(cone_at(6).slope, Slope::published);
    EXPECT_EQ(cone_at(6).kind, ConeKind::large);
    EXPECT_EQ(cone_at(20).slope, Slope::neighbours);
    EXPECT_TRUE(cone_at(20).from_memory);
    EXPECT_FALSE(cone_at(20).rate_assumed);
    EXPECT_TRUE(cone_at(42).rate_assumed);
    EXPECT_FALSE(cone_at(-22).from_memory);
}

TEST(ConeKinetics, RateOfWorkIsTheSlopeOfTheSteadyRate) {
    for (const ConeKinetics& cone : shelf_cones().cones) {
        for (double t = cone.coldest_end_c - 97.3; t < cone.hottest_end_c + 120; t += 7.1) {
            const double h = 1e-3;
            const double slope = (steady_rate(cone, t + h) - steady_rate(cone, t - h)) / (2 * h);
            // Where the two sides of a published point meet, k bends: half a step of it.
            EXPECT_NEAR(slope / work_rate(cone, t), 1, 2e-3) << cone.cone << " at " << t;
        }
    }
}

TEST(ConeKinetics, NothingJumpsAtPublishedPoints) {
    for (const ConeKinetics& cone : shelf_cones().cones) {
        for (std::size_t i = 0; i < cone.points; ++i) {
            const double t = cone.end_k[i] - 273.15;
            EXPECT_NEAR(steady_rate(cone, t - 1e-9) / steady_rate(cone, t + 1e-9), 1, 1e-8);
            EXPECT_NEAR(work_rate(cone, t - 1e-9) / work_rate(cone, t + 1e-9), 1, 1e-6);
        }
    }
}

TEST(ConeKinetics, HotterIsAlwaysFaster) {
    for (const ConeKinetics& cone : shelf_cones().cones) {
        double rate = 0, k = 0;
        for (double t = 0; t < 2000; t += 0.5) {
            const double next_rate = steady_rate(cone, t), next_k = work_rate(cone, t);
            ASSERT_GE(next_rate, rate) << cone.cone << " at " << t;
            ASSERT_GE(next_k, k) << cone.cone << " at " << t;
            if (k > 1e-200) {
                ASSERT_GT(next_k, k) << cone.cone << " at " << t;
            }
            rate = next_rate;
            k = next_k;
        }
    }
}

// The rate of work of a hotter cone is less at every temperature at which either matters, so its
// heat work is less in every firing, however it is shaped.
TEST(ConeKinetics, HotterConeNeedsMore) {
    const auto& cones = shelf_cones().cones;
    for (std::size_t i = 0; i < cones.size(); ++i) {
        for (std::size_t j = i + 1; j < cones.size(); ++j) {
            for (double t = 300; t < 2300; t += 1) {
                if (steady_rate(cones[i], t) < 0.3 || steady_rate(cones[j], t) > 1500)
                    continue;
                ASSERT_GT(work_rate(cones[i], t), work_rate(cones[j], t))
                    << cones[i].cone << " and " << cones[j].cone << " at " << t;
            }
        }
    }
}

TEST(ConeKinetics, EndPointIsTheInverse) {
    for (const ConeKinetics& cone : shelf_cones().cones) {
        double before = 0;
        for (double rate = 0.01; rate < 3000; rate *= 1.13) {
            const double t = end_point(cone, rate);
            EXPECT_NEAR(steady_rate(cone, t) / rate, 1, 1e-9) << cone.cone << " at " << rate;
            EXPECT_GT(t, before);
            before = t;
        }
    }
}

TEST(ConeKinetics, TemperatureOfWorkRateIsTheInverse) {
    for (const ConeKinetics& cone : shelf_cones().cones) {
        for (double k = 1e-4; k < 100; k *= 1.7) {
            const double t = temperature_of_work_rate(cone, k);
            EXPECT_NEAR(work_rate(cone, t) / k, 1, 1e-7) << cone.cone << " at " << k;
        }
    }
}

TEST(ConeKinetics, ExtremesStayFinite) {
    for (const ConeKinetics& cone : shelf_cones().cones) {
        EXPECT_EQ(steady_rate(cone, -300), 0);
        EXPECT_EQ(work_rate(cone, -300), 0);
        EXPECT_LT(steady_rate(cone, 20), 1e-20);
        EXPECT_TRUE(std::isfinite(steady_rate(cone, 2500)));
        EXPECT_LE(end_point(cone, 1e30), hottest_c);
        EXPECT_GT(end_point(cone, 1e-30), -273);
        EXPECT_LE(temperature_of_work_rate(cone, 1e60), hottest_c);
    }
}

TEST(ConeKinetics, SaysWhatIsExtrapolated) {
    const ConeKinetics& cone = cone_at(6); // published from 1185 to 1243
    EXPECT_FALSE(is_extrapolated(cone, end_point(cone, 15)));
    EXPECT_FALSE(is_extrapolated(cone, end_point(cone, 150)));
    EXPECT_TRUE(is_extrapolated(cone, end_point(cone, 10)));
    EXPECT_TRUE(is_extrapolated(cone, end_point(cone, 300)));
}

TEST(ConeKinetics, OnsetIsAHundredthInAnHour) {
    EXPECT_NEAR(work_rate(cone_at(6), onset_c(cone_at(6))), 0.01, 1e-9);
    EXPECT_LT(onset_c(cone_at(6)), 1185);
}

} // namespace
} // namespace fettle
