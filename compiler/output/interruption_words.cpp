#include "compiler/output/interruption_words.h"

#include "compiler/output/html_page.h"
#include "compiler/output/phrases.h"

#include <algorithm>

namespace fettle {

namespace {

struct FirstOfAll {
    std::string_view heading, text;
};

// Common practice of kiln rooms.
FirstOfAll first_of_all(Fuel fuel) {
    switch (fuel) {
    case Fuel::electric:
        return {"If the power fails",
                "Switch the kiln off at its own switch, so that it does not start by itself."};
    case Fuel::gas:
        return {
            "If the flame or the power fails",
            "Shut the gas at its source. Air kiln and room for five minutes before you relight, "
            "and prove the flame."};
    case Fuel::wood:
        return {"If the fire dies down", "Close the air, so that the kiln keeps its heat."};
    case Fuel::unknown: break;
    }
    return {"If the power or the fire fails",
            "Switch it off at its own switch, or shut the gas at its source; air the room before "
            "you relight."};
}

constexpr std::string_view note_it =
    " Note the time and the highest temperature that it had reached. Then, from where it was:";

std::string range(const Interruption& at, Scale scale) {
    const std::string from = print_temperature(at.from_c, scale);
    const std::string to = print_temperature(at.to_c, scale);
    return from == to ? "at " + to : fmt::format("{} to {}", from, to);
}

// What to do in one of them. Near the top it points to the table of what is left.
std::string resume_line(const Interruption& at, Scale scale) {
    const std::string to = print_temperature(at.to_c, scale);
    std::string text;
    switch (at.kind) {
    case Interrupted::drying:
        text = "Begin this phase again from where the kiln is: it costs only time.";
        break;
    case Interrupted::dark:
        text = "Slowly on from where the kiln is, at this phase's rates. A soak cut short begins "
               "again.";
        break;
    case Interrupted::red:
        text = fmt::format("On from where the kiln is, at this phase's rates; below {}, at those "
                           "before.",
                           print_temperature(600, scale));
        break;
    case Interrupted::near_top: text = "Climb again by what is left, see below."; break;
    case Interrupted::held_falling:
        text =
            fmt::format("Never climb again. Still above {}: go on from where the kiln is. Below: "
                        "leave it shut to cool.",
                        to);
        break;
    case Interrupted::held_climbing:
        text = fmt::format("Never hotter than {}, as this phase asks. Still above {}: take up what "
                           "is left of it. Below: leave it shut to cool.",
                           print_temperature(at.from_c, scale), to);
        break;
    case Interrupted::cooling: return "Never climb again. Leave it to cool.";
    }
    return text;
}

void put_left(std::string& html, const HeatWorkLeft& left, const Times& times, Scale scale) {
    std::string reached = print_temperature(left.reached_c, scale);
    if (left.soaked_s > 0) {
        reached += fmt::format(", soaked {}", print_duration(left.soaked_s));
    }
    put(html,
        "<tr><td>{}</td><td class=\"n screen\">{}</td><td class=\"n\">{}%</td>"
        "<td class=\"n\">{}</td><td class=\"n\"><b>{}</b></td><td class=\"n\">{}</td></tr>\n",
        reached, times.at(left.at_s), print_number(left.done * 100, 0),
        left.rate_k_per_h ? print_rate(*left.rate_k_per_h, scale) : "full",
        print_temperature(left.climb_to_c, scale),
        left.soak_s > 0 ? print_duration(left.soak_s) : "none");
}

std::string reduction_line(const FiringDocument& document, Scale scale) {
    std::optional<double> from_c;
    for (const Interruption& at : document.interruptions) {
        if (at.reduction_from_c) {
            from_c = std::min(from_c.value_or(*at.reduction_from_c), *at.reduction_from_c);
        }
    }
    return from_c ? fmt::format("In clean air until it is back above {}, whatever the phase; then "
                                "reduce as before.",
                                print_temperature(*from_c, scale))
                  : std::string();
}

} // namespace

void put_heat_work_left(std::string& html, const FiringDocument& document, const Times& times,
                        Scale scale) {
    std::string rows;
    for (const Interruption& at : document.interruptions) {
        for (const HeatWorkLeft& left : at.left) {
            put_left(rows, left, times, scale);
        }
    }
    if (rows.empty()) {
        return;
    }
    put(html,
        "<section>\n<h2>If it fails near the top</h2>\n<table class=\"left\">\n<caption>Heat work "
        "adds up. By what the kiln "
        "had reached, climb again from about a hundred degrees below. Watch the cones: they "
        "decide.</caption>\n<thead><tr><th>had reached</th><th class=\"n screen\">planned "
        "for</th><th class=\"n\">done</th><th class=\"n\">climb at</th><th class=\"n\">to</th>"
        "<th class=\"n\">soak</th></tr></thead>\n<tbody>\n{}</tbody>\n</table>\n</section>\n",
        rows);
}

void put_interruptions(std::string& html, const FiringDocument& document, Scale scale) {
    if (document.interruptions.empty()) {
        return;
    }
    const FirstOfAll first = first_of_all(document.fuel);
    put(html, "<section class=\"fails\">\n<h2>{}</h2>\n<p>{}{}</p>\n<ul>\n", first.heading,
        first.text, note_it);
    for (const Interruption& at : document.interruptions) {
        html += "<li><b dir=\"auto\">";
        append_escaped(html, readable_name(document.schedule->phases[at.phase].name));
        put(html, "</b> <span class=\"range\">{}.</span> {}</li>\n", range(at, scale),
            escaped(resume_line(at, scale)));
    }
    const std::string air = reduction_line(document, scale);
    if (!air.empty()) {
        put(html, "<li>{}</li>\n", air);
    }
    html += "</ul>\n</section>\n";
}

} // namespace fettle
