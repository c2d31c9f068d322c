// The whole standard rule set over one firing of 20 segments. Goal: under 100 microseconds.
#include "compiler/compiler.h"
#include "compiler/lowering/rules.h"

#include <benchmark/benchmark.h>

namespace fettle {
namespace {

constexpr const char* program = R"(
use std.bodies (stoneware)
use std.kilns (electric_studio)
glaze ash { fires cone 5 to cone 7; surface gloss }
firing mugs {
    body stoneware
    kiln electric_studio
    glaze ash
    ware { state raw; mass 20kg }
    confirm "Carbon monoxide alarm on"
    phase drying { vent open; ramp to 60C at 40C/h; ramp to 85C at 30C/h; soak 2h; ramp to 120C at 40C/h }
    phase up {
        ramp to 300C at 80C/h; ramp to 540C at 100C/h; soak 10m; ramp to 630C at 80C/h
        ramp to 700C at 100C/h; ramp to 900C at 60C/h; soak 30m; vent closed
        ramp to 1080C at 120C/h; ramp to cone 6 at 60C/h with soak 15m
    }
    phase down {
        cool by 60dC at 150C/h; soak 30m; cool to 1000C freely; cool to 900C at 70C/h
        cool to 150C freely; vent propped; cool to 100C freely; vent open; cool to 50C freely
    }
}
)";

class OneText : public SourceProvider {
  public:
    std::optional<std::string> read(const std::string& path, std::string&) override {
        return path == "mugs.fettle" ? std::optional<std::string>(program) : std::nullopt;
    }
};

void rules_of_a_firing(benchmark::State& state) {
    OneText files;
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, files, diagnostics);
    const CompileContext& context = compilation.context();
    CompiledFiring compiled;
    if (!compile_firing(context, compilation.firings().at(0), compiled, diagnostics)) {
        state.SkipWithError("the firing does not compile");
        return;
    }
    std::size_t broken = 0;
    for (auto _ : state) {
        KeptTexts kept;
        Diagnostics said;
        for (const Check& check :
             check_rules(context.program, context.ceramics, context.rules, compiled.firing,
                         compiled.schedule, compiled.made_by, compiled.reading, kept, said)) {
            broken += check.result == CheckResult::broken || check.result == CheckResult::unknown;
        }
    }
    if (broken != 0)
        state.SkipWithError("the firing is meant to keep every rule");
    state.counters["segments"] = static_cast<double>(compiled.schedule.segments.size());
    state.counters["rules"] = static_cast<double>(compiled.document.checks.size());
}
BENCHMARK(rules_of_a_firing);

} // namespace
} // namespace fettle

BENCHMARK_MAIN();
