// Fewer pieces: against every way there is on small curves, and against results worked by hand.
#include "compiler/target/simplify.h"

#include <algorithm>
#include <cmath>
#include <gtest/gtest.h>
#include <random>

namespace fettle {
namespace {

std::vector<Corner> corners_of(std::vector<std::pair<double, double>> points) {
    std::vector<Corner> corners;
    for (const auto& [time_s, temperature_c] : points) {
        corners.push_back({time_s, temperature_c, false});
    }
    corners.front().stays = corners.back().stays = true;
    return corners;
}

double deviation(const std::vector<Corner>& corners, const std::vector<std::uint32_t>& kept) {
    double most = 0;
    for (std::size_t piece = 0; piece + 1 < kept.size(); ++piece) {
        const Corner& a = corners[kept[piece]];
        const Corner& b = corners[kept[piece + 1]];
        for (std::uint32_t k = kept[piece]; k < kept[piece + 1]; ++k) {
            const double share = (corners[k].time_s - a.time_s) / (b.time_s - a.time_s);
            const double there = a.temperature_c + share * (b.temperature_c - a.temperature_c);
            most = std::max(most, std::fabs(corners[k].temperature_c - there));
        }
    }
    return most;
}

std::uint32_t rows(const std::vector<Corner>& corners, const std::vector<std::uint32_t>& kept,
                   bool soaks_are_free) {
    std::uint32_t count = 0;
    bool after_slope = false;
    for (std::size_t piece = 0; piece + 1 < kept.size(); ++piece) {
        const bool level =
            corners[kept[piece]].temperature_c == corners[kept[piece + 1]].temperature_c;
        count += soaks_are_free && level && after_slope ? 0 : 1;
        after_slope = !level;
    }
    return count;
}

struct Best {
    double deviation_k = 1e18;
    std::uint32_t rows = 0;
};
Best best_of_all(const std::vector<Corner>& corners, std::uint32_t max_rows, bool soaks_are_free) {
    Best best;
    const std::size_t inner = corners.size() - 2;
    for (std::uint32_t chosen = 0; chosen < (1u << inner); ++chosen) {
        std::vector<std::uint32_t> kept = {0};
        bool allowed = true;
        for (std::uint32_t i = 0; i < inner; ++i) {
            if ((chosen >> i) & 1) {
                kept.push_back(i + 1);
            } else {
                allowed = allowed && !corners[i + 1].stays;
            }
        }
        kept.push_back(static_cast<std::uint32_t>(corners.size() - 1));
        const std::uint32_t count = rows(corners, kept, soaks_are_free);
        if (!allowed || count > max_rows) {
            continue;
        }
        const double off = deviation(corners, kept);
        if (off < best.deviation_k - 1e-9 ||
            (std::fabs(off - best.deviation_k) <= 1e-9 && count < best.rows)) {
            best = {off, count};
        }
    }
    return best;
}

TEST(Simplify, IsAsGoodAsTheBestOfAllWays) {
    std::mt19937 random(4);
    int compared = 0;
    for (int trial = 0; trial < 3000; ++trial) {
        const auto count = std::uniform_int_distribution<std::size_t>(2, 12)(random);
        std::vector<Corner> corners;
        double at_s = 0;
        for (std::size_t i = 0; i < count; ++i) {
            // Whole degrees, so that there are soaks, straight lines and ties.
            const bool level = i > 0 && random() % 4 == 0;
            corners.push_back(
                {at_s, level ? corners.back().temperature_c : static_cast<double>(random() % 40),
                 random() % 8 == 0});
            at_s += static_cast<double>(1 + random() % 5) * 60;
        }
        corners.front().stays = corners.back().stays = true;
        PieceCosts costs;
        costs.soaks_are_free = random() % 2 == 0;
        const auto max_rows = static_cast<std::uint32_t>(1 + random() % count);
        const Best best = best_of_all(corners, max_rows, costs.soaks_are_free);
        const auto found = simplify(corners, costs, max_rows, 1e6);
        ASSERT_EQ(found.has_value(), best.deviation_k < 1e18) << trial;
        if (!found) {
            continue;
        }
        ++compared;
        EXPECT_NEAR(found->deviation_k, best.deviation_k, 2e-6) << trial;
        EXPECT_NEAR(deviation(corners, found->kept), found->deviation_k, 1e-9) << trial;
        EXPECT_EQ(rows(corners, found->kept, costs.soaks_are_free), found->rows) << trial;
        EXPECT_EQ(found->rows, best.rows) << trial;
        EXPECT_LE(found->rows, max_rows) << trial;
        // A hair less than that, and there is no way.
        if (best.deviation_k > 1e-4) {
            EXPECT_FALSE(simplify(corners, costs, max_rows, best.deviation_k - 1e-5)) << trial;
        }
    }
    EXPECT_GT(compared, 1500);
}

// The best approximation of a parabola t² by n straight pieces between its own points has equal
// pieces, and each is off by (length / 2)² in its middle: the classical result for a curve of
// constant second derivative f'', that a chord of length h is off by f'' h² / 8 (e.g. de Boor,
// A Practical Guide to Splines, Springer 1978, chapter III: broken-line interpolation).
TEST(Simplify, OfAParabolaHasEqualPieces) {
    std::vector<std::pair<double, double>> points;
    for (int t = 0; t <= 64; ++t) {
        points.push_back({t, static_cast<double>(t * t)});
    }
    for (const std::uint32_t pieces : {1u, 2u, 4u, 8u, 16u, 32u}) {
        const auto found = simplify(corners_of(points), {}, pieces, 1e6);
        ASSERT_TRUE(found);
        const double length = 64.0 / pieces;
        EXPECT_NEAR(found->deviation_k, 2 * length * length / 8, 1e-6) << pieces;
        for (std::uint32_t i = 0; i <= pieces; ++i) {
            EXPECT_EQ(found->kept[i], i * 64 / pieces);
        }
    }
}

// A greedy walk, as far as it goes each time, takes three pieces; the least number is two, because
// corners must be points of the curve (the reason why Imai and Iri search a graph for it).
TEST(Simplify, IsNotGreedy) {
    // From 0 the farthest that stays within 1 is corner 3; from there it takes two more. By corner
    // 2 it takes one.
    const auto corners = corners_of({{0, 0}, {1, 1}, {2, 0}, {3, 1}, {4, 4}, {5, 5}, {6, 8}});
    const auto found = simplify(corners, {}, 2, 1.0);
    ASSERT_TRUE(found);
    EXPECT_EQ(found->rows, 2u);
    EXPECT_LE(deviation(corners, found->kept), 1.0);
}

TEST(Simplify, TakesTheEarliestCornerOfTwoThatAreAlike) {
    // Symmetrical: keeping corner 1 or corner 3 is the same, and keeping both is worse.
    const auto corners = corners_of({{0, 0}, {1, 2}, {2, 0}, {3, 2}, {4, 0}});
    const auto found = simplify(corners, {}, 3, 10);
    ASSERT_TRUE(found);
    EXPECT_EQ(found->kept, (std::vector<std::uint32_t>{0, 1, 4}));
    EXPECT_NEAR(found->deviation_k, 4.0 / 3, 1e-6);
}

TEST(Simplify, OfAStraightLineIsOnePieceWithoutDeviation) {
    const auto found = simplify(corners_of({{0, 0}, {10, 1}, {20, 2}, {70, 7}}), {}, 5, 0);
    ASSERT_TRUE(found);
    EXPECT_EQ(found->rows, 1u);
    EXPECT_EQ(found->deviation_k, 0);
}

TEST(Simplify, KeepsToRatesAndTimes) {
    const auto corners = corners_of({{0, 0}, {3600, 100}, {7200, 300}, {10800, 400}});
    PieceCosts slow;
    slow.fastest_k_per_s = 130.0 / 3600; // the whole at 133 an hour would be too fast
    ASSERT_TRUE(simplify(corners, {}, 1, 1e6));
    EXPECT_FALSE(simplify(corners, slow, 1, 1e6));
    PieceCosts brief;
    brief.longest_s = 5400; // three hours take two steps
    EXPECT_EQ(simplify(corners, brief, 2, 1e6)->rows, 2u);
    EXPECT_FALSE(simplify(corners, brief, 1, 1e6));
    EXPECT_EQ(fewest_rows(corners, brief), 2u);
}

} // namespace
} // namespace fettle
