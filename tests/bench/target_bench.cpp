// The table of a controller: simplifying a long curve, and a whole table of a usual firing. Beside
// them what can't be undercut: looking at each pair of corners once.
#include "compiler/output/json.h"
#include "compiler/proof/read_json.h"
#include "compiler/target/make_steps.h"
#include "compiler/target/simplify.h"

#include <benchmark/benchmark.h>
#include <cmath>
#include <random>

namespace {

using namespace fettle;

// A firing of many small climbs, as a logged curve has: no two alike, so nothing merges.
std::vector<Corner> corners(std::size_t count) {
    std::mt19937 random(1);
    std::normal_distribution<double> noise(0, 2);
    std::vector<Corner> all;
    for (std::size_t i = 0; i <= count; ++i) {
        const double share = static_cast<double>(i) / static_cast<double>(count);
        all.push_back(
            {share * 14 * 3600, 20 + 1200 * std::sin(share * 2.4) + noise(random), false});
    }
    all.front().stays = all.back().stays = true;
    return all;
}

void BM_simplify_into_16(benchmark::State& state) {
    const auto all = corners(static_cast<std::size_t>(state.range(0)));
    for (auto _ : state) {
        benchmark::DoNotOptimize(simplify(all, {}, 16, 1e4));
    }
    state.SetComplexityN(state.range(0));
}
BENCHMARK(BM_simplify_into_16)
    ->RangeMultiplier(2)
    ->Range(125, 4000)
    ->Unit(benchmark::kMillisecond)
    ->Complexity(benchmark::oNSquared);

void BM_each_pair_once(benchmark::State& state) {
    const auto all = corners(static_cast<std::size_t>(state.range(0)));
    for (auto _ : state) {
        double sum = 0;
        for (std::size_t i = 0; i < all.size(); ++i) {
            for (std::size_t j = i + 1; j < all.size(); ++j) {
                sum +=
                    (all[j].temperature_c - all[i].temperature_c) / (all[j].time_s - all[i].time_s);
            }
        }
        benchmark::DoNotOptimize(sum);
    }
}
BENCHMARK(BM_each_pair_once)->Arg(1000)->Unit(benchmark::kMillisecond);

// The largest firing there may be, into a small pad.
void BM_10000_segments_into_8(benchmark::State& state) {
    const auto all = corners(10'000);
    for (auto _ : state) {
        benchmark::DoNotOptimize(simplify(all, {}, 8, 1e4));
    }
}
BENCHMARK(BM_10000_segments_into_8)->Unit(benchmark::kMillisecond)->Iterations(1);

Schedule usual() {
    Schedule schedule;
    schedule.phases = {{"all", "", ""}};
    schedule.states.resize(1);
    double at_c = 20;
    for (int i = 0; i < 14; ++i) {
        Segment& segment = schedule.segments.emplace_back();
        segment.from_c = at_c;
        segment.kind = i % 3 == 2 ? SegmentKind::soak : SegmentKind::ramp;
        segment.to_c = at_c += i % 3 == 2 ? 0 : 110.3;
        segment.duration_s = 3600;
        segment.notes = {"Common practice: an hour or so, until the mirror stays clear."};
    }
    return schedule;
}

void BM_table(benchmark::State& state) {
    const Schedule schedule = usual();
    const Abilities can{.form = static_cast<StepForm>(state.range(0))};
    for (auto _ : state) {
        KeptTexts kept;
        StepsOptions options;
        options.firing = "mugs";
        benchmark::DoNotOptimize(make_steps(schedule, can, options, kept));
    }
}
BENCHMARK(BM_table)->DenseRange(0, 2);

void BM_read_json_back(benchmark::State& state) {
    const Schedule schedule = usual();
    FiringDocument document;
    document.name = "mugs";
    document.schedule = &schedule;
    const std::string text = json(document, JsonLayout::compact);
    for (auto _ : state) {
        benchmark::DoNotOptimize(difference_of_json(text, schedule, nullptr));
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(text.size()) *
                            static_cast<std::int64_t>(state.iterations()));
}
BENCHMARK(BM_read_json_back);

void BM_write_json(benchmark::State& state) {
    const Schedule schedule = usual();
    FiringDocument document;
    document.name = "mugs";
    document.schedule = &schedule;
    std::string text;
    for (auto _ : state) {
        text.clear();
        append_json(text, document, JsonLayout::compact);
        benchmark::DoNotOptimize(text.data());
    }
}
BENCHMARK(BM_write_json);

} // namespace

BENCHMARK_MAIN();
