// From source to a checked program, beside a newline scan of the same text in the same run.
#include "compiler/compiler.h"

#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <cstring>

namespace fettle {
namespace {

constexpr std::size_t ten_megabytes = 10 << 20;

// Templates, phases, functions, profiles and firings over and over; invented.
std::string source_of(std::size_t bytes) {
    std::string text;
    for (int i = 0; text.size() < bytes; ++i) {
        fmt::format_to(std::back_inserter(text), R"(# Part {0} of the clay cellar; invented.
body clay_{0} "A clay for measuring" {{
    kind      stoneware
    bisque    cone 08 to cone 04
    matures   cone 6
    thickness 6mm
    moisture  0.5%
}}

kiln kiln_{0} "A kiln for measuring" {{
    fuel    electric
    volume  180L
    power   9kW
    ceiling 1280C
}}

function gentle_{0}(thickness: Length, rate: Rate = 100C/h) -> Rate =
    rate when thickness <= 10mm otherwise rate * 0.6

phase inversion_{0}(thickness: Length) "Cross 573 degrees" {{
    ramp to 540C at gentle_{0}(thickness)
    ramp to 630C at gentle_{0}(thickness, rate: 60C/h)
}}

template bisque_{0}(body: Body, kiln: Kiln, thickness: Length, hold: Duration = 20m) "Bisque" {{
    phase drying "Dry" {{
        vent open
        ramp to 80C at (60C/h when thickness <= 10mm otherwise 30C/h)
        soak hold * 3
        ramp to 120C at 30C/h
    }}
    phase burnout "Burn out" {{
        follow inversion_{0}(thickness)
        ramp to 900C at 100C/h
        vent closed
    }}
    phase finish {{
        ramp to cone 04 at 60C/h with soak 10m
        note "Held for {{hold}}"
    }}
}}

firing mugs_{0} = bisque_{0}(body: clay_{0}, kiln: kiln_{0}, thickness: 6mm) "Mugs"
firing bowls_{0} = bisque_{0}(body: clay_{0}, kiln: kiln_{0}, thickness: 9mm, hold: 30m) "Bowls"

)",
                       i);
    }
    return text;
}

class OneFile : public SourceProvider {
  public:
    explicit OneFile(const std::string& text) : text_(text) {}
    std::optional<std::string> read(const std::string& path, std::string&) override {
        return path == "big.fettle" ? std::optional<std::string>(text_) : std::nullopt;
    }

  private:
    const std::string& text_;
};

void newline_scan(benchmark::State& state) {
    const std::string text = source_of(static_cast<std::size_t>(state.range(0)));
    for (auto _ : state) {
        std::size_t lines = 0;
        for (const char *at = text.data(), *end = at + text.size(); at != end; ++lines) {
            const void* found = std::memchr(at, '\n', static_cast<std::size_t>(end - at));
            at = found == nullptr ? end : static_cast<const char*>(found) + 1;
        }
        benchmark::DoNotOptimize(lines);
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * text.size()));
}
BENCHMARK(newline_scan)->Arg(ten_megabytes)->Unit(benchmark::kMillisecond);

// Read, parsed, checked, constants and profiles worked out; std.rules with it, as always.
void source_to_checked_program(benchmark::State& state) {
    const std::string text = source_of(static_cast<std::size_t>(state.range(0)));
    OneFile file(text);
    for (auto _ : state) {
        Diagnostics diagnostics;
        const Compilation compilation({"big.fettle"}, file, diagnostics);
        if (diagnostics.has_errors())
            state.SkipWithError("the generated source has errors");
        benchmark::DoNotOptimize(compilation.program().declarations.size());
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * text.size()));
}
BENCHMARK(source_to_checked_program)
    ->Arg(100 << 10)
    ->Arg(1 << 20)
    ->Arg(ten_megabytes)
    ->Unit(benchmark::kMillisecond);

} // namespace
} // namespace fettle

BENCHMARK_MAIN();
