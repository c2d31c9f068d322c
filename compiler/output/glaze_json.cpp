#include "compiler/output/glaze_files.h"

#include "compiler/units/quantity.h"

#include <cmath>

namespace fettle {
namespace {

constexpr std::string_view role_words[] = {"alkali", "earth",     "stabiliser",
                                           "former", "opacifier", "colourant"};

void text_or_null(JsonWriter& json, JsonKey key, std::string_view text) {
    json.key(key);
    if (text.empty()) {
        json.null();
    } else {
        json.text(text);
    }
}

void put_recipe(JsonWriter& json, const GlazeReport& report) {
    json.key("recipe");
    json.array();
    for (const GlazeIngredient& part : report.ingredients) {
        json.line_object();
        json.field("material", part.name);
        json.field("title", part.title);
        json.field("parts", part.parts, 6);
        json.field("percent", part.percent, 4);
        json.field("dry_share", part.dry_share, 6);
        json.field("addition", part.addition);
        json.field("moisture", part.moisture, 6);
        json.end_object();
    }
    json.end_array();
}

void put_oxides(JsonWriter& json, const GlazeReport& report) {
    json.key("oxides");
    json.array();
    const auto& oxides = report.tables->oxides;
    for (std::size_t i = 0; i < oxides.size(); ++i) {
        if (!(report.chemistry.mass[i] > 0))
            continue;
        json.line_object();
        json.field("oxide", oxides[i].name);
        json.field("role", role_words[static_cast<std::size_t>(oxides[i].role)]);
        json.field("unity", report.chemistry.unity[i], 6);
        json.field("mass_percent", 100 * report.chemistry.mass[i], 4);
        json.field("mole_percent", 100 * report.chemistry.moles[i], 4);
        json.end_object();
    }
    json.end_array();
}

void put_expansion(JsonWriter& json, const GlazeReport& report) {
    json.key("expansion");
    json.array();
    for (std::size_t i = 0; i < report.tables->sets.size(); ++i) {
        const ExpansionSet& set = report.tables->sets[i];
        const ExpansionEstimate& estimate = report.chemistry.expansion[i];
        json.line_object();
        json.field("set", set.name);
        json.key("ppm_per_k");
        json.number(estimate.usable() ? 1e6 * estimate.per_k : std::nan(""), 4);
        json.field("range", set.range);
        json.field("without_factor", estimate.left_out, 6);
        json.field("past_range", estimate.stretched);
        json.end_object();
    }
    json.end_array();
}

void put_gases(JsonWriter& json, const GlazeReport& report) {
    json.key("gases");
    json.array();
    for (const GlazeGas& gas : report.gases) {
        json.line_object();
        json.field("material", gas.material);
        json.field("gas", to_string(gas.gas));
        json.field("share", gas.share, 6);
        json.field("from_c", gas.from_c, 1);
        json.field("to_c", gas.to_c, 1);
        json.field("alone", gas.alone);
        json.field("from_memory", gas.from_memory);
        json.end_object();
    }
    json.end_array();
}

void put_limits(JsonWriter& json, const GlazeReport& report) {
    json.key("limits");
    json.array();
    for (const LimitFormula& formula : report.limits) {
        json.object();
        json.field("author", formula.author);
        json.field("glaze_type", formula.glaze_type);
        json.field("cone_from", cone_name(formula.cone_from));
        json.field("cone_to", cone_name(formula.cone_to));
        json.field("source", formula.source);
        json.field("from_memory", formula.from_memory);
        json.key("oxides");
        json.array();
        for (const OxideLimit& limit : formula.oxides) {
            json.line_object();
            json.field("oxide", limit.oxide);
            json.field("least", limit.least, 4);
            json.field("most", limit.most, 4);
            json.field("found", limit.found, 4);
            json.field("held", limit.held());
            json.end_object();
        }
        json.end_array();
        json.end_object();
    }
    json.end_array();
}

void put_batch(JsonWriter& json, const Batch& batch) {
    json.object();
    json.field("dry_kg", batch.dry_kg, 6);
    json.field("water_kg", batch.water_kg, 6);
    json.key("lines");
    json.array();
    for (const BatchLine& line : batch.lines) {
        json.line_object();
        json.field("material", line.name);
        json.field("dry_kg", line.dry_kg, 6);
        json.field("weigh_kg", line.weigh_kg, 6);
        json.field("total_kg", line.total_kg, 6);
        json.field("moisture_known", line.moisture_known);
        json.end_object();
    }
    json.end_array();
    json.end_object();
}

} // namespace

void append_glaze_json(std::string& text, const GlazeReport& report,
                       const std::optional<Batch>& batch, JsonLayout layout) {
    JsonWriter json(text, layout);
    const GlazeChemistry& made = report.chemistry;
    json.object();
    json.field("format", "fettle.glaze");
    json.field("format_version", 1);
    json.field("glaze", report.name);
    text_or_null(json, "title", report.title);
    text_or_null(json, "about", report.about);
    text_or_null(json, "fires", report.fires);
    text_or_null(json, "atmosphere", report.atmosphere);
    text_or_null(json, "surface", report.surface);
    put_recipe(json, report);
    json.field("base_parts", report.base_parts, 6);
    put_oxides(json, report);
    json.field("silica_per_alumina", made.silica_per_alumina, 6);
    json.field("alkali_share", made.alkali_share, 6);
    json.field("boron", made.boron, 6);
    json.field("loss", made.loss, 6);
    json.field("carbon_dioxide", made.carbon_dioxide, 6);
    put_expansion(json, report);
    put_gases(json, report);
    put_limits(json, report);
    json.key("hazards");
    json.array();
    for (const GlazeHazard& hazard : report.hazards) {
        json.line_object();
        json.field("what", hazard.what);
        text_or_null(json, "where", hazard.where);
        json.field("words", hazard.words);
        text_or_null(json, "source", hazard.source);
        json.end_object();
    }
    json.end_array();
    json.key("remarks");
    json.array();
    for (const std::string& remark : report.remarks)
        json.text(remark);
    json.end_array();
    json.key("batch");
    if (batch) {
        put_batch(json, *batch);
    } else {
        json.null();
    }
    json.end_object();
    json.finish();
    text += '\n';
}

} // namespace fettle
