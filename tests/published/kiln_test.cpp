// The kiln's model against closed solutions of heat conduction, and against what real firings take.
//
// Figures: Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959; Incropera et al.,
// Fundamentals of Heat and Mass Transfer; worked out from their formulas to ten digits.
#include "runtime/kiln/simulate.h"
#include "runtime/kiln/thermal_step.h"

#include <cmath>
#include <gtest/gtest.h>
#include <memory>

namespace fettle {
namespace {

// A wall of one material whose hot face is held at a temperature by a chamber that nothing cools.
KilnModel wall(double thickness_m, double conductivity, double density, double specific_heat) {
    KilnModel model;
    model.power_w = 1;
    model.capacity_j_per_k = 1e15;
    model.inner_area_m2 = 1;
    model.lining = {{thickness_m, conductivity, 0, density, specific_heat}};
    model.inside_emissivity = 0;
    model.inside_convection_w_per_m2_k = 1e9;
    model.outside_emissivity = 0;
    return model;
}

// A net as time goes on, left to itself.
class Running {
  public:
    Running(const KilnModel& model, std::size_t cells, double start_c, double chamber_c)
        : net(thermal_net(model, cells)) {
        std::fill(y, y + net.nodes(), start_c);
        y[state::chamber] = chamber_c;
        y[state::ware] = chamber_c;
    }
    void run(double seconds, double step_s) {
        const Drive<double> drive{};
        const auto steps = static_cast<int>(std::round(seconds / step_s));
        for (int i = 0; i < steps; ++i)
            step_implicit(net, drive, step_s, y, *room_);
    }
    double temperature(std::size_t cell) const { return y[state::first_cell + cell]; }

    ThermalNet<double> net;
    double y[max_states] = {};

  private:
    std::unique_ptr<StepRoom<double>> room_ = std::make_unique<StepRoom<double>>();
};

// k = 0.5 W/m/K, ρ = 1000 kg/m³, c = 1000 J/kg/K, 20 C at first, its face at 1000 C from then on:
// Carslaw & Jaeger sec. 2.4.
TEST(PublishedWall, SemiInfiniteSolidWithASteppedFace) {
    struct {
        double time_s, depth_m, temperature_c;
    } const figures[] = {
        {600, 0.01, 689.4295703},   {600, 0.03, 236.2579347},  {3600, 0.01, 870.2796881},
        {3600, 0.03, 624.7335759},  {3600, 0.1, 113.6690905},  {36000, 0.01, 958.8079068},
        {36000, 0.03, 876.8797199}, {36000, 0.1, 606.1982236},
    };
    for (const auto& figure : figures) {
        // 100 cells of 4 mm when little time has passed, of 10 mm when the heat has gone far.
        const double thickness = figure.time_s > 10000 ? 1.0 : 0.4;
        Running solid(wall(thickness, 0.5, 1000, 1000), 100, 20, 1000);
        solid.run(figure.time_s, 1);
        const double cell = thickness / 100;
        const double place = figure.depth_m / cell - 0.5;
        const auto before = static_cast<std::size_t>(place);
        const double share = place - static_cast<double>(before);
        const double found =
            (1 - share) * solid.temperature(before) + share * solid.temperature(before + 1);
        EXPECT_NEAR(found, figure.temperature_c, 2)
            << figure.time_s << " s, " << figure.depth_m << " m";
    }
}

// Heat taken up through the face since then, J/m²: 2 k ΔT √(t/πa), sec. 2.4.
TEST(PublishedWall, SemiInfiniteSolidTakesUpItsHeat) {
    struct {
        double time_s, heat_j_per_m2;
    } const figures[] = {{600, 19153218.47}, {3600, 46915612.18}, {36000, 148360192.3}};
    for (const auto& figure : figures) {
        Running solid(wall(figure.time_s > 10000 ? 1.0 : 0.3, 0.5, 1000, 1000), 100, 20, 1000);
        double before[max_states];
        std::copy(std::begin(solid.y), std::end(solid.y), before);
        solid.run(figure.time_s, 1);
        EXPECT_NEAR(stored_heat(solid.net, solid.y, before).lining_j / figure.heat_j_per_m2, 1,
                    0.01)
            << figure.time_s;
    }
}

// 114 mm of 0.30 W/m/K and 25 mm of 0.10, 100 W/m²/K inside at 1250 C, 12 outside at 25 C: series
// resistances, Incropera ch. 3.
TEST(PublishedWall, SteadyCompositeWall) {
    KilnModel model = wall(0.114, 0.30, 800, 1050);
    model.lining.push_back({0.025, 0.10, 0, 128, 1130});
    model.inside_convection_w_per_m2_k = 100;
    model.outside_convection_w_per_m2_k = 12;
    model.ambient_c = 25;
    EXPECT_NEAR(steady_loss_w(model, 1250), 1693.548387, 1e-5);

    Running steady(model, 20, 600, 1250);
    steady.run(300 * 3600.0, 60);
    const double flow = hot_face_conductance(steady.net, 100.0, steady.temperature(0)) *
                        (1250 - steady.temperature(0));
    EXPECT_NEAR(flow, 1693.548387, 0.01);
    EXPECT_NEAR(1250 - flow / 100, 1233.064516, 0.01);            // hot face
    EXPECT_NEAR(steady.y[steady.net.shell()], 166.1290323, 0.01); // cold face
}

// k = 0.12 + 1.6e-4 t: Kirchhoff's transform, Carslaw & Jaeger sec. 1.6.
TEST(PublishedWall, ConductivityThatRises) {
    KilnModel model = wall(0.1, 0.12, 800, 1050);
    model.lining[0].conductivity_rise_w_per_m_k2 = 1.6e-4;
    model.outside_convection_w_per_m2_k = 1e9;
    model.ambient_c = 100;
    EXPECT_NEAR(steady_loss_w(model, 1200), 2464, 0.01);
    Running steady(model, 20, 600, 1200);
    steady.run(100 * 3600.0, 60);
    // The middle lies between the two cells in the middle.
    EXPECT_NEAR((steady.temperature(9) + steady.temperature(10)) / 2, 754.1608956, 0.3);
}

// Insulating firebricks of ASTM C155 groups 23, 26 and 28 (typical conductivities at mean
// temperatures, from memory, as std.kilns has them): 114 mm between 1000 C and 100 C lose what the
// conductivity at the mean temperature of 550 C gives, within a hundredth.
TEST(PublishedWall, BricksByTheirMeanTemperature) {
    struct {
        double conductivity, rise, at_550;
    } const bricks[] = {
        {0.103, 0.000125, 0.172}, {0.201, 0.000125, 0.270}, {0.256, 0.00011, 0.3165}};
    for (const auto& brick : bricks) {
        KilnModel model = wall(0.114, brick.conductivity, 800, 1050);
        model.lining[0].conductivity_rise_w_per_m_k2 = brick.rise;
        model.outside_convection_w_per_m2_k = 1e9;
        model.ambient_c = 100;
        EXPECT_NEAR(steady_loss_w(model, 1000) / (brick.at_550 * 900 / 0.114), 1, 0.01);
    }
}

// 6 kW, 4 W/K, 60 kJ/K from 20 C: T = 20 + P/G (1 − exp(−t G/C)), the lumped response.
TEST(PublishedLumped, AKilnOfOnePiece) {
    KilnModel model;
    model.power_w = 6000;
    model.capacity_j_per_k = 60000;
    model.direct_loss_w_per_k = 4;
    Schedule firing;
    Segment& full = firing.segments.emplace_back();
    full.kind = SegmentKind::full;
    full.to_c = 1400;
    SimulateOptions options;
    options.sample_s = 10;
    options.cool_down = false;
    const Prediction p = simulate(firing, model, options);
    EXPECT_NEAR(*p.kiln_at_c(3600), 340.0582084, 0.05);
    EXPECT_NEAR(*p.kiln_at_c(14400), 945.660671, 0.05);
    EXPECT_NEAR(*p.kiln_at_c(36000), 1383.92307, 0.05);
}

// Ware that follows with a time constant: behind a steady climb by rate · τ (150 K/h, 1800 s: 75
// K).
TEST(PublishedLumped, WareBehindASteadyClimb) {
    KilnModel model = wall(0.1, 0.1, 500, 1000);
    model.inside_convection_w_per_m2_k = 1e6; // no lag outside the wall of the ware
    model.ware.mass_kg = 1;
    model.ware.specific_heat_j_per_kg_k = 1000;
    model.ware.specific_heat_rise_j_per_kg_k2 = 0;
    model.ware.density_kg_per_m3 = 2000;
    model.ware.conductivity_w_per_m_k = 1;
    model.ware.thickness_m = std::sqrt(1800.0 * 12 / 2e6);
    const ThermalNet<double> net = thermal_net(model, 10);
    const double lag = 150.0 / 3600 * net.ware_capacity / ware_conductance(net, 1e6);
    EXPECT_NEAR(lag, 75, 0.1);
}

} // namespace
} // namespace fettle
