#include "compiler/output/sheet_parts.h"

#include "compiler/output/cautions.h"
#include "compiler/output/firing_curve.h"
#include "compiler/output/html_page.h"
#include "compiler/output/phrases.h"
#include "compiler/source/characters.h"
#include "runtime/schedule/curve.h"

#include <algorithm>

namespace fettle {

namespace {

constexpr std::size_t long_title = 60, endless_title = 160; // letters

void put_fact(std::string& html, std::string_view label, const std::string& text) {
    if (text.empty()) {
        return;
    }
    html += "<div><dt>";
    append_text(html, label);
    html += "</dt> <dd>";
    append_text(html, text);
    html += "</dd></div>\n";
}

std::string title_or_name(const NamedProfile& profile) {
    return profile.title.empty() ? readable_name(profile.name) : std::string(profile.title);
}

// The ware without the names that only the source needs.
std::string plain_ware_line(const WareGroup& ware) {
    WareGroup plain = ware;
    const std::string body = title_or_name(ware.body), glaze = title_or_name(ware.glaze);
    plain.body = {body, {}};
    plain.glaze = {glaze, {}};
    return ware_line(plain);
}

void put_figure(std::string& html, std::string_view label, std::string_view value,
                std::string_view small) {
    put(html, "<div><dt>{}</dt><dd>{}", label, escaped(value));
    if (!small.empty()) {
        put(html, " <small>{}</small>", escaped(small));
    }
    html += "</dd></div>\n";
}

} // namespace

// --- times --------------------------------------------------------------------------------------

Times::Times(const Schedule& schedule, const OutputOptions& options)
    : known_(Curve(schedule).starts_s()), estimated_(Curve(schedule, Estimates::use).starts_s()) {
    if (options.start_clock_s) {
        clock_s_ = *options.start_clock_s + schedule.delay_s;
    }
}

std::string Times::at(std::optional<double> time_s, bool estimated) const {
    if (!time_s) {
        return "?";
    }
    const std::string mark = estimated ? "~" : "";
    if (!clock_s_) {
        return mark + printed_offset(*time_s);
    }
    return mark + clock_after(*clock_s_, *time_s).text;
}

std::optional<long long> Times::day_of(std::optional<double> time_s) const {
    if (!time_s || !clock_s_) {
        return std::nullopt;
    }
    return clock_after(*clock_s_, *time_s).day;
}

std::string Times::with_day(std::size_t segment) const {
    const auto day = day_of(estimated_[segment]);
    return (day && *day > 1 ? fmt::format("day {}, ", *day) : std::string()) + start_of(segment);
}

std::string Times::start_of(std::size_t segment) const {
    return at(estimated_[segment], !known_[segment]);
}

// --- head ---------------------------------------------------------------------------------------

std::string_view title_of(const FiringDocument& document) {
    return document.title.empty() ? document.name : document.title;
}

void put_title(std::string& html, std::string_view what, const FiringDocument& document) {
    put(html, "<header>\n<p class=\"mark\"><span>{}</span><span class=\"name\">", what);
    append_text(html, document.name);
    const std::size_t letters = display_width(title_of(document));
    put(html, "</span></p>\n<h1{} dir=\"auto\">",
        letters > endless_title ? " class=\"endless\""
        : letters > long_title  ? " class=\"long\""
                                : "");
    append_escaped(html, title_of(document));
    html += "</h1>\n</header>\n";
}

void put_facts(std::string& html, const FiringDocument& document, const OutputOptions& options) {
    html += "<dl class=\"facts\">\n";
    put_fact(html, "Kiln", title_or_name(document.kiln));
    put_fact(html, "Controller", title_or_name(document.controller));
    if (document.load.empty()) {
        put_fact(html, "Ware", title_or_name(document.body));
    }
    for (const WareGroup& ware : document.load) {
        const std::string name = readable_name(ware.name);
        put_fact(html, name.empty() ? "Ware" : std::string_view(name), plain_ware_line(ware));
    }
    std::string start = "at " + print_temperature(document.schedule->start_c, options.scale);
    if (options.start_clock_s) {
        start += ", at " + print_clock(*options.start_clock_s);
    }
    if (document.schedule->delay_s > 0) {
        start += fmt::format(", first step after {}", print_duration(document.schedule->delay_s));
    }
    put_fact(html, "Start", start);
    html += "</dl>\n";
}

void put_key_figures(std::string& html, const FiringDocument& document,
                     const OutputOptions& options) {
    const Schedule& schedule = *document.schedule;
    if (schedule.segments.empty()) {
        return;
    }
    const Times times(schedule, options);
    const Curve curve(schedule, Estimates::use);
    const auto peak = curve.peak();
    html += "<dl class=\"figures\">\n";
    put_figure(html, "Top", print_temperature(*peak.value, options.scale),
               document.heat_work.cone.empty() ? std::string()
                                               : fmt::format("cone {}", document.heat_work.cone));
    if (!peak.segments.empty()) {
        put_figure(html, times.by_clock() ? "Top reached at" : "Top reached after",
                   times.with_day(peak.segments.front() + 1), {});
    }
    const auto known = Curve(schedule).duration(), duration = curve.duration();
    const auto cooling = curve.free_cooling();
    put_figure(html, "Fires for", printed_time(known.value, duration.value),
               cooling.segments.empty() && cooling.value
                   ? std::string()
                   : fmt::format("then cools {}",
                                 cooling.value ? printed_time({}, cooling.value) : "by itself"));
    if (options.start_clock_s) {
        put_figure(html, "Program started", print_clock(*options.start_clock_s),
                   schedule.delay_s > 0 ? fmt::format("first step {}", times.with_day(0))
                                        : std::string());
    } else if (schedule.delay_s > 0) {
        put_figure(html, "Waits before", print_duration(schedule.delay_s), {});
    }
    html += "</dl>\n";
}

void put_curve(std::string& html, const Schedule& schedule, CurveSvgOptions curve, double height) {
    if (schedule.segments.empty()) {
        return;
    }
    curve.height = height;
    html += "<figure>\n<div class=\"wide\">\n";
    append_curve_svg(html, schedule, curve);
    html += "</div>\n<div class=\"narrow\">\n";
    curve.id = "small";
    curve.width = 380;
    curve.height = 300;
    append_curve_svg(html, schedule, curve);
    html += "</div>\n</figure>\n";
}

void put_curve(std::string& html, const FiringDocument& document, const OutputOptions& options,
               double height) {
    put_curve(html, *document.schedule, curve_options(document, options), height);
}

// --- lists --------------------------------------------------------------------------------------

void put_confirmations(std::string& html, const FiringDocument& document) {
    if (document.confirms.empty()) {
        return;
    }
    html += "<section>\n<h2>Before the start</h2>\n<ul class=\"ticks confirm\">\n";
    for (const Confirmation& confirmation : document.confirms) {
        html += "<li><span class=\"box\"></span><span dir=\"auto\">";
        append_escaped(html, confirmation.text);
        html += "</span><span class=\"signed\">";
        append_text(html, confirmation.by.empty() ? "signed" : confirmation.by);
        html += " <span class=\"sign\"></span></span></li>\n";
    }
    html += "</ul>\n</section>\n";
}

void put_cones(std::string& html, const FiringDocument& document, const Times& times, Scale scale) {
    if (document.cones_expected.empty()) {
        return;
    }
    html += "<section>\n<h2>Cones to expect</h2>\n<table class=\"cones\">\n";
    for (const ConeExpected& cone : document.cones_expected) {
        put(html, "<tr><th scope=\"row\">cone {}</th>", escaped(cone.cone));
        if (cone.falls) {
            put(html, "<td>down near {}</td><td class=\"n\">{}</td></tr>\n",
                print_temperature(cone.at_c, scale), times.at(cone.falls_s));
        } else {
            html += "<td>still stands at the end</td><td></td></tr>\n";
        }
    }
    html += "</table>\n<p class=\"quiet\">";
    std::vector<std::string> shelves;
    for (const AcceptItem& item : document.accept) {
        if (item.kind == "witness" && !item.shelf.empty()) {
            shelves.emplace_back(item.shelf);
        }
    }
    for (const WareGroup& ware : document.load) {
        if (!ware.shelf.empty()) {
            shelves.emplace_back(ware.shelf);
        }
    }
    std::sort(shelves.begin(), shelves.end());
    shelves.erase(std::unique(shelves.begin(), shelves.end()), shelves.end());
    append_text(html, shelves.empty()
                          ? std::string("Side by side, where you can see them.")
                          : fmt::format("Side by side, on the shelf: {}.", joined(shelves)));
    html += "</p>\n</section>\n";
}

void put_acceptance(std::string& html, const FiringDocument& document, Scale scale) {
    if (document.accept.empty()) {
        return;
    }
    html += "<section>\n<h2>As specified when</h2>\n<ul class=\"ticks\">\n";
    for (const AcceptItem& item : document.accept) {
        html += "<li><span class=\"box\"></span>";
        append_text(html, accept_line(item, *document.schedule, scale));
        html += "</li>\n";
    }
    html += "</ul>\n</section>\n";
}

void put_cautions(std::string& html, const FiringDocument& document) {
    html += "<section class=\"cautions\">\n<h2>Safety</h2>\n<ul>\n";
    for (std::string_view caution : cautions(document)) {
        put(html, "<li>{}</li>\n", escaped(caution));
    }
    html += "</ul>\n</section>\n";
}

void put_origin(std::string& html, const FiringDocument& document) {
    html += "<footer class=\"quiet\">";
    std::string text = fmt::format("Made by Fettle {}", document.compiler_version);
    if (document.source != nullptr && !document.source->library.empty()) {
        text +=
            fmt::format(" from {} {}", document.source->library, document.source->library_version);
    }
    if (!document.template_name.empty()) {
        text += fmt::format("; {}", template_line(document));
    }
    append_text(html, text + ".");
    html += "</footer>\n";
}

} // namespace fettle
