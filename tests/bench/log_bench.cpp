// Logs: reading (megabytes a second and rows a second) beside a plain newline scan, a whole
// judgement, and the thermocouple functions.
#include "runtime/log/correct.h"
#include "runtime/log/judge.h"
#include "runtime/log/log_curve.h"
#include "runtime/log/read_log.h"
#include "tests/heatwork/standard_cones.h"

#include <benchmark/benchmark.h>

#include <cstdio>
#include <cstring>
#include <string>

namespace fettle {
namespace {

// A day's firing, logged so often that it has this many rows.
std::string log_of(std::size_t rows, bool dated) {
    std::string text = dated ? "time,kiln_c,shelf_c\n" : "seconds,kiln_c,shelf_c\n";
    char line[96];
    for (std::size_t i = 0; i < rows; ++i) {
        const double second = 86400.0 * static_cast<double>(i) / static_cast<double>(rows);
        const double celsius = 20 + 1200 * second / 86400;
        const auto whole = static_cast<unsigned>(second);
        if (dated)
            std::snprintf(line, sizeof line, "2026-03-07T%02u:%02u:%06.3f,%.1f,%.1f\n",
                          whole / 3600, whole / 60 % 60, second - whole / 60 * 60, celsius,
                          celsius - 8);
        else
            std::snprintf(line, sizeof line, "%.3f,%.1f,%.1f\n", second, celsius, celsius - 8);
        text += line;
    }
    return text;
}

void read(benchmark::State& state, bool dated) {
    const auto rows = static_cast<std::size_t>(state.range(0));
    const std::string text = log_of(rows, dated);
    for (auto _ : state) {
        LogReader reader;
        for (std::size_t at = 0; at < text.size(); at += 1 << 20)
            reader.feed(std::string_view(text).substr(at, 1 << 20));
        const LogReading reading = reader.finish();
        if (reading.rows != rows)
            state.SkipWithError("rows were lost");
        benchmark::DoNotOptimize(curve_of(reading, 0));
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * text.size()));
    state.SetItemsProcessed(static_cast<std::int64_t>(state.iterations() * rows));
}

void plain_numbers(benchmark::State& state) {
    read(state, false);
}
void dates(benchmark::State& state) {
    read(state, true);
}

// From the text of a log to its judgement, with a cone read and next time's top: to be held against
// the reading alone.
void judged(benchmark::State& state) {
    const auto rows = static_cast<std::size_t>(state.range(0));
    const std::string text = log_of(rows, false);
    Schedule schedule;
    schedule.phases = {{"up", "", ""}};
    schedule.states = {{}};
    Segment climb;
    climb.from_c = 20;
    climb.to_c = 1215;
    climb.duration_s = 86000;
    schedule.segments = {climb};
    const std::vector<AcceptanceItem> items = {{AcceptanceKind::peak, 1215, 6, ""},
                                               {AcceptanceKind::witness, 6, 0, "bottom"}};
    const std::vector<WitnessReading> cones = {{6, ConeLook::bending, "bottom"}};
    const std::vector<ConeLookWork> looks = {{ConeLook::bending, 0.25, 0.6, 0.95}};
    for (auto _ : state) {
        const LogReading reading = read_log(text);
        const Judgement answer =
            judge({&schedule, &reading, 0, &shelf_cones(), items, cones, looks});
        benchmark::DoNotOptimize(
            correct(answer, schedule, shelf_cones(), 6, answer.shelves.front().best_k, true));
    }
    state.SetItemsProcessed(static_cast<std::int64_t>(state.iterations() * rows));
}

void newline_scan(benchmark::State& state) {
    const std::string text = log_of(static_cast<std::size_t>(state.range(0)), false);
    for (auto _ : state) {
        std::size_t lines = 0;
        for (const char* at = text.data(); at != text.data() + text.size(); ++lines)
            at = static_cast<const char*>(std::memchr(
                     at, '\n', static_cast<std::size_t>(text.data() + text.size() - at))) +
                 1;
        benchmark::DoNotOptimize(lines);
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * text.size()));
}

void millivolts_to_degrees(benchmark::State& state) {
    double mv = 1, near = 20;
    for (auto _ : state) {
        mv = mv > 50 ? 1 : mv + 0.001;
        near = *celsius_from_millivolts(ThermocoupleType::k, mv, near);
        benchmark::DoNotOptimize(near);
    }
}

BENCHMARK(newline_scan)->Arg(1000000)->Unit(benchmark::kMillisecond);
BENCHMARK(plain_numbers)->Arg(1000000)->Arg(10000000)->Unit(benchmark::kMillisecond);
BENCHMARK(dates)->Arg(1000000)->Arg(10000000)->Unit(benchmark::kMillisecond);
BENCHMARK(judged)->Arg(1000)->Arg(1000000)->Arg(10000000)->Unit(benchmark::kMillisecond);
BENCHMARK(millivolts_to_degrees);

} // namespace
} // namespace fettle

BENCHMARK_MAIN();
