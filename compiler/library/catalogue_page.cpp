#include "compiler/library/catalogue_page.h"

#include "compiler/meaning/written_text.h"
#include "compiler/output/firing_curve.h"
#include "compiler/output/html_page.h"
#include "compiler/output/phrases.h"
#include "compiler/source/embedded.h"
#include "compiler/source/json_writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <span>

namespace fettle {

std::span<const EmbeddedFile> catalogue_files(); // made by fettle_embed

namespace {

// In the order in which readers look for them.
constexpr std::string_view kinds[] = {"firing", "template", "phase",    "body",    "glaze",
                                      "kiln",   "rule",     "function", "constant"};

std::string_view embedded(std::string_view name) {
    for (const EmbeddedFile& file : catalogue_files()) {
        if (file.name == name)
            return file.text;
    }
    return {};
}

std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z')
        text[0] = static_cast<char>(text[0] - ('a' - 'A'));
    return text;
}

std::string heading_of(const CatalogueItem& item) {
    return item.title.empty() ? capital(readable_name(item.name)) : item.title;
}

std::string plural(std::string_view kind) {
    if (kind == "body")
        return "Clay bodies";
    if (kind == "glaze")
        return "Glazes";
    return capital(std::string(kind)) + "s";
}

// Line by line, so that the line ends stay.
std::string preformatted(std::string_view text) {
    std::string html;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        append_escaped(html, text.substr(0, end));
        html += '\n';
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return html;
}

std::string code(std::string_view text) {
    return fmt::format("<code>{}</code>", html_text(text));
}

const Module& module_of(const CatalogueItems& items, const CatalogueItem& item) {
    const Program& program = items.libraries[item.library].compiled->compilation().program();
    return program.modules[program.declarations[item.declaration].module];
}

void add_parameters(std::string& html, const CatalogueItems& items, const CatalogueItem& item) {
    const Program& program = items.libraries[item.library].compiled->compilation().program();
    const Declaration& declaration = program.declarations[item.declaration];
    const auto parameters = program.parameters_of(declaration);
    if (parameters.empty())
        return;
    const Module& module = module_of(items, item);
    html += "<h2>Parameters</h2>\n<table><thead><tr><th scope=\"col\">name</th><th scope=\"col\">"
            "what it is</th><th scope=\"col\">where left out</th></tr></thead><tbody>\n";
    for (const Parameter& parameter : parameters) {
        const std::string_view type = module.tree.source(module.child(parameter.node, 1));
        html += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td></tr>\n",
                            code(program.name(parameter.name)), code(type),
                            parameter.default_value == none
                                ? "has to be given"
                                : code(module.tree.source(parameter.default_value)));
    }
    html += "</tbody></table>\n";
}

void add_fields(std::string& html, const CatalogueItems& items, const CatalogueItem& item) {
    const Program& program = items.libraries[item.library].compiled->compilation().program();
    const Declaration& declaration = program.declarations[item.declaration];
    if (declaration.kind != DeclarationKind::profile)
        return;
    const Profile& profile = program.profiles[declaration.profile];
    const auto fields = fields_of(holder_of(profile.kind));
    std::string rows;
    for (std::size_t i = 0; i < fields.size() && i < profile.fields.size(); ++i) {
        if (!profile.fields[i].known())
            continue;
        rows += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td class=\"quiet\">{}</td>"
                            "</tr>\n",
                            html_text(readable_name(fields[i].name)),
                            html_text(print_value(program, profile.fields[i],
                                                  field_type(fields[i], *program.types))),
                            html_text(fields[i].about));
    }
    if (!rows.empty())
        html += fmt::format("<h2>What is known of it</h2>\n<table><thead><tr><th scope=\"col\">"
                            "field</th><th scope=\"col\">value</th><th scope=\"col\">what it is"
                            "</th></tr></thead><tbody>\n{}</tbody></table>\n",
                            rows);
}

void add_rule(std::string& html, const CatalogueItems& items, const CatalogueItem& item) {
    const Module& module = module_of(items, item);
    const Program& program = items.libraries[item.library].compiled->compilation().program();
    const NodeId block = module.child(program.declarations[item.declaration].node, 4);
    const std::map<NodeKind, std::string_view> parts = {
        {NodeKind::because, "Why"}, {NodeKind::remedy, "What to do"}, {NodeKind::source, "Source"}};
    for (std::uint32_t i = 0;
         module.tree.is(block, NodeKind::block) && i < module.tree.count(block); ++i) {
        const NodeId statement = module.child(block, i);
        const auto part = parts.find(module.tree[statement].kind);
        if (part != parts.end())
            html += fmt::format("<h2>{}</h2>\n<p>{}</p>\n", part->second,
                                html_text(written_text(module.tree, module.child(statement, 0))));
    }
}

void add_table(std::string& html, const Schedule& schedule) {
    html += "<section class=\"scroll\" tabindex=\"0\" aria-label=\"The steps\"><table>"
            "<caption>The steps</caption><thead><tr><th scope=\"col\">phase</th><th "
            "scope=\"col\">step</th><th scope=\"col\" class=\"n\">to</th><th scope=\"col\" "
            "class=\"n\">rate</th><th scope=\"col\" class=\"n\">time</th></tr></thead><tbody>\n";
    std::uint32_t phase = 0xffffffffu;
    for (const Segment& segment : schedule.segments) {
        const Phase& named = schedule.phases[segment.phase];
        html += fmt::format(
            "<tr><td>{}</td><td>{}</td><td class=\"n\">{:.6g}C{}</td><td class=\"n\">{}</td><td "
            "class=\"n\">{}</td></tr>\n",
            segment.phase == phase ? "" : html_text(readable_name(named.name)),
            html_text(what_it_does(segment)), segment.to_c,
            segment.to_cone.empty()
                ? ""
                : fmt::format("<br><small>cone {}</small>", html_text(segment.to_cone)),
            segment.kind == SegmentKind::soak ? ""
                                              : html_text(printed_rate(segment, Scale::celsius)),
            html_text(printed_time(segment.duration_s, segment.estimated_duration_s)));
        phase = segment.phase;
    }
    html += "</tbody></table></section>\n";
}

// One for wide pages, and a narrow one whose letters can be read on a phone.
void add_curves(std::string& html, const CatalogueItem& item, const CompiledFiring& compiled) {
    CurveSvgOptions options = curve_options(compiled.document, {});
    const std::string title = fmt::format("The curve of {}", item.name);
    options.title = title;
    html += "<figure class=\"wide\">";
    append_curve_svg(html, compiled.schedule, options);
    options.id = "narrow";
    options.width = 360;
    options.height = 260;
    html += "</figure>\n<figure class=\"narrow\">";
    append_curve_svg(html, compiled.schedule, options);
    html += "</figure>\n";
}

void add_firing(std::string& html, const CatalogueItem& item, const ShownFiring& shown) {
    const CompiledFiring& compiled = *shown.compiled;
    const FiringDocument& document = compiled.document;
    html += "<dl class=\"figures\">";
    const auto figure = [&](std::string_view name, const std::string& value) {
        const std::size_t comma = std::min(value.find(", "), value.size()); // what is more, small
        if (!value.empty())
            html += fmt::format("<div><dt>{}</dt><dd>{}<small>{}</small></dd></div>", name,
                                html_text(value.substr(0, comma)), html_text(value.substr(comma)));
    };
    figure("time", duration_line(compiled.schedule));
    figure("peak", peak_line(compiled.schedule, Scale::celsius));
    figure("heat work",
           document.heat_work.cone.empty() ? "" : fmt::format("cone {}", document.heat_work.cone));
    html += "</dl>\n";
    if (!shown.sample.empty())
        html +=
            fmt::format("<p class=\"lead\">For example, with {}.</p>\n", html_text(shown.sample));
    add_curves(html, item, compiled);
    add_table(html, compiled.schedule);
    std::string rows;
    for (const Check& check : document.checks) {
        if (check.result == CheckResult::broken || check.result == CheckResult::waived ||
            check.result == CheckResult::unknown)
            rows += fmt::format("<li><b>{}</b>: {}</li>\n", html_text(check.rule),
                                check.result == CheckResult::unknown
                                    ? fmt::format("not known; {}", html_text(check.reason))
                                : check.result == CheckResult::waived
                                    ? fmt::format("waived: {}", html_text(check.waiver))
                                    : html_text(found_line(check, Scale::celsius)));
    }
    html += fmt::format("<h2>Rules</h2>\n<p>{}</p>\n", html_text(counts(document.checks)));
    if (!rows.empty())
        html += fmt::format("<ul>{}</ul>\n", rows);
    if (!document.confirms.empty()) {
        html += "<h2>To confirm before the start</h2>\n<ul>";
        for (const Confirmation& confirmation : document.confirms)
            html += fmt::format("<li>{}</li>", html_text(confirmation.text));
        html += "</ul>\n";
    }
    if (!document.accept.empty()) {
        html += "<h2>Accepted if</h2>\n<ul>";
        for (const AcceptItem& accept : document.accept)
            html += fmt::format("<li>{}</li>",
                                html_text(accept_line(accept, compiled.schedule, Scale::celsius)));
        html += "</ul>\n";
    }
}

void add_links(std::string& html, std::string_view heading, const CatalogueItems& items,
               const std::vector<std::size_t>& linked, const std::vector<std::string>& outside) {
    if (linked.empty() && outside.empty())
        return;
    html += fmt::format("<h2>{}</h2>\n<ul>", heading);
    for (const std::size_t other : linked) {
        const CatalogueItem& item = items.all[other];
        html += fmt::format("<li>{} <a href=\"{}.html\">{}</a>{}</li>\n", item.kind, item.file,
                            html_text(item.name),
                            item.title.empty() ? "" : ": " + html_text(item.title));
    }
    for (const std::string& name : outside)
        html += fmt::format("<li>{}</li>\n", code(name));
    html += "</ul>\n";
}

std::string_view label_of(std::string_view file) {
    constexpr std::pair<std::string_view, std::string_view> labels[] = {
        {".card.html", "The card, to print"},
        {".csv", "The table, as CSV"},
        {".json", "All of it, as JSON"},
        {".svg", "The curve, as SVG"}};
    for (const auto& [ending, label] : labels) {
        if (file.ends_with(ending))
            return label;
    }
    return file;
}

void add_source(std::string& html, const CatalogueItems& items, const CatalogueItem& item) {
    const Module& module = module_of(items, item);
    const Program& program = items.libraries[item.library].compiled->compilation().program();
    const NodeId node = program.declarations[item.declaration].node;
    html +=
        fmt::format("<h2>Source</h2>\n<section class=\"source\" tabindex=\"0\" aria-label=\"The "
                    "source\"><pre><code>{}</code></pre></section>\n",
                    preformatted(module.tree.source(node)));
}

std::string words_of(const CatalogueItem& item) {
    return fmt::format("{} {} {} {} {}", item.kind, item.module, item.name, item.title, item.about);
}

void add_library_list(std::string& html, const CatalogueItems& items, std::size_t number) {
    const CatalogueLibrary& library = items.libraries[number];
    const Manifest& manifest = library.version->library.manifest;
    html += fmt::format("<section class=\"library\"><h2>{} <small>{}</small></h2>\n<p "
                        "class=\"lead\">{}</p>\n",
                        html_text(manifest.name), html_text(manifest.version),
                        html_text(manifest.about));
    if (!manifest.licence.empty())
        html += fmt::format("<p class=\"quiet\">Licence: {}</p>\n", html_text(manifest.licence));
    std::vector<std::string> shown_kinds(std::begin(kinds), std::end(kinds));
    for (const CatalogueItem& item : items.all) {
        if (std::find(shown_kinds.begin(), shown_kinds.end(), item.kind) == shown_kinds.end())
            shown_kinds.push_back(item.kind);
    }
    for (const std::string& kind : shown_kinds) {
        std::string rows;
        for (const CatalogueItem& item : items.all) {
            if (item.library == number && item.kind == kind)
                rows += fmt::format("<li data-words=\"{}\"><a href=\"{}.html\">{}</a> <span "
                                    "class=\"quiet\">{}</span></li>\n",
                                    escaped(words_of(item)), item.file, html_text(heading_of(item)),
                                    html_text(item.name));
        }
        if (!rows.empty())
            html += fmt::format("<section class=\"kind\"><h3>{}</h3>\n<ul>{}</ul></section>\n",
                                plural(kind), rows);
    }
    html += "</section>\n";
}

} // namespace

std::string item_page(const CatalogueItems& items, std::size_t number, const ShownFiring& shown) {
    const CatalogueItem& item = items.all[number];
    const Manifest& manifest = items.libraries[item.library].version->library.manifest;
    std::string html;
    const std::string title = fmt::format("{} - {}", heading_of(item), manifest.name);
    open_page(html, {title, "catalogue", embedded("catalogue.css")});
    html += fmt::format("<nav class=\"mark\" aria-label=\"Where this is\"><a href=\"index.html\">"
                        "Catalogue</a><span class=\"name\">{} {}</span></nav>\n<h1>{}</h1>\n<p "
                        "class=\"lead\">{}: {}</p>\n",
                        html_text(manifest.name), html_text(manifest.version),
                        html_text(heading_of(item)), capital(item.kind),
                        code(fmt::format("use {} ({})", item.module, item.name)));
    if (!item.about.empty())
        html += fmt::format("<p class=\"about\">{}</p>\n", html_text(item.about));
    if (shown.compiled != nullptr)
        add_firing(html, item, shown);
    if (!shown.downloads.empty()) {
        html += "<h2>To take away</h2>\n<ul class=\"files\">";
        for (const std::string& file : shown.downloads)
            html += fmt::format("<li><a href=\"{}\">{}</a></li>", html_text(file),
                                html_text(label_of(file)));
        html += "</ul>\n";
    }
    add_parameters(html, items, item);
    add_fields(html, items, item);
    if (item.kind == "rule")
        add_rule(html, items, item);
    add_links(html, "Uses", items, item.uses, item.outside);
    add_links(html, "Used by", items, item.used_by, {});
    add_source(html, items, item);
    close_page(html);
    return html;
}

std::string index_page(const CatalogueItems& items) {
    std::string html;
    open_page(html, {"Catalogue of firings", "catalogue", embedded("catalogue.css")});
    html += "<p class=\"mark\"><span>Catalogue</span></p>\n<h1>";
    html += items.libraries.size() == 1
                ? html_text(items.libraries[0].version->library.manifest.name)
                : fmt::format("{} libraries", items.libraries.size());
    html += fmt::format(
        "</h1>\n<section class=\"search\" aria-label=\"Search\" hidden><label "
        "for=\"search\">Search</label>"
        "<input id=\"search\" type=\"search\" autocomplete=\"off\" spellcheck=\"false\"><p "
        "id=\"found\" role=\"status\">{} entries</p></section>\n",
        items.all.size());
    for (std::size_t i = 0; i < items.libraries.size(); ++i)
        add_library_list(html, items, i);
    html += "<p class=\"quiet\">For programs: <a href=\"index.json\">index.json</a></p>\n";
    html += fmt::format("<script>\n{}</script>\n", embedded("catalogue.js"));
    close_page(html);
    return html;
}

std::string index_json(const CatalogueItems& items,
                       const std::vector<std::vector<std::string>>& downloads) {
    std::string text;
    JsonWriter json(text, JsonLayout::indented);
    json.object();
    json.field("format", "fettle.catalogue");
    json.field("format_version", 1);
    json.key("libraries");
    json.array();
    for (const CatalogueLibrary& library : items.libraries) {
        const Manifest& manifest = library.version->library.manifest;
        json.line_object();
        json.field("name", manifest.name);
        json.field("version", manifest.version);
        json.field("licence", manifest.licence);
        json.field("about", manifest.about);
        json.end_object();
    }
    json.end_array();
    json.key("entries");
    json.array();
    for (std::size_t i = 0; i < items.all.size(); ++i) {
        const CatalogueItem& item = items.all[i];
        json.line_object();
        json.field("kind", item.kind);
        json.field("library", items.libraries[item.library].version->library.manifest.name);
        json.field("module", item.module);
        json.field("name", item.name);
        json.field("title", item.title);
        json.field("about", item.about);
        json.field("page", item.file + ".html");
        json.key("files");
        json.array();
        for (const std::string& file : downloads[i])
            json.text(file);
        json.end_array();
        json.key("uses");
        json.array();
        for (const std::size_t other : item.uses)
            json.text(fmt::format("{}.{}", items.all[other].module, items.all[other].name));
        json.end_array();
        json.end_object();
    }
    json.end_array();
    json.end_object();
    json.finish();
    return text + "\n";
}

} // namespace fettle
