// The same firing many times, with what differs from one to the next: the sensor within its class,
// the mains, the load, the temperature at the start. Several firings run in the lanes of a vector,
// and give what `simulate` gives for each of them.
//
// Seeded, and the same for any number of threads: the chances of the n-th run depend on the seed
// and n alone.
#pragma once

#include "runtime/heatwork/heat_work.h"
#include "runtime/kiln/simulate.h"

#include <cstdint>
#include <functional>
#include <vector>

namespace fettle {

// What differs. Shares are of the value itself.
struct RunVariation {
    // The mains: standard deviation of the voltage; the power of elements goes with its square.
    // 2.5 % is common practice (EN 50160 allows 10 % either way).
    double mains_share = 0.025;
    double load_share = 0.15; // standard deviation of the ware's mass
    double start_k = 4;       // standard deviation of the temperature of room and kiln at the start
    // The sensor reads off by anything up to this, either way, all as likely: larger of a
    // difference and a share of the temperature (IEC 60584-1, by class).
    double sensor_k = 0;
    double sensor_share = 0;
};

struct OneRun {
    double mains = 1, load = 1, start_k = 0, sensor_error = 0; // what was drawn
    FiringEnd end = FiringEnd::done;
    double duration_s = 0; // to the end of the last segment that is fired
    double peak_c = 0;     // of the chamber
    double supplied_j = 0;
    double cone = 0; // ConeReading::position where the sensor is
};

// Cells of the lining of these runs: fewer than elsewhere, as what is varied matters far more.
inline constexpr std::size_t cells_of_many_runs = 14;

struct ManyRuns {
    double step_s = 0; // of all of them
    StepMethod method = StepMethod::explicit_fourth;
    std::vector<KilnProblem> problems; // then there are no runs
    std::vector<OneRun> runs;          // in their order

    // The value below which a share of the runs lies, of those that came to their end.
    double quantile(double OneRun::*value, double share) const;
    std::size_t stopped() const; // runs that never came to their end
};

// What the n-th run draws.
OneRun drawn_run(const RunVariation& variation, std::uint64_t seed, std::uint64_t n);
// The kiln of a run.
KilnModel varied(const KilnModel& model, const RunVariation& variation, const OneRun& run);

// `in_parallel(n, work)` is to call work(0) … work(n − 1), on as many threads as it likes.
using InParallel = std::function<void(std::size_t, const std::function<void(std::size_t)>&)>;
void one_after_the_other(std::size_t n, const std::function<void(std::size_t)>& work);

ManyRuns simulate_many(const Schedule& schedule, const KilnModel& model, const ConeScale& cones,
                       const RunVariation& variation, std::size_t count, std::uint64_t seed,
                       const InParallel& in_parallel = one_after_the_other);

} // namespace fettle
