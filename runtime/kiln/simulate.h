// What a kiln will really do with a schedule: the curve and its lag behind what is asked, the
// hours, where the heat goes, what the kiln can't follow, and how it cools.
//
// The schedule is followed as a controller would: its clock runs on whether the kiln keeps up or
// not, except in soaks that wait; `full` gives all the power until the temperature is read, `free`
// and `opened` give none. The delay before the first segment is left out: time 0 is its start.
#pragma once

#include "runtime/heatwork/heat_work.h"
#include "runtime/kiln/kiln_model.h"
#include "runtime/schedule/schedule.h"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace fettle {

enum class StepMethod : std::uint8_t { by_stability, explicit_fourth, implicit_second };

struct SimulateOptions {
    std::size_t lining_cells = 20;
    StepMethod method = StepMethod::by_stability;
    double step_s = 0;      // 0: as long as is stable and exact enough
    double sample_s = 60;   // between points of the curve
    double cool_to_c = 45;  // where the natural cooling after the last segment is left
    bool cool_down = true;  // whether it is followed at all
    bool keep_curve = true; // else Prediction::curve stays empty
};

struct PredictedPoint {
    double time_s = 0;
    std::optional<double> asked_c; // nothing: the kiln is left to itself
    double kiln_c = 0;             // what the chamber is
    double read_c = 0;             // what the sensor says
    double ware_c = 0;             // the mean of its wall
    double power_share = 0;        // 0 to 1
};

struct SegmentPrediction {
    double begin_s = 0, end_s = 0;
    double end_read_c = 0;
    double waited_s = 0;         // that the clock was held
    double behind_k = 0;         // largest lag of the reading behind what is asked, > 0 too cold
    double ahead_k = 0;          // largest the other way (a fall that is asked too fast)
    double behind_at_end_k = 0;  // signed: above 0 too cold
    double ware_lag_k = 0;       // largest difference of ware and chamber, either way
    double full_power_s = 0;     // time without any power to spare
    double no_power_s = 0;       // time without any power
    double supplied_j = 0;       // from the socket or the fuel
    double steepest_k_per_h = 0; // of the reading, over a quarter of an hour, in its own direction
    double fell_behind_at_c = 0; // asked, when it first was `noticeable_k` behind or ahead
    bool fell_behind = false;
};
inline constexpr double noticeable_k = 5;

// Where the heat has gone by the end of the last segment that is fired.
struct HeatBalance {
    double time_s = 0;     // when it is drawn up
    double supplied_j = 0; // from the socket or the fuel
    double lost_j = 0;     // to the room and up the flue
    double ware_j = 0, chamber_j = 0, lining_j = 0;
    double changes_j = 0; // water, chemical water, lime
    // What is left over, as a share of what was supplied.
    double gap() const {
        const double rest = supplied_j - lost_j - ware_j - chamber_j - lining_j - changes_j;
        return supplied_j > 0 ? rest / supplied_j : 0;
    }
};

enum class FiringEnd : std::uint8_t {
    done,
    never_reaches, // a `full` climb or a waiting soak whose temperature it never makes
    never_cools,   // a fall left to the kiln that stops short
    bad_model,     // check_kiln_model says why
};

struct Prediction {
    FiringEnd end = FiringEnd::done;
    std::vector<KilnProblem> problems; // of bad_model
    std::uint32_t stopped_in = 0;      // segment, of never_…
    double stopped_at_c = 0;

    std::vector<PredictedPoint> curve; // with the natural cooling
    std::vector<SegmentPrediction> segments;
    double duration_s = 0;  // to the end of the last segment
    double peak_c = 0;      // of the chamber
    double peak_read_c = 0; // of the sensor
    double ware_peak_c = 0; // of the ware
    double supplied_j = 0;  // to the end
    HeatBalance balance;
    double step_s = 0; // that was chosen
    StepMethod method = StepMethod::explicit_fourth;

    // When chamber and ware are both at or below a temperature for good; nothing: not within the
    // curve.
    std::optional<double> cooled_to_s(double temperature_c) const;
    // Temperature of the chamber at a time.
    std::optional<double> kiln_at_c(double time_s) const;
};

Prediction simulate(const Schedule& schedule, const KilnModel& model,
                    const SimulateOptions& options = {});

// The heat work of a predicted curve, at a place so much hotter than the sensor's.
ConeReading predicted_cone(const ConeScale& scale, const Prediction& prediction,
                           double difference_k = 0);

} // namespace fettle
