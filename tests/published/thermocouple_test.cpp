// Thermocouples against what was not used to make them: the inverse functions that NIST publishes
// beside the reference functions (data/thermocouple_inverse.csv), and the reference tables as
// another program works them out (data/thermocouple_emf.csv).
#include "runtime/log/thermocouple.h"
#include "tests/published/figures.h"

#include <cmath>
#include <fstream>
#include <gtest/gtest.h>
#include <sstream>
#include <string>
#include <vector>

namespace fettle {
namespace {

struct InverseFunction {
    ThermocoupleType type{};
    double from_mv = 0, to_mv = 0, error_low_k = 0, error_high_k = 0;
    std::vector<double> coefficients;
};

std::vector<InverseFunction> inverse_functions() {
    std::ifstream file(FETTLE_SOURCE_DIR "/tests/published/data/thermocouple_inverse.csv");
    EXPECT_TRUE(file.is_open());
    std::vector<InverseFunction> functions;
    std::string line;
    while (std::getline(file, line)) {
        if (line.starts_with('#') || line.starts_with("type"))
            continue;
        std::istringstream fields(line);
        std::string type, field;
        std::getline(fields, type, ',');
        std::vector<double> numbers;
        for (int i = 0; i < 6 && std::getline(fields, field, ','); ++i)
            numbers.push_back(std::stod(field));
        InverseFunction function{
            *thermocouple_type(type), numbers[0], numbers[1], numbers[4], numbers[5], {}};
        for (double value = 0; fields >> value;)
            function.coefficients.push_back(value);
        functions.push_back(function);
    }
    return functions;
}

TEST(PublishedThermocouples, InverseAgreesWithThatOfNist) {
    const auto functions = inverse_functions();
    ASSERT_EQ(functions.size(), 16u);
    for (const InverseFunction& function : functions) {
        for (int step = 0; step <= 200; ++step) {
            const double mv = function.from_mv + (function.to_mv - function.from_mv) * step / 200.0;
            double published = 0;
            for (std::size_t i = function.coefficients.size(); i-- > 0;)
                published = published * mv + function.coefficients[i];
            const auto own = celsius_from_millivolts(function.type, mv);
            // The rounded ends of a range lie up to half a microvolt outside of the function's.
            if (!own && (step == 0 || step == 200))
                continue;
            ASSERT_TRUE(own) << to_word(function.type) << " at " << mv << " mV";
            // The errors are printed in hundredths (thousandths for R from 250 C to 1200 C).
            EXPECT_GE(published - *own, function.error_low_k - 0.006)
                << to_word(function.type) << " at " << mv << " mV";
            EXPECT_LE(published - *own, function.error_high_k + 0.006)
                << to_word(function.type) << " at " << mv << " mV";
        }
    }
}

// data/thermocouple_emf.csv: the reference functions of Monograph 175 worked out by another program
// to six places, and to the thousandth of a millivolt as its tables print them. Kiln temperatures
// and the fixed points of ITS-90 are among them.
TEST(PublishedThermocouples, MillivoltsOfTheReferenceTables) {
    const Figures figures("thermocouple_emf.csv");
    ASSERT_EQ(figures.rows().size(), 134u);
    for (const auto& row : figures.rows()) {
        const ThermocoupleType type = *thermocouple_type(row.at("type"));
        const double celsius = Figures::number(row, "celsius");
        const double mv = millivolts(type, celsius);
        EXPECT_NEAR(mv, Figures::number(row, "mv_six_places"), 0.00000051)
            << row.at("type") << " at " << celsius << " C";
        EXPECT_NEAR(mv, Figures::number(row, "mv_table"), 0.00050051)
            << row.at("type") << " at " << celsius << " C";
        if (celsius >= inverse_from_c(type)) {
            EXPECT_NEAR(*celsius_from_millivolts(type, mv), celsius, 1e-6)
                << row.at("type") << " at " << celsius << " C";
        }
    }
}

// Examples of IEC 60584-1:2013, table of tolerances, worked out by its rule.
TEST(PublishedThermocouples, ToleranceClasses) {
    using enum ThermocoupleType;
    EXPECT_DOUBLE_EQ(*tolerance_k(k, ToleranceClass::iec_1, 300), 1.5);
    EXPECT_DOUBLE_EQ(*tolerance_k(k, ToleranceClass::iec_1, 1000), 4.0);
    EXPECT_DOUBLE_EQ(*tolerance_k(k, ToleranceClass::iec_2, 300), 2.5);
    EXPECT_DOUBLE_EQ(*tolerance_k(k, ToleranceClass::iec_2, 1200), 9.0);
    EXPECT_DOUBLE_EQ(*tolerance_k(s, ToleranceClass::iec_1, 1100), 1.0);
    EXPECT_DOUBLE_EQ(*tolerance_k(s, ToleranceClass::iec_1, 1300), 1.6);
    EXPECT_DOUBLE_EQ(*tolerance_k(r, ToleranceClass::iec_2, 1200), 3.0);
    EXPECT_DOUBLE_EQ(*tolerance_k(b, ToleranceClass::iec_3, 1600), 8.0);
    EXPECT_FALSE(tolerance_k(k, ToleranceClass::iec_1, 1100));
    EXPECT_FALSE(tolerance_k(b, ToleranceClass::iec_1, 1100));
}

} // namespace
} // namespace fettle
