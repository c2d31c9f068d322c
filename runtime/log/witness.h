// Witness cones, as they were read after the firing, against the log.
//
// A cone bends as its heat work adds up, so what it looks like tells how much heat work it had. The
// temperature that the sensor would have had to show for it, less what it did show, is how much
// hotter the shelf was than the sensor read. Several cones on a shelf narrow that down. The cones
// outrank the sensor: they stood beside the ware.
#pragma once

#include "runtime/log/log_curve.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace fettle {

enum class ConeLook : std::uint8_t { standing, bending, touching, flat };

// How much heat work a cone has had that looks so, 1 being complete. `most` may be infinite.
// Figures are data of the standard library (data/cone_readings.csv).
struct ConeLookWork {
    ConeLook look = ConeLook::standing;
    double least = 0;
    double typical = 0;
    double most = 0;
};

struct WitnessReading {
    double cone = 0;
    ConeLook look = ConeLook::standing;
    std::string shelf; // empty: somewhere in the kiln
};

// A shelf by its cones.
struct ShelfHeat {
    std::string shelf;
    std::vector<WitnessReading> readings;
    // The shelf was hotter by this many kelvin than the sensor read: at least, best, at most.
    // Nothing: the cones set no bound on that side.
    std::optional<double> low_k, high_k;
    double best_k = 0;
    bool known = false;         // something can be said at all
    bool contradictory = false; // no one temperature makes all its cones look so
    ConeReading heat;           // of the shelf's curve: the log's, shifted by best_k
};

// One for each shelf, in the order of the readings. A cone that is not on the scale says nothing.
std::vector<ShelfHeat> shelf_heats(std::span<const WitnessReading> readings,
                                   std::span<const ConeLookWork> looks, const LogCurve& curve,
                                   const ConeScale& scale);

// By how many cones a firing is past one of the scale (below 0: short of it). Between 5 and 5½ lies
// half a cone, between all others a whole one.
double cones_past(const ConeReading& reading, double cone, const ConeScale& scale);

// The shift of a whole curve at which the heat work of a cone is as much; kelvin, held to ±200.
double shift_for_work(const ConeKinetics& cone, const LogCurve& curve, double work);

} // namespace fettle
