// Thermocouples of kilns: millivolts to degrees and back, and how far off a new one may be.
//
// The functions are those of ITS-90 (thermocouple_functions.h). The inverse is the exact inverse of
// the reference function, not one of the published approximations to it, so there and back is the
// same temperature to 1e-6 K.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace fettle {

enum class ThermocoupleType : std::uint8_t { k, n, r, s, b };

inline constexpr ThermocoupleType thermocouple_types[] = {ThermocoupleType::k, ThermocoupleType::n,
                                                          ThermocoupleType::r, ThermocoupleType::s,
                                                          ThermocoupleType::b};

// "K"; and from a letter of either case. Nothing: no type that a kiln uses.
std::string_view to_word(ThermocoupleType type);
std::optional<ThermocoupleType> thermocouple_type(std::string_view letter);

struct ThermocoupleRange {
    double from_c = 0;
    double to_c = 0;
};

// Where the function is defined. Type B has the same millivolts twice below 42 C, so its inverse
// begins at `inverse_from_c`.
ThermocoupleRange defined_range(ThermocoupleType type);
double inverse_from_c(ThermocoupleType type);

// Millivolts with the other junction at 0 C. Outside the range the function is carried on with the
// slope at its end.
double millivolts(ThermocoupleType type, double celsius);

// Degrees Celsius from millivolts, the other junction at 0 C. Nothing where the value lies outside
// of what the type can give (a broken lead, leads the wrong way round, another type). `near_c`: an
// answer that is expected, such as the last one; makes it faster, not different.
std::optional<double> celsius_from_millivolts(ThermocoupleType type, double mv,
                                              std::optional<double> near_c = std::nullopt);

// As measured against a junction at another temperature: E(t) = E_measured + E(reference).
std::optional<double> celsius_from_millivolts_at(ThermocoupleType type, double mv,
                                                 double reference_c,
                                                 std::optional<double> near_c = std::nullopt);

// How far off a new thermocouple may read. IEC 60584-1:2013 classes 1, 2, 3 and the limits of ASTM
// E230/E230M (whose ranges are from memory). Drift in use comes on top of it.
enum class ToleranceClass : std::uint8_t { iec_1, iec_2, iec_3, astm_special, astm_standard };

// In kelvin, plus or minus. Nothing where the class does not exist for the type or does not reach
// that temperature.
std::optional<double> tolerance_k(ThermocoupleType type, ToleranceClass tolerance_class,
                                  double celsius);

} // namespace fettle
