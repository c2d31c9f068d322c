#include "runtime/kiln/many_runs.h"

#include "runtime/kiln/firing_run.h"

#include <algorithm>
#include <array>
#include <memory>

namespace fettle {
namespace {

// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014): a stream for each run.
class Chance {
  public:
    Chance(std::uint64_t seed, std::uint64_t n) : state_(seed * 0x9e3779b97f4a7c15ull) {
        state_ ^= (n + 1) * 0xd1342543de82ef95ull;
        next();
    }
    // 0 to 1, both left out.
    double even() { return (static_cast<double>(next() >> 11) + 0.5) * (1.0 / 9007199254740992.0); }
    // Mean 0, standard deviation 1, never beyond 6: the sum of twelve.
    double normal() {
        double sum = -6;
        for (int i = 0; i < 12; ++i)
            sum += even();
        return sum;
    }

  private:
    std::uint64_t next() {
        std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ull);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ull;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebull;
        return z ^ (z >> 31);
    }
    std::uint64_t state_;
};

// What is fired: all up to the last segment that needs the controller, then the kiln shut until no
// cone notices.
struct Fired {
    std::vector<PlannedSegment> segments;
    double top_c = 0;
    bool opened = false; // drawn hot at the end
};
Fired fired_part(const Schedule& schedule) {
    Fired fired{planned_segments(schedule), schedule.start_c, false};
    const auto by_itself = [](const PlannedSegment& segment) {
        return segment.kind == SegmentKind::free || segment.kind == SegmentKind::opened;
    };
    while (!fired.segments.empty() && by_itself(fired.segments.back())) {
        fired.opened = fired.segments.back().kind == SegmentKind::opened;
        fired.segments.pop_back();
    }
    for (const PlannedSegment& segment : fired.segments)
        fired.top_c = std::max(fired.top_c, segment.to_c);
    return fired;
}

constexpr double cone_window_k = 200; // below the top nothing happens to the cones that count
constexpr double cone_sample_s = 60;

// The cones that the firing may come to.
ConeScale cones_about(const ConeScale& cones, double top_c) {
    ConeScale some;
    for (const ConeKinetics& cone : cones.cones) {
        if (cone.hottest_end_c > top_c - cone_window_k && cone.coldest_end_c < top_c + 150)
            some.cones.push_back(cone);
    }
    return some;
}

// Watches a group of runs.
template <class V> class Watching {
  public:
    static constexpr std::size_t lanes = lanes_of<V>;
    Watching(const ConeScale& cones, const Fired& fired) : cones_(cones), fired_(fired) {}

    void begin(std::size_t l, double start_c) {
        to_[l] = {};
        from_[l] = {0, start_c};
        works_[l] = {};
        to_[l].peak_c = start_c;
    }
    void stepped(std::size_t l, const LaneStatus& status, double, const V* y) {
        const double kiln_c = lane(y[state::chamber], l);
        to_[l].peak_c = std::max(to_[l].peak_c, kiln_c);
        if (status.time_s - from_[l].time_s >= cone_sample_s)
            add_work(l, status.time_s, kiln_c);
    }
    void segment_ended(std::size_t l, const LaneStatus& status, const V* y) {
        add_work(l, status.time_s, lane(y[state::chamber], l));
        if (status.segment + 1 < fired_.segments.size())
            return;
        to_[l].duration_s = status.time_s;
    }
    void finish(std::size_t l, const FiringRun<V, Watching>& run, std::size_t supplied,
                OneRun& result) const {
        const LaneStatus& status = run.status(l);
        result.end = status.end;
        result.peak_c = to_[l].peak_c;
        result.duration_s = status.end == FiringEnd::done ? to_[l].duration_s : status.time_s;
        result.supplied_j = lane(run.states()[supplied], l);
        const auto count = cones_.cones.size();
        result.cone = reading_of(cones_, std::span(works_[l].data(), count)).position;
    }

  private:
    void add_work(std::size_t l, double time_s, double kiln_c) {
        const HeatStretch stretch{from_[l].kiln_c, kiln_c, time_s - from_[l].time_s};
        from_[l] = {time_s, kiln_c};
        if (std::max(stretch.from_c, stretch.to_c) < fired_.top_c - cone_window_k)
            return;
        for (std::size_t i = 0; i < cones_.cones.size(); ++i)
            works_[l][i] += work(cones_.cones[i], stretch);
    }

    const ConeScale& cones_;
    const Fired& fired_;
    OneRun to_[lanes];
    struct Instant {
        double time_s, kiln_c;
    } from_[lanes]{};
    std::array<double, max_cones> works_[lanes]{};
};

} // namespace

OneRun drawn_run(const RunVariation& variation, std::uint64_t seed, std::uint64_t n) {
    Chance chance(seed, n);
    OneRun run;
    run.mains = 1 + variation.mains_share * chance.normal();
    run.load = std::max(0.05, 1 + variation.load_share * chance.normal());
    run.start_k = variation.start_k * chance.normal();
    run.sensor_error = 2 * chance.even() - 1;
    return run;
}

KilnModel varied(const KilnModel& model, const RunVariation& variation, const OneRun& run) {
    KilnModel kiln = model;
    const bool electric = std::isinf(model.flame_c);
    kiln.power_w *= electric ? run.mains * run.mains : run.mains;
    kiln.ware.mass_kg *= run.load;
    for (HeatSink& sink : kiln.ware.sinks)
        sink.heat_j *= run.load;
    kiln.ambient_c += run.start_k;
    kiln.sensor_tolerance_k = variation.sensor_k;
    kiln.sensor_tolerance_share = variation.sensor_share;
    kiln.sensor_error = run.sensor_error;
    return kiln;
}

double ManyRuns::quantile(double OneRun::*value, double share) const {
    std::vector<double> values;
    for (const OneRun& run : runs) {
        if (run.end == FiringEnd::done)
            values.push_back(run.*value);
    }
    if (values.empty())
        return std::nan("");
    const auto place =
        static_cast<std::size_t>(std::lround(share * static_cast<double>(values.size() - 1)));
    std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(place),
                     values.end());
    return values[place];
}

std::size_t ManyRuns::stopped() const {
    return static_cast<std::size_t>(std::count_if(
        runs.begin(), runs.end(), [](const OneRun& run) { return run.end != FiringEnd::done; }));
}

void one_after_the_other(std::size_t n, const std::function<void(std::size_t)>& work) {
    for (std::size_t i = 0; i < n; ++i)
        work(i);
}

ManyRuns simulate_many(const Schedule& schedule, const KilnModel& model, const ConeScale& cones,
                       const RunVariation& variation, std::size_t count, std::uint64_t seed,
                       const InParallel& in_parallel) {
    ManyRuns result;
    result.problems = check_kiln_model(model);
    if (!result.problems.empty())
        return result;
    result.runs.resize(count);
    const Fired fired = fired_part(schedule);
    const ConeScale some = cones_about(cones, fired.top_c);
    SimulateOptions options;
    options.lining_cells = cells_of_many_runs;
    // A step for all: the shortest that any of them wants, of which the mains have the largest say.
    const ThermalNet<double> net = thermal_net(model, options.lining_cells);
    Stepping stepping = choose_stepping(net, fired.top_c + 20, false, options);
    stepping.step_s *= 0.95;
    result.step_s = stepping.step_s;
    result.method = stepping.method;
    using Group = FiringRun<Lanes, Watching<Lanes>>;
    in_parallel((count + lane_count - 1) / lane_count, [&](std::size_t group) {
        Watching<Lanes> watching(some, fired);
        const auto run = std::make_unique<Group>(fired.segments, stepping, !fired.opened,
                                                 fired.top_c - cone_window_k, watching);
        std::size_t supplied = 0;
        for (std::size_t l = 0; l < lane_count; ++l) {
            const std::size_t n = std::min(group * lane_count + l, count - 1);
            OneRun& to = result.runs[n];
            const OneRun drawn = drawn_run(variation, seed, n);
            const ThermalNet<double> its =
                thermal_net(varied(model, variation, drawn), options.lining_cells);
            supplied = its.supplied();
            watching.begin(l, schedule.start_c + drawn.start_k);
            run->load(l, its, schedule.start_c + drawn.start_k);
            if (group * lane_count + l >= count) {
                run->leave_idle(l);
            } else {
                to = drawn;
            }
        }
        run->run();
        for (std::size_t l = 0; l < lane_count && group * lane_count + l < count; ++l)
            watching.finish(l, *run, supplied, result.runs[group * lane_count + l]);
    });
    return result;
}

} // namespace fettle
