#include "compiler/output/glaze_files.h"
#include "compiler/output/glaze_plane.h"
#include "compiler/output/glaze_text.h"
#include "compiler/output/html_page.h"
#include "compiler/output/phrases.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

namespace fettle {
namespace {

class Card {
  public:
    explicit Card(const GlazeReport& report) : report_(report) {}

    std::string make(const std::optional<Batch>& batch) {
        const std::string_view title = report_.title.empty() ? report_.name : report_.title;
        open_page(html_,
                  {.title = title, .body_class = "glaze", .style = style_sheet("glaze_card")});
        put("<p class=\"mark\"><span>Glaze</span><span class=\"name\">{}</span></p>\n<h1>{}</h1>\n",
            escaped(report_.name), html_text(title));
        if (!report_.about.empty())
            put("<p class=\"lead\">{}</p>\n", html_text(report_.about));
        put_figures();
        html_ += "<div class=\"pair\">\n<section>\n";
        batch ? put_batch(*batch) : put_recipe();
        html_ += "</section>\n<section>\n<h2>Unity formula</h2>\n";
        put_unity();
        html_ += "</section>\n</div>\n<div class=\"pair\">\n<section>\n";
        put_gases();
        put_expansion();
        html_ += "</section>\n<section>\n<h2>Among silica and alumina</h2>\n";
        html_ += plane_svg(report_, false);
        put("<p class=\"quiet\">{}</p>\n", escaped(plane_words(report_)));
        html_ += "</section>\n</div>\n";
        put_limits();
        put_hazards();
        close_page(html_);
        return std::move(html_);
    }

  private:
    template <class... Parts> void put(fmt::format_string<Parts...> format, Parts&&... parts) {
        fmt::format_to(std::back_inserter(html_), format, std::forward<Parts>(parts)...);
    }

    void figure(std::string_view label, std::string_view value) {
        if (!value.empty())
            put("<div><dt>{}</dt><dd>{}</dd></div>\n", label, escaped(value));
    }

    void put_figures() {
        const GlazeChemistry& made = report_.chemistry;
        html_ += "<dl class=\"figures\">\n";
        figure("fires",
               report_.fires + (report_.atmosphere.empty() ? "" : ", ") + report_.atmosphere);
        figure("surface", report_.surface);
        figure("SiO2 to Al2O3", std::isnan(made.silica_per_alumina)
                                    ? "no alumina"
                                    : fmt::format("{:.2f}", made.silica_per_alumina));
        figure("alkalis of the fluxes", print_number(100 * made.alkali_share, 1) + "%");
        figure("B2O3", fmt::format("{:.3f}", made.boron));
        figure("loss in the fire",
               std::isnan(made.loss) ? "not known" : print_number(100 * made.loss, 1) + "%");
        html_ += "</dl>\n";
    }

    void put_recipe() {
        html_ += "<h2>Recipe</h2>\n<table><thead><tr><th>material</th><th class=\"n\">parts</th>"
                 "<th class=\"n\">per cent</th></tr></thead><tbody>\n";
        for (const GlazeIngredient& part : report_.ingredients) {
            put("<tr><td>{}{}</td><td class=\"n\">{}</td><td class=\"n\">{}{:.2f}</td></tr>\n",
                part.addition ? "and " : "", html_text(part.title), print_number(part.parts, 3),
                part.addition ? "+" : "", part.percent);
        }
        html_ += "</tbody></table>\n";
        for (const std::string& remark : report_.remarks)
            put("<p class=\"quiet\">{}</p>\n", html_text(remark));
    }

    void put_batch(const Batch& batch) {
        put("<h2>Batch: {} of dry glaze</h2>\n<table><thead><tr><th></th><th>material</th>"
            "<th class=\"n\">dry</th><th class=\"n\">weigh</th><th class=\"n\">scales</th>"
            "</tr></thead><tbody>\n",
            print(Quantity{batch.dry_kg, dimension::mass, 0}));
        for (const BatchLine& line : batch.lines) {
            put("<tr><td><span class=\"box\"></span></td><td>{}</td><td class=\"n\">{:.1f} g</td>"
                "<td class=\"n\"><b>{:.1f} g</b></td><td class=\"n\">{:.1f} g</td></tr>\n",
                html_text(line.title), 1000 * line.dry_kg, 1000 * line.weigh_kg,
                1000 * line.total_kg);
        }
        html_ +=
            "</tbody></table>\n<p class=\"quiet\">Materials without a moisture of their own are "
            "taken as dry. Wear a mask while weighing; add powder to water.</p>\n";
    }

    void unity_column(std::string_view title, auto&& belongs) {
        put("<div><h3>{}</h3><table><tbody>\n", title);
        for (std::size_t i = 0; i < report_.tables->oxides.size(); ++i) {
            const Oxide& oxide = report_.tables->oxides[i];
            if (belongs(oxide.role) && report_.chemistry.unity[i] >= 0.0005) {
                put("<tr><td class=\"n\">{:.3f}</td><td>{}</td></tr>\n", report_.chemistry.unity[i],
                    escaped(oxide.name));
            }
        }
        html_ += "</tbody></table></div>\n";
    }

    void put_unity() {
        html_ += "<div class=\"unity\">\n";
        unity_column("fluxes", [](OxideRole role) { return is_flux(role); });
        unity_column("stabiliser", [](OxideRole role) { return role == OxideRole::stabiliser; });
        unity_column("glass-formers", [](OxideRole role) { return role == OxideRole::former; });
        html_ += "</div>\n<h3>Fired glaze</h3>\n<table><thead><tr><th>oxide</th>"
                 "<th class=\"n\">mass %</th><th class=\"n\">mole %</th></tr></thead><tbody>\n";
        for (std::size_t i = 0; i < report_.tables->oxides.size(); ++i) {
            if (report_.chemistry.mass[i] >= 5e-5) {
                put("<tr><td>{}</td><td class=\"n\">{:.2f}</td><td class=\"n\">{:.2f}</td></tr>\n",
                    escaped(report_.tables->oxides[i].name), 100 * report_.chemistry.mass[i],
                    100 * report_.chemistry.moles[i]);
            }
        }
        html_ += "</tbody></table>\n";
    }

    void put_gases() {
        html_ += "<h2>What leaves in the fire</h2>\n<table><thead><tr><th>gas</th><th>when</th>"
                 "<th class=\"n\">of the dry glaze</th><th>from</th></tr></thead><tbody>\n";
        for (const GlazeGas& gas : report_.gases) {
            put("<tr><td>{}</td><td>{}</td><td class=\"n\">{:.2f}%</td><td>{}</td></tr>\n",
                to_string(gas.gas),
                gas.from_c ? fmt::format("{:.0f}C to {:.0f}C{}", *gas.from_c, *gas.to_c,
                                         gas.alone ? ", alone" : "")
                           : "not known",
                100 * gas.share, html_text(gas.material));
        }
        html_ += "</tbody></table>\n";
    }

    void put_expansion() {
        html_ += "<h2>Expansion</h2>\n<table><thead><tr><th>set</th><th class=\"n\">ppm/K</th>"
                 "<th>range</th></tr></thead><tbody>\n";
        for (std::size_t i = 0; i < report_.tables->sets.size(); ++i) {
            const ExpansionEstimate& estimate = report_.chemistry.expansion[i];
            put("<tr><td>{}</td><td class=\"n\">{}</td><td>{}{}</td></tr>\n",
                escaped(report_.tables->sets[i].title),
                estimate.usable() ? fmt::format("{:.2f}", 1e6 * estimate.per_k) : "—",
                escaped(report_.tables->sets[i].range),
                estimate.stretched ? ", past its range" : "");
        }
        put("</tbody></table>\n<p class=\"quiet\">{}</p>\n", expansion_words);
    }

    void put_limits() {
        if (report_.limits.empty())
            return;
        html_ += "<h2>Published limits</h2>\n<ul>\n";
        for (const LimitFormula& formula : report_.limits) {
            put("<li>{}, {}, cone {} to {}: {} of {} held", escaped(formula.author),
                escaped(formula.glaze_type), cone_name(formula.cone_from),
                cone_name(formula.cone_to), formula.held(), formula.oxides.size());
            for (const OxideLimit& limit : formula.oxides) {
                if (!limit.held()) {
                    put("; {} {:.3f} is outside {} to {}", escaped(limit.oxide), limit.found,
                        print_number(limit.least, 3), print_number(limit.most, 3));
                }
            }
            put(". <span class=\"quiet\">{}{}</span></li>\n", escaped(formula.source),
                formula.from_memory ? ", from memory" : "");
        }
        html_ += "</ul>\n";
    }

    void put_hazards() {
        html_ += "<h2>Hazards</h2>\n<ul>\n";
        for (const GlazeHazard& hazard : report_.hazards) {
            put("<li><b>{}</b>: {}{}{}</li>\n", html_text(hazard.what), html_text(hazard.words),
                hazard.where.empty() ? "" : " (" + hazard.where + ")",
                hazard.source.empty() ? "" : "; " + escaped(hazard.source));
        }
        put("<li>Glaze dust holds silica: mix wet, do not sweep dry, do not breathe it.</li>\n"
            "<li>{}</li>\n</ul>\n",
            food_contact_words);
    }

    const GlazeReport& report_;
    std::string html_;
};

} // namespace

std::string glaze_card(const GlazeReport& report, const std::optional<Batch>& batch) {
    return Card(report).make(batch);
}

} // namespace fettle
