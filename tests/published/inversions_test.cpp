// Where silica changes its form, and by how much it grows: the handbooks (data/inversions.csv)
// against compiler/ceramics/ware.h and against what the rules of stdlib/rules.fettle say and ask.
#include "compiler/ceramics/ware.h"
#include "tests/published/figures.h"

#include <cmath>
#include <gtest/gtest.h>
#include <iterator>

namespace fettle {
namespace {

std::string figure(const std::string& material, const std::string& property) {
    const Figures figures("inversions.csv");
    for (const auto& row : figures.rows()) {
        if (row.at("material") == material && row.at("property") == property)
            return row.at("value");
    }
    ADD_FAILURE() << "no figure for " << property << " of " << material;
    return "";
}

double number(const std::string& text) {
    return std::strtod(text.c_str(), nullptr);
}

// The number that stands first in the text after `before`.
double number_after(const std::string& text, const std::string& before) {
    const auto at = text.find(before);
    EXPECT_NE(at, std::string::npos) << before << " is not in: " << text;
    return at == std::string::npos ? 0 : number(text.substr(text.find_first_of("0123456789", at)));
}

// The number that stands right before `after`.
double number_before(const std::string& text, const std::string& after) {
    const auto end = text.find(after);
    EXPECT_NE(end, std::string::npos) << after << " is not in: " << text;
    if (end == std::string::npos)
        return 0;
    const auto before = text.find_last_not_of("0123456789.", end - 1);
    return number(text.substr(before + 1, end - before - 1));
}

struct Rule {
    std::string because;
    double low_c = 0, high_c = 0; // the stretch whose climb the rule asks for
};

Rule rule(const std::string& name) {
    std::ifstream file(FETTLE_SOURCE_DIR "/stdlib/rules.fettle");
    const std::string all(std::istreambuf_iterator<char>(file), {});
    const auto begin = all.find("\nrule " + name + " ");
    EXPECT_NE(begin, std::string::npos) << "no rule " << name;
    const std::string text = all.substr(begin, all.find("\n}", begin) - begin);
    const auto line = [&](const std::string& word) {
        const auto at = text.find("\n    " + word + " ");
        EXPECT_NE(at, std::string::npos) << name << " has no " << word;
        return text.substr(at, text.find('\n', at + 1) - at);
    };
    const std::string check = line("check");
    return {.because = line("because"),
            .low_c = number_after(check, "fastest_rise("),
            .high_c = number_after(check.substr(check.find("fastest_rise(")), ", ")};
}

TEST(PublishedInversions, Quartz) {
    const double temperature = number(figure("quartz", "inversion temperature"));
    const double percent = number(figure("quartz", "linear strain at inversion"));
    EXPECT_EQ(quartz_inversion.temperature_c, temperature);
    EXPECT_DOUBLE_EQ(quartz_inversion.strain * 100, percent);

    const Rule said = rule("quartz_rise");
    EXPECT_EQ(number_before(said.because, " degrees"), temperature);
    EXPECT_EQ(number_before(said.because, " % in length"), percent);
    EXPECT_LT(said.low_c, temperature - quartz_inversion.spread_k);
    EXPECT_GT(said.high_c, temperature);
}

// From room temperature up to the inversion and through it quartz grows by what its cell does
// (two independent measurements of the crystal); the inversion is a part of that.
TEST(PublishedInversions, QuartzGrowsByLessThanItsCell) {
    const double cold = number(figure("quartz", "unit-cell volume 298 K (alpha)"));
    const double hot = number(figure("quartz", "unit-cell volume 848 K (beta)"));
    const double grown = std::cbrt(hot / cold) - 1;
    EXPECT_NEAR(grown * 100, number(figure("quartz", "total linear expansion 298..848 K")), 0.001);
    EXPECT_LT(quartz_inversion.strain, grown);
    EXPECT_GT(quartz_inversion.strain, grown / 5);
}

TEST(PublishedInversions, Cristobalite) {
    const std::string temperatures = figure("cristobalite", "inversion temperature");
    const double lowest = number(temperatures);
    const double highest = number_after(temperatures, "..");
    EXPECT_EQ(lowest, 200);
    EXPECT_EQ(highest, 270);

    const Rule said = rule("cristobalite_rise");
    const double near = number_before(said.because, " degrees");
    EXPECT_GE(near, lowest);
    EXPECT_LE(near, highest);
    EXPECT_LE(said.low_c, lowest);
    EXPECT_GE(said.high_c, highest);
    EXPECT_NEAR(number_before(said.because, " % in length"),
                number_after(figure("cristobalite", "linear strain at inversion"), "about"), 0.05);
    // The tables of thermodynamics put the change of the perfect crystal at the upper end.
    const double pure_k =
        number(figure("cristobalite", "transition temperature used in thermodynamic tables"));
    EXPECT_NEAR(pure_k - 273.15, highest, 1);
}

} // namespace
} // namespace fettle
