#include "runtime/log/witness.h"

#include "runtime/heatwork/root.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double farthest_k = 200;

const ConeLookWork* find(std::span<const ConeLookWork> looks, ConeLook look) {
    for (const ConeLookWork& row : looks) {
        if (row.look == look)
            return &row;
    }
    return nullptr;
}

// All of its cones together: the shifts that every one of them allows.
void bound(ShelfHeat& shelf, std::span<const ConeLookWork> looks, const LogCurve& curve,
           const ConeScale& scale) {
    double typical_sum = 0;
    std::size_t typical_count = 0;
    bool touching = false;
    for (const WitnessReading& reading : shelf.readings) {
        const ConeKinetics* cone = scale.find(reading.cone);
        const ConeLookWork* row = find(looks, reading.look);
        if (cone == nullptr || row == nullptr)
            continue;
        shelf.known = true;
        if (row->least > 0) {
            const double low = shift_for_work(*cone, curve, row->least);
            shelf.low_k = std::max(shelf.low_k.value_or(low), low);
        }
        if (std::isfinite(row->most)) {
            const double high = shift_for_work(*cone, curve, row->most);
            shelf.high_k = std::min(shelf.high_k.value_or(high), high);
        }
        // What touches or bends tells most: what stands or lies tells only a side.
        const bool tells = reading.look == ConeLook::touching || reading.look == ConeLook::bending;
        if (!tells || (touching && reading.look != ConeLook::touching))
            continue;
        if (reading.look == ConeLook::touching && !touching) {
            touching = true;
            typical_sum = 0;
            typical_count = 0;
        }
        typical_sum += shift_for_work(*cone, curve, row->typical);
        ++typical_count;
    }
    if (typical_count > 0)
        shelf.best_k = typical_sum / static_cast<double>(typical_count);
    else if (shelf.low_k && shelf.high_k)
        shelf.best_k = (*shelf.low_k + *shelf.high_k) / 2;
    else
        shelf.best_k =
            std::clamp(0.0, shelf.low_k.value_or(-farthest_k), shelf.high_k.value_or(farthest_k));
    if (shelf.low_k && shelf.best_k < *shelf.low_k)
        shelf.best_k = *shelf.low_k;
    if (shelf.high_k && shelf.best_k > *shelf.high_k)
        shelf.best_k = *shelf.high_k;
    // Cones of one shelf may differ by a couple of degrees without anyone being wrong.
    shelf.contradictory = shelf.low_k && shelf.high_k && *shelf.low_k > *shelf.high_k + 2;
}

// Steps on the scale from its first cone.
double rank_of(std::size_t index, const ConeScale& scale) {
    const auto is_half = [&](std::size_t i) {
        return scale.cones[i].cone != std::round(scale.cones[i].cone);
    };
    double rank = 0;
    for (std::size_t i = 1; i <= index; ++i)
        rank += is_half(i) || is_half(i - 1) ? 0.5 : 1;
    return rank;
}

} // namespace

double cones_past(const ConeReading& reading, double cone, const ConeScale& scale) {
    std::size_t index = 0;
    while (index + 1 < scale.cones.size() && scale.cones[index].cone < cone)
        ++index;
    double rank = -1 + reading.fraction_to_next;
    if (reading.complete) {
        rank = rank_of(*reading.complete, scale);
        if (reading.next)
            rank += reading.fraction_to_next * (rank_of(*reading.next, scale) - rank);
    }
    return rank - rank_of(index, scale);
}

double shift_for_work(const ConeKinetics& cone, const LogCurve& curve, double wanted) {
    const auto miss = [&](double shift) { return work(cone, stretches_of(curve, shift)) - wanted; };
    const double low = miss(-farthest_k), high = miss(farthest_k);
    if (low >= 0)
        return -farthest_k;
    if (high <= 0)
        return farthest_k;
    // In the logarithm the function is nearly straight.
    const auto log_miss = [&](double shift) {
        return std::log(std::max(1e-30, (miss(shift) + wanted) / wanted));
    };
    return root_of_rising(log_miss, -farthest_k, log_miss(-farthest_k), farthest_k,
                          log_miss(farthest_k), 0.01);
}

std::vector<ShelfHeat> shelf_heats(std::span<const WitnessReading> readings,
                                   std::span<const ConeLookWork> looks, const LogCurve& curve,
                                   const ConeScale& scale) {
    std::vector<ShelfHeat> shelves;
    for (const WitnessReading& reading : readings) {
        auto at = std::find_if(shelves.begin(), shelves.end(), [&](const ShelfHeat& shelf) {
            return shelf.shelf == reading.shelf;
        });
        if (at == shelves.end())
            at = shelves.insert(shelves.end(), ShelfHeat{.shelf = reading.shelf});
        at->readings.push_back(reading);
    }
    for (ShelfHeat& shelf : shelves) {
        bound(shelf, looks, curve, scale);
        if (shelf.known)
            shelf.heat = cone_reached(scale, stretches_of(curve, shelf.best_k));
    }
    return shelves;
}

} // namespace fettle
