#include "compiler/output/glaze_text.h"

#include "compiler/output/glaze_plane.h"
#include "compiler/output/page.h"
#include "compiler/output/phrases.h"
#include "compiler/source/characters.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {

const std::string_view food_contact_words =
    "Whether it may hold food or drink, no figures can tell: that is for a laboratory, by release "
    "tests such as those of ISO 6486 and ASTM C738 on your own fired ware.";
const std::string_view expansion_words = "Estimates from oxides: on some glazes the sets differ "
                                         "more than twofold, so compare two glazes "
                                         "by one set only.";

namespace {

constexpr std::size_t label_width = 12;
constexpr double trace = 0.0005; // moles for one mole of fluxes: passed over in the formula

void put_labelled(Page& page, std::string_view label, std::string_view text) {
    if (!text.empty())
        page.paragraph(2, left_in(label, label_width), text);
}

void put_heading(Page& page, std::string_view text) {
    page.blank();
    page.line(text, Ink::strong);
}

std::string fixed(double value, int decimals) {
    return fmt::format("{:.{}f}", value, decimals);
}

std::string ppm(double per_k) {
    return fixed(1e6 * per_k, 2);
}

std::string percent(double share) {
    return std::isnan(share) ? "not known" : print_number(100 * share, 1) + "%";
}

void put_head(Page& page, const GlazeReport& report) {
    const std::string name = one_line(report.name);
    if (report.title.empty()) {
        page.line(shortened(name, page.width(), page.ascii()), Ink::strong);
    } else {
        page.two_ends(one_line(report.title), name, Ink::strong);
    }
    if (!report.about.empty())
        page.paragraph(0, "", report.about);
    if (!report.fires.empty() || !report.surface.empty() || !report.colour.empty() ||
        !report.seals.empty()) {
        page.blank();
    }
    std::string fires = report.fires;
    if (!report.atmosphere.empty())
        fires += " in " + report.atmosphere;
    put_labelled(page, "fires", fires);
    put_labelled(page, "surface", report.surface);
    put_labelled(page, "colour", readable_name(report.colour));
    put_labelled(page, "seals", report.seals.empty() ? "" : "at " + report.seals);
}

void put_recipe(Page& page, const GlazeReport& report) {
    put_heading(page, "Recipe");
    std::size_t width = 10;
    for (const GlazeIngredient& part : report.ingredients)
        width = std::max(width, display_width(one_line(part.title)));
    width = std::min(width, page.width() - 26);
    page.line(left_in("", width + 2) + right_in("parts", 10) + right_in("per cent", 11),
              Ink::faint);
    bool additions = false;
    for (const GlazeIngredient& part : report.ingredients) {
        if (part.addition && !additions)
            page.line("  and added");
        additions = part.addition;
        page.line("  " + left_in(shortened(one_line(part.title), width, page.ascii()), width) +
                  right_in(print_number(part.parts, 3), 10) +
                  right_in((part.addition ? "+" : "") + fixed(part.percent, 2), 11));
    }
}

// --- the unity formula: fluxes, stabiliser and glass-formers side by side ------------------------

std::vector<std::string> unity_column(const GlazeReport& report, auto&& belongs) {
    std::vector<std::string> lines;
    const auto& oxides = report.tables->oxides;
    for (std::size_t i = 0; i < oxides.size(); ++i) {
        const double moles = report.chemistry.unity[i];
        if (!belongs(oxides[i].role) || moles < trace)
            continue;
        lines.push_back(fmt::format("{:>7} {}", fixed(moles, 3), oxides[i].name));
    }
    return lines;
}

void put_unity(Page& page, const GlazeReport& report) {
    put_heading(page, "Unity formula");
    const std::vector<std::vector<std::string>> columns = {
        unity_column(report, [](OxideRole role) { return is_flux(role); }),
        unity_column(report, [](OxideRole role) { return role == OxideRole::stabiliser; }),
        unity_column(report, [](OxideRole role) { return role == OxideRole::former; })};
    page.line("    " + left_in("fluxes", 22) + left_in("stabiliser", 22) + "glass-formers",
              Ink::faint);
    std::size_t rows = 0;
    for (const auto& column : columns)
        rows = std::max(rows, column.size());
    for (std::size_t row = 0; row < rows; ++row) {
        std::string line = "  ";
        for (const auto& column : columns)
            line += left_in(row < column.size() ? column[row] : "", 22);
        line.erase(line.find_last_not_of(' ') + 1);
        page.line(line);
    }
    const auto beside = unity_column(report, [](OxideRole role) {
        return role == OxideRole::opacifier || role == OxideRole::colourant;
    });
    std::string text;
    for (const std::string& oxide : beside)
        text += (text.empty() ? "" : ", ") + oxide.substr(oxide.find_first_not_of(' '));
    if (!text.empty())
        page.paragraph(2, "and beside them ", text);
    page.blank();
    const GlazeChemistry& made = report.chemistry;
    put_labelled(page, "SiO2:Al2O3",
                 std::isnan(made.silica_per_alumina) ? "no alumina"
                                                     : fixed(made.silica_per_alumina, 2) + " : 1");
    put_labelled(page, "alkalis", print_number(100 * made.alkali_share, 1) + "% of the fluxes");
    put_labelled(page, "boron", made.boron >= trace ? fixed(made.boron, 3) + " B2O3" : "none");
}

void put_percents(Page& page, const GlazeReport& report) {
    put_heading(page, "Fired glaze");
    page.line("  " + left_in("oxide", 9) + right_in("mass %", 10) + right_in("mole %", 10),
              Ink::faint);
    const auto& oxides = report.tables->oxides;
    for (std::size_t i = 0; i < oxides.size(); ++i) {
        if (report.chemistry.mass[i] < 5e-5)
            continue;
        page.line("  " + left_in(oxides[i].name, 9) +
                  right_in(fixed(100 * report.chemistry.mass[i], 2), 10) +
                  right_in(fixed(100 * report.chemistry.moles[i], 2), 10));
    }
}

void put_expansion(Page& page, const GlazeReport& report) {
    put_heading(page, "Expansion");
    double least = 0, greatest = 0;
    bool any = false;
    for (std::size_t i = 0; i < report.tables->sets.size(); ++i) {
        const ExpansionSet& set = report.tables->sets[i];
        const ExpansionEstimate& estimate = report.chemistry.expansion[i];
        std::string line = "  " + left_in(set.title, 22);
        if (estimate.usable()) {
            line += right_in(ppm(estimate.per_k), 6) + " ppm/K   " + set.range;
            least = any ? std::min(least, estimate.per_k) : estimate.per_k;
            greatest = any ? std::max(greatest, estimate.per_k) : estimate.per_k;
            any = true;
        } else {
            line += fmt::format("does not count: no factor for {}% of it",
                                print_number(100 * estimate.left_out, 1));
        }
        page.line(line);
        if (estimate.usable() && estimate.stretched)
            page.paragraph(4, "", "carried on past the range that its factors are given for");
    }
    if (any && least > 0) {
        page.line(fmt::format("  from {} to {} ppm/K: the greatest is {} times the least",
                              ppm(least), ppm(greatest), fixed(greatest / least, 2)));
    }
    page.paragraph(2, "", expansion_words);
}

std::string gas_range(const GlazeGas& gas) {
    if (!gas.from_c)
        return "not known when";
    return fmt::format("{} to {}{}", print_temperature(*gas.from_c, Scale::celsius),
                       print_temperature(*gas.to_c, Scale::celsius), gas.alone ? ", alone" : "");
}

void put_gases(Page& page, const GlazeReport& report) {
    put_heading(page, "What leaves in the fire");
    page.line(fmt::format("  {} of the dry glaze in all", percent(report.chemistry.loss)));
    bool alone = false;
    for (const GlazeGas& gas : report.gases) {
        page.line("  " + left_in(to_string(gas.gas), 16) + left_in(gas_range(gas), 22) +
                  right_in(print_number(100 * gas.share, 2) + "%", 8) + "  " +
                  shortened(one_line(gas.material), page.width() - 50, page.ascii()));
        alone = alone || gas.alone;
    }
    if (alone) {
        page.paragraph(2, "",
                       "`alone` is the pure mineral by itself; beside silica it begins to "
                       "give off its gas much sooner.");
    }
}

void put_limits(Page& page, const GlazeReport& report) {
    if (report.limits.empty())
        return;
    put_heading(page, "Published limits");
    for (const LimitFormula& formula : report.limits) {
        page.line(fmt::format("  {}, {}, cone {} to {}: {}", formula.author, formula.glaze_type,
                              cone_name(formula.cone_from), cone_name(formula.cone_to),
                              formula.all_held() ? "all held"
                                                 : fmt::format("{} of {} held", formula.held(),
                                                               formula.oxides.size())));
        for (const OxideLimit& limit : formula.oxides) {
            if (limit.held())
                continue;
            page.line(
                fmt::format("    {:<6} {} is {} {}", limit.oxide, fixed(limit.found, 3),
                            limit.found < limit.least ? "below" : "above",
                            print_number(limit.found < limit.least ? limit.least : limit.most, 3)));
        }
    }
    const LimitFormula& first = report.limits.front();
    page.paragraph(2, "",
                   fmt::format("Source: {} ({}). Limits are habits of a time and place, not "
                               "bounds of what melts.",
                               first.source, first.from_memory ? "from memory" : "confirmed"));
}

void put_plane(Page& page, const GlazeReport& report) {
    put_heading(page, "Among silica and alumina");
    for (const std::string& line : plane_plot(report, page.width(), page.ascii()))
        page.line(line);
    page.paragraph(2, "", plane_words(report));
}

void put_hazards(Page& page, const GlazeReport& report) {
    put_heading(page, "Hazards");
    for (const GlazeHazard& hazard : report.hazards) {
        page.paragraph(2, "- ",
                       fmt::format("{}: {}{}{}", hazard.what, hazard.words,
                                   hazard.where.empty() ? "" : " (" + hazard.where + ")",
                                   hazard.source.empty() ? "" : "; " + hazard.source),
                       Ink::plain);
    }
    page.paragraph(2, "- ",
                   "Glaze dust holds silica: mix wet, do not sweep dry, do not breathe it.");
    page.paragraph(2, "- ", food_contact_words);
}

} // namespace

std::string glaze_text(const GlazeReport& report, const GlazeTextOptions& options) {
    Page page(options.width, options.plain, options.colour);
    put_head(page, report);
    put_recipe(page, report);
    for (const std::string& remark : report.remarks)
        page.paragraph(2, "", remark);
    put_unity(page, report);
    put_percents(page, report);
    put_expansion(page, report);
    put_gases(page, report);
    put_limits(page, report);
    put_plane(page, report);
    put_hazards(page, report);
    return std::move(page).take();
}

namespace {
std::string weight(double kg) {
    return kg >= 10 ? fixed(kg, 3) + " kg" : fixed(1000 * kg, 1) + " g";
}
} // namespace

std::string batch_text(const GlazeReport& report, const Batch& batch,
                       const GlazeTextOptions& options) {
    Page page(options.width, options.plain, options.colour);
    page.two_ends(
        fmt::format("Batch: {} of dry glaze", print(Quantity{batch.dry_kg, dimension::mass, 0})),
        one_line(report.name), Ink::strong);
    page.blank();
    std::size_t width = 10;
    for (const BatchLine& line : batch.lines)
        width = std::max(width, display_width(one_line(line.title)));
    width = std::min(width, page.width() - 50);
    page.line("      " + left_in("material", width) + right_in("dry", 12) + right_in("weigh", 13) +
                  right_in("scales", 13),
              Ink::faint);
    bool unknown = false;
    for (const BatchLine& line : batch.lines) {
        page.line("  [ ] " + left_in(shortened(one_line(line.title), width, page.ascii()), width) +
                  right_in(weight(line.dry_kg), 12) + right_in(weight(line.weigh_kg), 13) +
                  right_in(weight(line.total_kg), 13));
        unknown = unknown || !line.moisture_known;
    }
    page.blank();
    if (batch.water_kg > 0) {
        page.paragraph(
            2, "",
            fmt::format("The materials bring {} of water with them.", weight(batch.water_kg)));
    }
    if (unknown) {
        page.paragraph(2, "", "Materials without a `moisture` are taken as dry.");
    }
    page.paragraph(2, "", "Wear a mask while weighing; add powder to water, not water to powder.");
    return std::move(page).take();
}

} // namespace fettle
