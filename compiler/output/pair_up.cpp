#include "compiler/output/pair_up.h"

#include <algorithm>

namespace fettle {

namespace {

constexpr std::size_t most_cells = 4'000'000; // of the table of sums

std::vector<Paired> by_place(std::size_t a_count, std::size_t b_count,
                             const std::function<int(std::size_t, std::size_t)>& likeness) {
    std::vector<Paired> pairs;
    for (std::size_t i = 0; i < std::max(a_count, b_count); ++i) {
        if (i < a_count && i < b_count && likeness(i, i) > 0) {
            pairs.push_back({i, i});
            continue;
        }
        if (i < a_count)
            pairs.push_back({i, {}});
        if (i < b_count)
            pairs.push_back({{}, i});
    }
    return pairs;
}

} // namespace

std::vector<Paired> pair_up(std::size_t a_count, std::size_t b_count,
                            const std::function<int(std::size_t, std::size_t)>& likeness) {
    const std::size_t columns = b_count + 1;
    if (a_count > 0 && columns > most_cells / (a_count + 1))
        return by_place(a_count, b_count, likeness);
    // best[i][j]: the largest sum of what comes from i and j on.
    std::vector<int> best((a_count + 1) * columns, 0);
    for (std::size_t i = a_count; i-- > 0;) {
        for (std::size_t j = b_count; j-- > 0;) {
            int& here = best[i * columns + j];
            here = std::max(best[(i + 1) * columns + j], best[i * columns + j + 1]);
            const int like = likeness(i, j);
            if (like > 0)
                here = std::max(here, like + best[(i + 1) * columns + j + 1]);
        }
    }
    std::vector<Paired> pairs;
    std::size_t i = 0, j = 0;
    while (i < a_count && j < b_count) {
        const int here = best[i * columns + j], like = likeness(i, j);
        if (like > 0 && here == like + best[(i + 1) * columns + j + 1]) {
            pairs.push_back({i++, j++});
        } else if (here == best[(i + 1) * columns + j]) {
            pairs.push_back({i++, {}});
        } else {
            pairs.push_back({{}, j++});
        }
    }
    for (; i < a_count; ++i)
        pairs.push_back({i, {}});
    for (; j < b_count; ++j)
        pairs.push_back({{}, j});
    return pairs;
}

} // namespace fettle
