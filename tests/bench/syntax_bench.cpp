// Source to tree, beside the physical reference: finding the line ends of the same bytes.
#include "compiler/syntax/format.h"
#include "compiler/syntax/parse.h"

#include <benchmark/benchmark.h>
#include <cstring>
#include <fmt/format.h>
#include <string>

namespace {

using namespace fettle;

// A studio's file of about `size` bytes: templates, firings, profiles, comments; invented.
std::string studio(std::size_t size) {
    std::string text = "use std.bodies (stoneware)\n\n";
    for (int i = 0; text.size() < size; ++i) {
        text += fmt::format(R"(# Card {0} of the Harbour Row studio (invented)
body clay_{0} from stoneware "Grogged stoneware {0}" {{
    matures    cone 6
    thickness  8mm          # measured at the foot
    limit rise 150C/h between 540C and 630C
}}

template bisque_{0}(body: Body, kiln: Kiln, thickness: Length = body.thickness, top: Cone = cone 04)
    "Bisque that forgives thick or damp ware"
{{
    require thickness <= 40mm else "Above 40 mm, dry and fire by trial: no table is safe."

    phase drying "Drive off the last water before it can boil" {{
        vent open
        ramp to 90C at 30C/h
        soak 1h30m waiting within 5C
    }}
    phase burnout "Chemical water leaves, then carbon: keep air moving" {{
        ramp to 600C at (100C/h when thickness <= 10mm otherwise 60C/h)
        soak 20m
        ramp to 900C at 60C/h
        vent closed
    }}
    phase finish "Bond the clay, leave it thirsty for glaze" {{
        ramp to top at 60C/h with soak 10m
        cool to 100C freely
    }}
}}
firing mugs_{0} = bisque_{0}(body: clay_{0}, kiln: loft, thickness: 6mm) "Mugs, Tuesday class"

)",
                            i);
    }
    return text;
}

void set_bytes(benchmark::State& state, std::size_t bytes) {
    state.SetBytesProcessed(static_cast<std::int64_t>(bytes) * state.iterations());
}

void newline_scan(benchmark::State& state) {
    const std::string text = studio(static_cast<std::size_t>(state.range(0)));
    for (auto _ : state) {
        std::size_t lines = 0;
        const char* const end = text.data() + text.size();
        for (const char* p = text.data(); p < end; ++lines) {
            p = static_cast<const char*>(std::memchr(p, '\n', static_cast<std::size_t>(end - p)));
            if (p == nullptr)
                break;
            ++p;
        }
        benchmark::DoNotOptimize(lines);
    }
    set_bytes(state, text.size());
}
BENCHMARK(newline_scan)->Arg(1000000);

void source_to_tree(benchmark::State& state) {
    const SourceFile source("studio.fettle", studio(static_cast<std::size_t>(state.range(0))));
    for (auto _ : state) {
        Diagnostics diagnostics;
        Tree tree = parse(0, source, diagnostics);
        benchmark::DoNotOptimize(tree.nodes.data());
        if (diagnostics.has_errors())
            state.SkipWithError("the sample does not parse");
    }
    set_bytes(state, source.text().size());
}
BENCHMARK(source_to_tree)->Arg(5000)->Arg(100000)->Arg(1000000)->Arg(10000000);

void tree_to_source(benchmark::State& state) {
    const SourceFile source("studio.fettle", studio(static_cast<std::size_t>(state.range(0))));
    Diagnostics diagnostics;
    const Tree tree = parse(0, source, diagnostics);
    for (auto _ : state) {
        benchmark::DoNotOptimize(format(tree).data());
    }
    set_bytes(state, source.text().size());
}
BENCHMARK(tree_to_source)->Arg(100000)->Arg(1000000);

// A mistake in every template.
void broken_source_to_tree(benchmark::State& state) {
    std::string text = studio(static_cast<std::size_t>(state.range(0)));
    for (std::size_t at = 0; (at = text.find("soak 20m", at)) != std::string::npos; at += 8) {
        text.replace(at, 8, "soka 20m");
    }
    const SourceFile source("broken.fettle", text);
    for (auto _ : state) {
        Diagnostics diagnostics;
        benchmark::DoNotOptimize(parse(0, source, diagnostics).nodes.data());
    }
    set_bytes(state, text.size());
}
BENCHMARK(broken_source_to_tree)->Arg(1000000);

} // namespace

BENCHMARK_MAIN();
