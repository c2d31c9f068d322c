#include "compiler/output/glaze_recipe.h"

#include "compiler/source/json_writer.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr double worth_showing = 0.0005;

std::string recipe_block(const RecipeReport& report) {
    std::size_t width = 0;
    for (const std::string& material : report.materials)
        width = std::max(width, material.size());
    std::string text = fmt::format("glaze {} {{\n    recipe {{\n", report.name);
    for (std::size_t i = 0; i < report.materials.size(); ++i) {
        if (report.remade.parts[i] >= 0.0005) {
            text += fmt::format("        {:<{}} {:.3f}\n", report.materials[i], width,
                                report.remade.parts[i]);
        }
    }
    return text + "    }\n}\n";
}

} // namespace

std::string recipe_text(const RecipeReport& report) {
    const Remade& made = report.remade;
    std::string text = recipe_block(report);
    text += fmt::format("\n  {:<8}{:>9}{:>9}{:>9}\n", "oxide", "wanted", "made", "off");
    for (std::size_t i = 0; i < report.tables->oxides.size(); ++i) {
        const double off = made.made[i] - made.wanted[i];
        if (std::max(made.wanted[i], made.made[i]) < worth_showing)
            continue;
        text += fmt::format("  {:<8}{:>9.3f}{:>9.3f}", report.tables->oxides[i].name,
                            made.wanted[i], made.made[i]);
        text += std::abs(off) < worth_showing ? "\n" : fmt::format("{:>+9.3f}\n", off);
    }
    if (std::abs(report.fluxes_given - 1) > 0.0005) {
        text += fmt::format("  The fluxes that were given come to {}; all was divided by that.\n",
                            print_number(report.fluxes_given, 4));
    }
    for (std::size_t i = 0; i < report.materials.size(); ++i) {
        if (made.parts[i] < 0.0005)
            text += fmt::format("  {} is not needed.\n", report.materials[i]);
    }
    text += made.exact ? "  The formula is met to three decimals.\n"
                       : "  The formula can't be met with these materials; this comes closest.\n";
    return text;
}

void append_recipe_json(std::string& text, const RecipeReport& report) {
    JsonWriter json(text, JsonLayout::compact);
    json.object();
    json.field("format", "fettle.recipe");
    json.field("format_version", 1);
    json.field("exact", report.remade.exact);
    json.field("rest", report.remade.rest, 6);
    json.key("recipe");
    json.array();
    for (std::size_t i = 0; i < report.materials.size(); ++i) {
        json.line_object();
        json.field("material", report.materials[i]);
        json.field("parts", report.remade.parts[i], 6);
        json.end_object();
    }
    json.end_array();
    json.key("oxides");
    json.array();
    for (std::size_t i = 0; i < report.tables->oxides.size(); ++i) {
        if (report.remade.wanted[i] <= 0 && report.remade.made[i] <= 0)
            continue;
        json.line_object();
        json.field("oxide", report.tables->oxides[i].name);
        json.field("wanted", report.remade.wanted[i], 6);
        json.field("made", report.remade.made[i], 6);
        json.end_object();
    }
    json.end_array();
    json.end_object();
    json.finish();
    text += '\n';
}

} // namespace fettle
