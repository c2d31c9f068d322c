#include "compiler/target/split.h"

#include "compiler/target/rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace fettle {

namespace {

bool is_fall_by_itself(const Stretch& stretch, const Abilities& can) {
    return stretch.kind == SegmentKind::opened ||
           (stretch.kind == SegmentKind::free && can_fall_freely(can) == FreeFall::impossible);
}

std::string words_for(const Stretch& fall, Scale scale) {
    const std::string to = print_temperature(fall.to_c, scale, 0);
    return fall.kind == SegmentKind::opened
               ? fmt::format("The program has ended: open the kiln as the firing asks, wait until "
                             "it is at {}, shut it, then start the next one",
                             to)
               : fmt::format("The program has ended: wait until the kiln has fallen to {} by "
                             "itself, then start the next one",
                             to);
}

} // namespace

std::vector<Part> parts_between_falls(const std::vector<Stretch>& stretches, const Abilities& can) {
    std::vector<Part> parts;
    std::optional<Part::Fall> fall;
    bool open = false; // the last part may be added to
    for (const Stretch& stretch : stretches) {
        if (is_fall_by_itself(stretch, can)) {
            fall = Part::Fall{words_for(stretch, can.scale)};
            open = false;
            continue;
        }
        if (!open) {
            const bool is_first = parts.empty();
            parts.emplace_back().before = is_first ? std::nullopt : fall;
            open = true;
        }
        parts.back().stretches.push_back(stretch);
    }
    return parts;
}

std::vector<std::size_t> program_ends(const std::vector<StepRow>& rows, std::uint32_t max_rows) {
    if (rows.size() <= max_rows) {
        return {rows.size()};
    }
    double peak = -std::numeric_limits<double>::infinity();
    for (const StepRow& row : rows) {
        peak = std::max(peak, row.target);
    }
    // best[n]: for the first n rows.
    struct Best {
        std::size_t programs = std::numeric_limits<std::size_t>::max();
        double ends_at = 0; // sum of where the programs end
        std::size_t before = 0;
    };
    std::vector<Best> best(rows.size() + 1);
    best[0] = {0, 0, 0};
    for (std::size_t n = 1; n <= rows.size(); ++n) {
        const bool is_last = n == rows.size();
        // The peak is not left before its soak is over.
        if (!is_last && rows[n - 1].target >= peak && rows[n].target >= peak) {
            continue;
        }
        const bool climbs_to_peak = !is_last && rows[n].target >= peak;
        const double costs = is_last ? 0 : rows[n - 1].target + (climbs_to_peak ? 1e6 : 0);
        for (std::size_t before = n > max_rows ? n - max_rows : 0; before < n; ++before) {
            if (best[before].programs == std::numeric_limits<std::size_t>::max()) {
                continue;
            }
            const Best candidate{best[before].programs + 1, best[before].ends_at + costs, before};
            if (candidate.programs < best[n].programs ||
                (candidate.programs == best[n].programs && candidate.ends_at < best[n].ends_at)) {
                best[n] = candidate;
            }
        }
    }
    if (best[rows.size()].programs == std::numeric_limits<std::size_t>::max()) {
        return {};
    }
    std::vector<std::size_t> ends;
    for (std::size_t n = rows.size(); n > 0; n = best[n].before) {
        ends.push_back(n);
    }
    std::reverse(ends.begin(), ends.end());
    return ends;
}

} // namespace fettle
