// Full analyses of glazes, blends by the thousand, and recipes worked backwards.
#include "compiler/chemistry/remake.h"
#include "tests/chemistry/standard_tables.h"

#include <benchmark/benchmark.h>

namespace fettle {
namespace {

const std::vector<MaterialChemistry>& shelf() {
    static const std::vector<MaterialChemistry> materials = [] {
        std::vector<MaterialChemistry> made;
        for (std::string_view formula :
             {"KAlSi3O8", "NaAlSi3O8", "CaCO3", "CaMg(CO3)2", "Al2Si2O5(OH)4", "SiO2",
              "Mg3Si4O10(OH)2", "Ca2B6O11·5H2O", "ZnO", "Fe2O3", "CoCO3", "TiO2"})
            made.push_back(material_of_formula(standard_tables(), atoms_of(formula)));
        return made;
    }();
    return materials;
}

// Parts that differ from blend to blend, the same in every run.
std::vector<Portion> blend(unsigned number) {
    std::vector<Portion> portions;
    for (std::size_t i = 0; i < shelf().size(); ++i) {
        number = number * 1664525u + 1013904223u;
        portions.push_back({&shelf()[i], 1 + (number >> 24) * 0.1});
    }
    return portions;
}

// What stands beside it in the same run: only adding up mass by oxide.
void BM_masses_alone(benchmark::State& state) {
    const std::vector<Portion> portions = blend(1);
    for (auto _ : state) {
        PerOxide mass{};
        for (const Portion& portion : portions) {
            for (std::size_t i = 0; i < most_oxides; ++i)
                mass[i] += portion.parts * portion.material->share[i];
        }
        benchmark::DoNotOptimize(mass);
    }
}
BENCHMARK(BM_masses_alone);

void BM_one_glaze(benchmark::State& state) {
    const std::vector<Portion> portions = blend(1);
    for (auto _ : state) {
        benchmark::DoNotOptimize(analyse(standard_tables(), portions));
        benchmark::DoNotOptimize(gas_releases(portions));
    }
}
BENCHMARK(BM_one_glaze);

void BM_ten_thousand_blends(benchmark::State& state) {
    for (auto _ : state) {
        for (unsigned number = 0; number < 10'000; ++number)
            benchmark::DoNotOptimize(analyse(standard_tables(), blend(number)));
    }
}
BENCHMARK(BM_ten_thousand_blends)->Unit(benchmark::kMillisecond);

void BM_formula(benchmark::State& state) {
    for (auto _ : state)
        benchmark::DoNotOptimize(material_of_formula(standard_tables(), atoms_of("Al2Si2O5(OH)4")));
}
BENCHMARK(BM_formula);

void BM_recipe_for_a_formula(benchmark::State& state) {
    const GlazeChemistry glaze = analyse(standard_tables(), blend(1));
    std::vector<const MaterialChemistry*> materials;
    for (const MaterialChemistry& material : shelf())
        materials.push_back(&material);
    for (auto _ : state)
        benchmark::DoNotOptimize(remake(standard_tables(), glaze.unity, materials));
}
BENCHMARK(BM_recipe_for_a_formula);

void BM_reading_the_tables(benchmark::State& state) {
    standard_tables(); // so that the files are read
    for (auto _ : state) {
        const Chemistry chemistry(standard_text);
        benchmark::DoNotOptimize(chemistry.tables().oxides.size());
    }
}
BENCHMARK(BM_reading_the_tables);

} // namespace
} // namespace fettle

BENCHMARK_MAIN();
