#include "runtime/log/trend.h"

#include <cmath>
#include <gtest/gtest.h>
#include <vector>

namespace fettle {
namespace {

// Draper & Smith's rule worked by hand: x 1 to 5, y 2.1 3.9 6.2 7.8 10.1: slope 1.99, intercept
// 0.05.
const std::vector<TrendPoint> rising = {{1, 2.1}, {2, 3.9}, {3, 6.2}, {4, 7.8}, {5, 10.1}};

TEST(Trend, LeastSquares) {
    const auto trend = trend_of(rising);
    ASSERT_TRUE(trend);
    EXPECT_NEAR(trend->slope, 1.99, 1e-9);
    EXPECT_NEAR(trend->at_0, 0.05, 1e-9);
    // The residuals are 0.06 −0.13 0.18 −0.21 0.10: their squares sum to 0.107.
    EXPECT_NEAR(trend->scatter, std::sqrt(0.107 / 3), 1e-9);
    EXPECT_NEAR(trend->slope_error, std::sqrt(0.107 / 3 / 10), 1e-9);
    EXPECT_NEAR(trend->uncertainty_at(3), 3.182 * std::sqrt(0.107 / 3 / 5), 1e-9);
    EXPECT_TRUE(trend->is_sure);
}

TEST(Trend, WhenItReaches) {
    const auto trend = trend_of(rising);
    const auto reaching = when_it_reaches(*trend, 20, 5);
    ASSERT_TRUE(reaching);
    EXPECT_NEAR(trend->at(reaching->x), 20, 1e-6);
    EXPECT_LT(reaching->earliest, reaching->x);
    ASSERT_TRUE(reaching->latest);
    EXPECT_GT(*reaching->latest, reaching->x);
    EXPECT_NEAR(trend->at(reaching->earliest) + trend->uncertainty_at(reaching->earliest), 20,
                1e-6);
    EXPECT_NEAR(trend->at(*reaching->latest) - trend->uncertainty_at(*reaching->latest), 20, 1e-6);
    // A falling one towards a lower value is the same, mirrored.
    std::vector<TrendPoint> falling = rising;
    for (TrendPoint& point : falling)
        point.y = -point.y;
    const auto mirrored = when_it_reaches(*trend_of(falling), -20, 5);
    ASSERT_TRUE(mirrored);
    EXPECT_NEAR(mirrored->x, reaching->x, 1e-6);
}

TEST(Trend, ChanceIsNoTrend) {
    const auto trend =
        trend_of(std::vector<TrendPoint>{{1, 5}, {2, 4}, {3, 6}, {4, 4.5}, {5, 5.5}, {6, 4.9}});
    ASSERT_TRUE(trend);
    EXPECT_FALSE(trend->is_sure);
    EXPECT_FALSE(when_it_reaches(*trend, 9, 6));
}

TEST(Trend, TooFewPointsSayNothing) {
    EXPECT_FALSE(trend_of(std::vector<TrendPoint>{{1, 1}, {2, 2}, {3, 3}}));
    EXPECT_FALSE(trend_of(std::vector<TrendPoint>{{1, 1}, {1, 2}, {1, 3}, {1, 4}}));
}

TEST(Trend, StudentsTRunsOnSmoothly) {
    EXPECT_NEAR(students_t(30), 2.042, 1e-9);
    EXPECT_NEAR(students_t(40), 2.021, 0.003); // the printed tables
    EXPECT_NEAR(students_t(120), 1.980, 0.003);
}

} // namespace
} // namespace fettle
