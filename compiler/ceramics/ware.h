// Ware in a changing temperature, water in ware, and the air above the kiln.
//
// SI units (metre, second, kelvin, pascal) except temperatures in degrees Celsius, rates in K/h and
// altitudes in metres. Advice, not proof: uneven radiation, thick feet and handles are worse than
// the formulas of an even wall. Figures of a body are arguments, never constants here.
#pragma once

namespace fettle {

// --- water --------------------------------------------------------------------------------------

// Pressure of the standard atmosphere, Pa, at a (geopotential) altitude of −2000 to 11000 m:
// p = 101325·(1 − 0.0065·h / 288.15)^5.25588 (ISO 2533). Altitudes beyond are taken as the limit.
double standard_pressure_pa(double altitude_m);

// Saturation line of water, IAPWS-IF97 region 4 (IAPWS R7-97, equations 30 and 31; 611 Pa to
// 22.064 MPa, 0 to 373.946 C; beyond, the value at the limit).
double saturation_pressure_pa(double temperature_c);
double saturation_temperature_c(double pressure_pa);

// Where water boils in an open kiln at this altitude, C.
double boiling_point_c(double altitude_m);

// How far the steam in closed pores at this temperature presses above the air around, Pa; 0 below
// the boiling point.
double steam_overpressure_pa(double temperature_c, double altitude_m);

// --- heat in the ware ---------------------------------------------------------------------------

// a = k / (ρ·c), m²/s, from W/(m·K), kg/m³ and J/(kg·K).
double diffusivity(double conductivity, double density, double specific_heat);

// Form of the piece; `thickness` is that of the wall or the diameter of a rod or ball.
enum class WareShape { wall, rod, ball };

// How far the middle lags behind the surface in a long steady climb (or leads in a fall), K:
// ΔT = r·(L/2)² / (n·a), n = 2 for a wall heated from both faces, 4 for a rod, 6 for a ball
// (Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed., 3.4, 7 and 9; Kingery et al.,
// Introduction to Ceramics, 16). A wall heated from one face only (a tile on a shelf) lags like one
// of twice its thickness. The sign is that of the rate.
double core_lag_k(double thickness_m, double rate_k_per_h, double diffusivity,
                  WareShape shape = WareShape::wall);
// The steady rate, K/h, at which the lag has this value.
double rate_for_core_lag(double thickness_m, double lag_k, double diffusivity,
                         WareShape shape = WareShape::wall);
// How long after the start of a climb the lag of a wall is within a hundredth of that:
// (L² / (π²·a))·ln(100·32/π³), the first term of the series.
double lag_settling_time_s(double thickness_m, double diffusivity);

// --- stress -------------------------------------------------------------------------------------

// Stress in a wall whose middle lags, Pa: E·α·ΔT / (1 − ν) times the shape factor, 2/3 at the
// surface and 1/3 in the middle (Timoshenko & Goodier, thermal stress in a plate with a parabolic
// profile). While heating the surface is pressed and the middle pulled, while cooling the reverse.
struct WareStress {
    double surface_pa = 0; // above 0: tension
    double middle_pa = 0;
};
// The greater of the two that pulls: of the middle while heating, of the faces while cooling. Fired
// clay bears far less pull than pressure.
double greatest_tension_pa(const WareStress& stress);
// Poisson's ratio where nobody gives one: an assumption (from memory: 0.15 to 0.25 for fired clay).
inline constexpr double usual_poisson = 0.2;
// lag_k above 0: the middle is colder. Strain of an inversion (below) may be added to α·ΔT.
WareStress stress_of_lag(double lag_k, double expansion_per_k, double stiffness_pa, double poisson,
                         double inversion_strain = 0);

// A change of form that a mineral goes through at one temperature, there and back, and by how much
// it grows in length.
struct Inversion {
    double temperature_c;
    double strain;   // of the pure mineral, as a share of its length
    double spread_k; // the change takes place within this
};
// Dodd & Murfin, Dictionary of Ceramics, 3rd ed. (1994): 573 C, 0.45 % linear. The spread is an
// assumption on the safe side (from memory: steep over the last ten degrees, a slow start before).
inline constexpr Inversion quartz_inversion{573, 0.0045, 10};

// The difference in length, as a share, between surface and middle that an inversion adds while it
// runs through the wall: strain·share·min(1, |ΔT| / spread), with the sign of ΔT; `share` is that
// of the mineral in the body.
double inversion_strain(double lag_k, const Inversion& inversion, double share);

// The difference in temperature that a sudden change may have, K: σ·(1 − ν) / (E·α) (Kingery 1955;
// Hasselman, J. Am. Ceram. Soc. 52, 600, 1969).
double tolerable_difference_k(double strength_pa, double expansion_per_k, double stiffness_pa,
                              double poisson);

} // namespace fettle
