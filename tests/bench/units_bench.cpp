// Speed of reading and printing quantities: every literal of a source goes through here once, every
// number of the JSON once.
#include "compiler/units/quantity.h"
#include "compiler/units/unit_table.h"

#include <benchmark/benchmark.h>

#include <string>

namespace {

void parse_literal(benchmark::State& state, const char* text) {
    std::string_view literal = text;
    for (auto _ : state) {
        benchmark::DoNotOptimize(literal);
        benchmark::DoNotOptimize(fettle::parse_quantity(literal));
    }
    state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(literal.size()));
}

void print_literal(benchmark::State& state, const char* text) {
    auto quantity = std::get<fettle::Quantity>(fettle::parse_quantity(text));
    for (auto _ : state) {
        benchmark::DoNotOptimize(quantity);
        benchmark::DoNotOptimize(fettle::print(quantity));
    }
}

void print_computed(benchmark::State& state) {
    double value = 1.0 / 3;
    for (auto _ : state) {
        benchmark::DoNotOptimize(value);
        benchmark::DoNotOptimize(fettle::print_number(value));
    }
}

void print_duration(benchmark::State& state) {
    double seconds = 62400;
    for (auto _ : state) {
        benchmark::DoNotOptimize(seconds);
        benchmark::DoNotOptimize(fettle::print_duration(seconds));
    }
}

void parse_cone(benchmark::State& state) {
    std::string_view name = "05½";
    for (auto _ : state) {
        benchmark::DoNotOptimize(name);
        benchmark::DoNotOptimize(fettle::parse_cone(name));
    }
}

void multiply(benchmark::State& state) {
    fettle::Dimension a = fettle::dimension::rate;
    fettle::Dimension b = fettle::dimension::duration;
    for (auto _ : state) {
        benchmark::DoNotOptimize(a);
        benchmark::DoNotOptimize(b);
        benchmark::DoNotOptimize(fettle::multiply(a, b));
    }
}

BENCHMARK_CAPTURE(parse_literal, number, "12.5");
BENCHMARK_CAPTURE(parse_literal, temperature, "600C");
BENCHMARK_CAPTURE(parse_literal, fahrenheit, "1112F");
BENCHMARK_CAPTURE(parse_literal, rate, "100C/h");
BENCHMARK_CAPTURE(parse_literal, length, "2.5cm");
BENCHMARK_CAPTURE(parse_literal, density, "2600kg/metre3");
BENCHMARK_CAPTURE(parse_literal, parts, "1h30m");
BENCHMARK_CAPTURE(parse_literal, not_in_the_table, "2kg/metre2");
BENCHMARK_CAPTURE(parse_literal, many_digits, "600.1234567890123456C");
BENCHMARK_CAPTURE(parse_literal, mistake, "9KW");
BENCHMARK_CAPTURE(print_literal, temperature, "600C");
BENCHMARK_CAPTURE(print_literal, decimals, "573.46C");
BENCHMARK_CAPTURE(print_literal, rate, "180F/h");
BENCHMARK_CAPTURE(print_literal, parts, "1h30m");
BENCHMARK(print_computed);
BENCHMARK(print_duration);
BENCHMARK(parse_cone);
BENCHMARK(multiply);

} // namespace

BENCHMARK_MAIN();
