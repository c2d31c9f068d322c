#include "compiler/target/simplify.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace fettle {

namespace {

constexpr double exactly_k = 1e-6; // the search for the least deviation ends here
constexpr double level_k = 1e-9;
constexpr std::uint32_t no_way = std::numeric_limits<std::uint32_t>::max() / 2;

// What kind of piece comes before: a level one may follow a slope without a row of its own.
enum Before : std::size_t { slope, level, before_count };

// The rest of the curve from a corner on.
struct Rest {
    std::uint32_t rows = no_way;
    double squares = 0; // sum of squared deviations; only where ties count
    std::uint32_t next = 0;
};

class Search {
  public:
    Search(const std::vector<Corner>& corners, const PieceCosts& costs)
        : corners_(corners), costs_(costs), rest_(corners.size()) {}

    // Fewest rows with no corner farther than `within_k` from the curve.
    template <bool ties> std::uint32_t rows(double within_k) {
        const auto last = static_cast<std::uint32_t>(corners_.size() - 1);
        rest_[last] = {Rest{0, 0, last}, Rest{0, 0, last}};
        for (std::uint32_t i = last; i-- > 0;) {
            from<ties>(i, within_k);
        }
        return rest_[0][level].rows;
    }

    // The way that `rows` found last.
    Simplified way() const {
        Simplified found;
        found.rows = rest_[0][level].rows;
        std::size_t before = level;
        for (std::uint32_t at = 0; at + 1 < corners_.size();) {
            found.kept.push_back(at);
            const std::uint32_t next = rest_[at][before].next;
            measure(at, next, found);
            before = is_level(at, next) ? level : slope;
            at = next;
        }
        found.kept.push_back(static_cast<std::uint32_t>(corners_.size() - 1));
        return found;
    }

  private:
    bool is_level(std::uint32_t i, std::uint32_t j) const {
        return std::fabs(corners_[j].temperature_c - corners_[i].temperature_c) <= level_k;
    }

    void measure(std::uint32_t i, std::uint32_t j, Simplified& found) const {
        const Corner& a = corners_[i];
        const Corner& b = corners_[j];
        const double slope_k = (b.temperature_c - a.temperature_c) / (b.time_s - a.time_s);
        for (std::uint32_t k = i + 1; k < j; ++k) {
            const double there = a.temperature_c + slope_k * (corners_[k].time_s - a.time_s);
            const double off = std::fabs(corners_[k].temperature_c - there);
            if (off > found.deviation_k) {
                found.deviation_k = off;
                found.deviation_s = corners_[k].time_s;
            }
        }
    }

    std::uint32_t rows_of(double duration_s) const {
        return duration_s <= costs_.longest_s
                   ? 1
                   : static_cast<std::uint32_t>(std::ceil(duration_s / costs_.longest_s - 1e-9));
    }

    bool allowed(std::uint32_t i, std::uint32_t j, double rise_k, double slope_k) const {
        if (j == i + 1) {
            return true;
        }
        const double steep = std::fabs(slope_k);
        if (std::fabs(rise_k) > level_k &&
            (std::fabs(rise_k) < costs_.least_k || steep < costs_.slowest_k_per_s ||
             steep > costs_.fastest_k_per_s)) {
            return false;
        }
        return costs_.forbidden.empty() ||
               !std::binary_search(costs_.forbidden.begin(), costs_.forbidden.end(),
                                   std::pair{i, j});
    }

    // All pieces that begin at corner i. Corners between are seen from i in a wedge of slopes.
    template <bool ties> void from(std::uint32_t i, double within_k) {
        const Corner start = corners_[i];
        std::array<Rest, before_count> best{};
        double lowest = -std::numeric_limits<double>::infinity();
        double highest = std::numeric_limits<double>::infinity();
        double times = 0, rises = 0, both = 0; // sums of squares and products, seen from i
        for (std::uint32_t j = i + 1; j < corners_.size(); ++j) {
            const double time_s = corners_[j].time_s - start.time_s;
            const double rise_k = corners_[j].temperature_c - start.temperature_c;
            const double per_s = 1 / time_s;
            const double slope_k = rise_k * per_s;
            if (slope_k >= lowest && slope_k <= highest && allowed(i, j, rise_k, slope_k)) {
                const double squares =
                    ties ? rises - 2 * slope_k * both + slope_k * slope_k * times : 0;
                take<ties>(best, j, time_s, std::fabs(rise_k) <= level_k, squares);
            }
            if (corners_[j].stays) {
                break;
            }
            const double room = within_k * per_s;
            lowest = std::max(lowest, slope_k - room);
            highest = std::min(highest, slope_k + room);
            if (lowest > highest) {
                break;
            }
            if constexpr (ties) {
                times += time_s * time_s;
                rises += rise_k * rise_k;
                both += time_s * rise_k;
            }
        }
        rest_[i] = best;
    }

    template <bool ties>
    void take(std::array<Rest, before_count>& best, std::uint32_t j, double time_s, bool is_soak,
              double squares) const {
        const Rest& rest = rest_[j][is_soak ? level : slope];
        if (rest.rows == no_way) {
            return;
        }
        const std::uint32_t own = rows_of(time_s);
        for (std::size_t before = 0; before < before_count; ++before) {
            const bool joins = before == slope && is_soak && costs_.soaks_are_free;
            const std::uint32_t rows = rest.rows + own - (joins ? 1 : 0);
            const double sum = rest.squares + squares;
            Rest& so_far = best[before];
            const bool better = rows < so_far.rows || (ties && rows == so_far.rows &&
                                                       sum < so_far.squares - 1e-9 * (1 + sum));
            if (better) {
                so_far = {rows, sum, j};
            }
        }
    }

    const std::vector<Corner>& corners_;
    const PieceCosts& costs_;
    std::vector<std::array<Rest, before_count>> rest_;
};

} // namespace

std::optional<Simplified> simplify(const std::vector<Corner>& corners, const PieceCosts& costs,
                                   std::uint32_t max_rows, double most_k) {
    Search search(corners, costs);
    if (search.rows<false>(most_k) > max_rows) {
        return std::nullopt;
    }
    double enough = search.way().deviation_k, too_little = 0;
    if (search.rows<false>(exactly_k / 10) <= max_rows) {
        enough = 0;
    }
    while (enough - too_little > exactly_k) {
        const double middle = (enough + too_little) / 2;
        if (search.rows<false>(middle) <= max_rows) {
            enough = std::min(search.way().deviation_k, middle);
        } else {
            too_little = middle;
        }
    }
    // A hair more than the least, so that rounding hides no way; then the best of the ways.
    search.rows<true>(enough + exactly_k / 10);
    return search.way();
}

std::uint32_t fewest_rows(const std::vector<Corner>& corners, const PieceCosts& costs) {
    return Search(corners, costs).rows<false>(std::numeric_limits<double>::max());
}

} // namespace fettle
