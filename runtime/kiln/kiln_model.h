// What the model of a kiln knows about it, in SI units: chamber, ware, lining, heat in, control.
//
// The picture: a chamber at one temperature (air, shelves, elements; it is where the sensor is),
// ware that follows it, and a lining of layers through which heat leaks to a steel shell and from
// there to the room.
//
//     room — shell — | lining, cell by cell, hot face last | — chamber — ware
//
// Heat passes between two bodies in proportion to their difference, with coefficients that depend
// on temperature: radiation at the hot face and at the ware is 4εσT³ of the chamber (the radiation
// coefficient of Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 1, whose error is of
// second order in their small difference), radiation of the shell is the full law, and the lining's
// conductivity rises with its temperature.
//
// Left out, and part of why a prediction is not a promise: uneven temperature in the chamber (a
// shelf's difference is given, not computed), air through vents, heat from organics that burn,
// ageing of elements, the sensor's own lag.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

namespace fettle {

inline constexpr double zero_c_in_k = 273.15;
inline constexpr double stefan_boltzmann = 5.670374419e-8; // W/m²/K⁴, CODATA 2018

// The hot face first. Conductivity at t °C is conductivity + conductivity_rise · t.
struct LiningLayer {
    double thickness_m = 0;
    double conductivity_w_per_m_k = 0;
    double conductivity_rise_w_per_m_k2 = 0;
    double density_kg_per_m3 = 0;
    double specific_heat_j_per_kg_k = 0;
};

// A change in the ware that takes heat, once: water that leaves, clay that gives up its chemical
// water, lime that burns. First order: what is left shrinks at a rate that rises smoothly from 0
// at `begins_c` to 1/`time_s` at `full_c`.
struct HeatSink {
    double heat_j = 0; // of all of it; 0: there is none
    double begins_c = 0;
    double full_c = 1;
    double time_s = 600;
};

enum class SinkKind : std::uint8_t { water, chemical_water, carbonate };
inline constexpr std::size_t sink_kinds = 3;

struct WareModel {
    double mass_kg = 0; // 0: an empty kiln
    // c(t) = specific_heat + specific_heat_rise · t, t in °C. Fired clay 800 to 920 J/kg/K at 20 C
    // and 1050 to 1200 at 1000 C: handbooks, from memory.
    double specific_heat_j_per_kg_k = 850;
    double specific_heat_rise_j_per_kg_k2 = 0.27;
    // Its wall, which warms from both sides: lags by L²/12a inside (Carslaw & Jaeger, 2nd ed.,
    // sec. 3.4, mean of the parabola) and by ρcL/2h outside.
    double thickness_m = 0.006;
    double conductivity_w_per_m_k = 0.7;
    double density_kg_per_m3 = 1900;
    std::array<HeatSink, sink_kinds> sinks{};
};

// The controller: proportional and integral, with smooth back-calculation against wind-up.
struct ControlModel {
    double response_s = 60;      // how soon it would close a small difference, power permitting
    double integral_s = 600;     // of the integral part
    double back_tracking_s = 90; // how soon the integral follows the limits of the power
};

struct KilnModel {
    double power_w = 0; // rated
    // Fuel leaves by the flue as hot as the chamber is: the share 1 − (T − ambient) / (flame −
    // ambient) of its heat stays. Infinite: electric, all of it stays.
    double flame_c = std::numeric_limits<double>::infinity();
    double ambient_c = 20;

    // Shelves, props, elements: C(t) = capacity + capacity_rise · t, t in °C.
    double capacity_j_per_k = 0;
    double capacity_rise_j_per_k2 = 0;

    // The lining's hot face, and how its area grows outwards: A(x) = area · (1 + growth · x)². No
    // lining: the chamber loses heat by direct_loss alone.
    double inner_area_m2 = 0;
    double area_growth_per_m = 0;
    std::vector<LiningLayer> lining;
    double direct_loss_w_per_k = 0;

    // Hot face and ware: convection, and emissivity of the exchange (0.8: from memory).
    double inside_convection_w_per_m2_k = 8;
    double inside_emissivity = 0.8;
    // Shell: 1 mm of steel is 4 kJ/m²/K; still air takes 5 to 10 W/m²/K (common practice).
    double shell_capacity_j_per_m2_k = 4000;
    double outside_convection_w_per_m2_k = 6;
    double outside_emissivity = 0.8;
    // What stands open when the kiln is opened hot, radiating like a black body.
    double opening_area_m2 = 0;

    double sensor_offset_k = 0; // reads so much hotter than it is …
    // … and may be off by this much, or this share of the temperature in °C, whichever is larger.
    double sensor_tolerance_k = 0;
    double sensor_tolerance_share = 0;
    // Which error it has, in tolerances: 0 none, 1 all of it, too hot.
    double sensor_error = 0;

    WareModel ware;
    ControlModel control;

    struct Shelf {
        std::string name;
        double difference_k = 0; // hotter than the sensor's place
    };
    std::vector<Shelf> shelves; // none: one place for all
};

// What is wrong with a model, in words: "power is -3000 W; it must be above 0".
struct KilnProblem {
    std::string text;
};
std::vector<KilnProblem> check_kiln_model(const KilnModel& model);

// Of a cube of the chamber's volume, in m²; and the growth that gives edges and corners of its
// lining their conduction shape factors (0.54 for a metre of edge: Langmuir, Adams & Meikle 1913,
// as in Incropera et al., table 4.1; a corner's 0.15 of the thickness comes out as 0).
double area_of_chamber_m2(double volume_m3);
double area_growth_per_m(double volume_m3);

// Heat that leaks out when the chamber has stood at a temperature for ever, in W.
double steady_loss_w(const KilnModel& model, double chamber_c);
// Multiplies the lining's conductivity so that steady_loss_w at that temperature is `loss_w`. False
// and unchanged where no conductivity gives it.
bool fit_conductivity(KilnModel& model, double chamber_c, double loss_w);

// Of kiln and ware at a temperature, without the lining, J/K.
double heat_capacity_j_per_k(const KilnModel& model, double at_c);

} // namespace fettle
