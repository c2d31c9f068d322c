// Speed of the outputs and of the questions to the curve.
#include "compiler/output/class_card.h"
#include "compiler/output/firing_card.h"
#include "compiler/output/json.h"
#include "compiler/output/writing_sheet.h"
#include "runtime/schedule/curve.h"
#include "tests/output/sample.h"

#include <benchmark/benchmark.h>

namespace fettle {
namespace {

// A firing of `count` segments in four phases, such as a template gives. `trail` lines each.
sample::FiringPtr usual_firing(int count) {
    auto firing = sample::bisque();
    const Schedule of_bisque = firing->schedule;
    auto& segments = firing->schedule.segments;
    segments.clear();
    for (int i = 0; i < count; ++i) {
        Segment segment = of_bisque.segments[static_cast<std::size_t>(i) % 7];
        segment.from_c = segments.empty() ? 20 : segments.back().to_c;
        segments.push_back(segment);
    }
    return firing;
}

// 10 000 firings into one text, compact: the time that counts is of the whole loop.
void json_of_firings(benchmark::State& state) {
    const auto firing = usual_firing(15);
    std::string text;
    for (auto _ : state) {
        text.clear();
        for (int i = 0; i < state.range(0); ++i) {
            append_json(text, firing->document, JsonLayout::compact);
        }
        benchmark::DoNotOptimize(text.data());
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(text.size()) *
                            static_cast<std::int64_t>(state.iterations()));
    state.counters["bytes each"] =
        static_cast<double>(text.size()) / static_cast<double>(state.range(0));
}
BENCHMARK(json_of_firings)->Arg(100)->Arg(10000)->Unit(benchmark::kMillisecond);

// The same bytes copied: what memory alone allows.
void copy_of_the_same_json(benchmark::State& state) {
    const auto firing = usual_firing(15);
    std::string all;
    for (int i = 0; i < state.range(0); ++i) {
        append_json(all, firing->document, JsonLayout::compact);
    }
    std::string text;
    for (auto _ : state) {
        text.clear();
        text.append(all);
        benchmark::DoNotOptimize(text.data());
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(all.size()) *
                            static_cast<std::int64_t>(state.iterations()));
}
BENCHMARK(copy_of_the_same_json)->Arg(10000)->Unit(benchmark::kMillisecond);

void json_indented(benchmark::State& state) {
    const auto firing = usual_firing(static_cast<int>(state.range(0)));
    std::size_t bytes = 0;
    for (auto _ : state) {
        const std::string text = json(firing->document, JsonLayout::indented);
        bytes = text.size();
        benchmark::DoNotOptimize(text.data());
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(bytes) *
                            static_cast<std::int64_t>(state.iterations()));
}
BENCHMARK(json_indented)->Arg(15)->Arg(10000)->Unit(benchmark::kMicrosecond);

// Each page of a firing of 15 segments, and of many.
void page_of(benchmark::State& state,
             void (*append)(std::string&, const FiringDocument&, const OutputOptions&)) {
    const auto firing = usual_firing(static_cast<int>(state.range(0)));
    std::string html;
    for (auto _ : state) {
        html.clear();
        append(html, firing->document, {});
        benchmark::DoNotOptimize(html.data());
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(html.size()) *
                            static_cast<std::int64_t>(state.iterations()));
}
BENCHMARK_CAPTURE(page_of, card, append_firing_card)
    ->Arg(15)
    ->Arg(150)
    ->Arg(1500)
    ->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(page_of, class_card, append_class_card)->Arg(15)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(page_of, writing, append_writing_sheet)->Arg(15)->Unit(benchmark::kMicrosecond);

// Two questions for each of thirty rules over a firing of twenty segments.
void questions_of_thirty_rules(benchmark::State& state) {
    const auto firing = usual_firing(20);
    const auto naming = state.range(0) == 1 ? Naming::yes : Naming::no;
    for (auto _ : state) {
        const Curve curve(firing->schedule, Estimates::use, naming);
        for (int rule = 0; rule < 30; ++rule) {
            const double low = 30.0 * rule, high = low + 100;
            benchmark::DoNotOptimize(curve.fastest_rise(low, high));
            benchmark::DoNotOptimize(curve.time_rising_between(low, high));
        }
    }
}
BENCHMARK(questions_of_thirty_rules)
    ->ArgName("naming")
    ->Arg(0)
    ->Arg(1)
    ->Unit(benchmark::kMicrosecond);

} // namespace
} // namespace fettle

BENCHMARK_MAIN();
