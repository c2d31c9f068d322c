// Learns a kiln from its logs: least squares over what its model predicts and what was read, for
// the heat capacity of what stands in it, its loss, its power and, where something else than the
// sensor itself tells, the sensor's offset.
//
// Each log is replayed: its schedule by a controller, with the kiln as it is guessed, and the guess
// is bettered until the readings differ least (Levenberg and Marquardt). What the controller could
// do with ease tells nothing; climbs at full power and falls left to the kiln tell most. The
// lining's and the ware's own heat capacity set the scale, so a wrong lining makes all else wrong
// by as much.
#pragma once

#include "runtime/heatwork/heat_work.h"
#include "runtime/kiln/simulate.h"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace fettle {

enum class KilnParameter : std::uint8_t { heat_capacity, heat_loss, power, sensor_offset };
inline constexpr std::size_t kiln_parameters = 4;

// A firing and what was read of it.
struct CalibrationLog {
    Schedule schedule;
    WareModel ware;
    std::vector<double> time_s;       // rising; of the log's own clock
    std::vector<double> read_c;       // by the sensor that the controller goes by
    std::vector<double> true_c;       // by a second sensor that is trusted; empty: there is none
    std::optional<double> cone;       // ConeReading::position of a cone beside the sensor
    std::optional<double> supplied_j; // by the meter
};

struct FittedParameter {
    KilnParameter parameter = KilnParameter::heat_capacity;
    bool fitted = false; // false: kept as it was, as nothing tells it
    double before = 0;   // J/K, W/K (at 1000 C), W, K
    double value = 0;
    double standard_error = 0; // of `value`
    // Whether the logs tell it to within a third (an offset: to within 10 K).
    bool determined = false;
};

struct LogFit {
    double shift_s = 0; // how much later the log begins than the schedule
    double rms_before_k = 0, rms_after_k = 0;
    std::optional<double> rms_held_out_k; // by a kiln learned from the other logs alone
    // Reading less prediction after the fit, over the time of the schedule.
    std::vector<std::pair<double, double>> residuals;
};

enum class CalibrationEnd : std::uint8_t {
    fitted,
    no_logs,
    too_short,      // a log with too few readings within its schedule
    another_firing, // a log that has nothing to do with its schedule, whatever the kiln
    bad_model,      // check_kiln_model says why
};

struct Calibration {
    CalibrationEnd end = CalibrationEnd::no_logs;
    std::size_t log = 0; // that the end is about
    std::vector<KilnProblem> problems;
    std::array<FittedParameter, kiln_parameters> parameters;
    // Pairs that the logs can't tell apart: their errors go together.
    std::vector<std::pair<KilnParameter, KilnParameter>> confused;
    std::vector<LogFit> logs;
    double rms_before_k = 0, rms_after_k = 0;
    KilnModel model; // as learned, with the ware of `kiln`
};

// `kiln` is the first guess.
Calibration calibrate(const KilnModel& kiln, const std::vector<CalibrationLog>& logs,
                      const ConeScale& cones);

// What the figures of a profile are for a model: its heat capacity without ware, its loss at 1000 C
// for each degree above the room, its power, its sensor's offset.
std::array<double, kiln_parameters> profile_figures(const KilnModel& model);

} // namespace fettle
