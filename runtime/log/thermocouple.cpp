#include "runtime/log/thermocouple.h"

#include "runtime/log/thermocouple_functions.h"

#include <algorithm>
#include <cmath>
#include <span>

namespace fettle {
namespace {

std::span<const ReferenceFunction> functions_of(ThermocoupleType type) {
    const auto* first =
        std::find_if(std::begin(reference_functions), std::end(reference_functions),
                     [&](const ReferenceFunction& function) { return function.type == type; });
    const auto* last =
        std::find_if(first, std::end(reference_functions),
                     [&](const ReferenceFunction& function) { return function.type != type; });
    return {first, last};
}

struct Emf {
    double mv = 0;
    double mv_per_k = 0;
};

Emf inside(const ReferenceFunction& function, double celsius) {
    Emf emf;
    for (int i = function.degree; i >= 0; --i) {
        emf.mv_per_k = emf.mv_per_k * celsius + emf.mv;
        emf.mv = emf.mv * celsius + function.c[static_cast<std::size_t>(i)];
    }
    if (function.a[0] != 0) {
        const double off = celsius - function.a[2];
        const double bump = function.a[0] * std::exp(function.a[1] * off * off);
        emf.mv += bump;
        emf.mv_per_k += 2 * function.a[1] * off * bump;
    }
    return emf;
}

Emf emf_at(std::span<const ReferenceFunction> functions, double celsius) {
    const double held = std::clamp(celsius, functions.front().from_c, functions.back().to_c);
    const auto* function = &functions.front();
    while (held > function->to_c)
        ++function;
    Emf emf = inside(*function, held);
    emf.mv += emf.mv_per_k * (celsius - held);
    return emf;
}

// How far a tolerance class goes: the larger of a number and a share of the temperature, or for the
// first class of R and S a number that grows above 1100 C.
struct Tolerance {
    ThermocoupleType type;
    ToleranceClass tolerance_class;
    double from_c, to_c;
    double least_k;
    double share;       // of the temperature in degrees Celsius
    double share_above; // of what lies above 1100 C, added to least_k
};

using enum ThermocoupleType;
constexpr Tolerance tolerances[] = {
    {k, ToleranceClass::iec_1, -40, 1000, 1.5, 0.004, 0},
    {n, ToleranceClass::iec_1, -40, 1000, 1.5, 0.004, 0},
    {r, ToleranceClass::iec_1, 0, 1600, 1.0, 0, 0.003},
    {s, ToleranceClass::iec_1, 0, 1600, 1.0, 0, 0.003},
    {k, ToleranceClass::iec_2, -40, 1200, 2.5, 0.0075, 0},
    {n, ToleranceClass::iec_2, -40, 1200, 2.5, 0.0075, 0},
    {r, ToleranceClass::iec_2, 0, 1600, 1.5, 0.0025, 0},
    {s, ToleranceClass::iec_2, 0, 1600, 1.5, 0.0025, 0},
    {b, ToleranceClass::iec_2, 600, 1700, 1.5, 0.0025, 0},
    {k, ToleranceClass::iec_3, -200, 40, 2.5, 0.015, 0},
    {n, ToleranceClass::iec_3, -200, 40, 2.5, 0.015, 0},
    {b, ToleranceClass::iec_3, 600, 1700, 4.0, 0.005, 0},
    {k, ToleranceClass::astm_special, 0, 1260, 1.1, 0.004, 0},
    {r, ToleranceClass::astm_special, 0, 1480, 0.6, 0.001, 0},
    {s, ToleranceClass::astm_special, 0, 1480, 0.6, 0.001, 0},
    {k, ToleranceClass::astm_standard, 0, 1260, 2.2, 0.0075, 0},
    {n, ToleranceClass::astm_standard, 0, 1260, 2.2, 0.0075, 0},
    {r, ToleranceClass::astm_standard, 0, 1480, 1.5, 0.0025, 0},
    {s, ToleranceClass::astm_standard, 0, 1480, 1.5, 0.0025, 0},
    {b, ToleranceClass::astm_standard, 870, 1700, 0, 0.005, 0},
};

constexpr std::string_view letters = "KNRSB";

} // namespace

std::string_view to_word(ThermocoupleType type) {
    return letters.substr(static_cast<std::size_t>(type), 1);
}

std::optional<ThermocoupleType> thermocouple_type(std::string_view letter) {
    if (letter.size() != 1)
        return std::nullopt;
    const char upper = static_cast<char>(letter.front() & ~0x20);
    const std::size_t at = letters.find(upper);
    if (at == std::string_view::npos)
        return std::nullopt;
    return static_cast<ThermocoupleType>(at);
}

ThermocoupleRange defined_range(ThermocoupleType type) {
    const auto functions = functions_of(type);
    return {functions.front().from_c, functions.back().to_c};
}

double inverse_from_c(ThermocoupleType type) {
    return type == ThermocoupleType::b ? 42 : defined_range(type).from_c;
}

double millivolts(ThermocoupleType type, double celsius) {
    return emf_at(functions_of(type), celsius).mv;
}

std::optional<double> celsius_from_millivolts(ThermocoupleType type, double mv,
                                              std::optional<double> near_c) {
    const auto functions = functions_of(type);
    double low = inverse_from_c(type);
    double high = functions.back().to_c;
    if (!(mv >= emf_at(functions, low).mv - 1e-9 && mv <= emf_at(functions, high).mv + 1e-9))
        return std::nullopt;
    // Newton's steps inside a bracket: the functions rise and are smooth but for their joins.
    double celsius = near_c && *near_c > low && *near_c < high ? *near_c : (low + high) / 2;
    for (int step = 0; step < 80 && high - low > 1e-9; ++step) {
        const Emf emf = emf_at(functions, celsius);
        (emf.mv < mv ? low : high) = celsius;
        double next = celsius - (emf.mv - mv) / emf.mv_per_k;
        if (!(next >= low && next <= high))
            next = (low + high) / 2;
        const double moved = std::fabs(next - celsius);
        celsius = next;
        if (moved < 1e-9)
            break;
    }
    return celsius;
}

std::optional<double> celsius_from_millivolts_at(ThermocoupleType type, double mv,
                                                 double reference_c, std::optional<double> near_c) {
    return celsius_from_millivolts(type, mv + millivolts(type, reference_c), near_c);
}

std::optional<double> tolerance_k(ThermocoupleType type, ToleranceClass tolerance_class,
                                  double celsius) {
    for (const Tolerance& row : tolerances) {
        if (row.type == type && row.tolerance_class == tolerance_class && celsius >= row.from_c &&
            celsius <= row.to_c)
            return std::max(row.least_k, row.share * std::fabs(celsius)) +
                   row.share_above * std::max(0.0, celsius - 1100);
    }
    return std::nullopt;
}

} // namespace fettle
