#include "compiler/library/difference_text.h"

#include "compiler/library/overlay_plot.h"
#include "compiler/output/curve_svg.h"
#include "compiler/output/html_page.h"
#include "compiler/source/characters.h"
#include "compiler/source/json_writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace fettle {
namespace {

constexpr std::array<std::string_view, 4> step_words = {"none", "patch", "minor", "major"};
constexpr std::size_t plot_height = 13;
constexpr std::size_t most_pictures = 200;

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string sum_line(const Difference& difference) {
    std::array<std::size_t, 4> counts{};
    for (const Change& change : difference.changes)
        ++counts[static_cast<std::size_t>(change.kind)];
    return fmt::format("{} gone, {} changed, {} new, {} in words alone; {} the same", counts[0],
                       counts[1], counts[2], counts[3], difference.same);
}

std::string heading(const Change& change) {
    return fmt::format("{} {}{}{}{}", change.what, change.name, change.sample.empty() ? "" : " (",
                       change.sample, change.sample.empty() ? "" : ")");
}

void add_change(std::string& text, const Change& change) {
    text += fmt::format("  {:<8} {}\n", to_string(change.kind), visible(heading(change)));
    for (const std::string& line : change.lines)
        text += fmt::format("             {}\n", visible(line));
}

std::string without_ticks(std::string text) {
    std::erase(text, '`');
    return text;
}

std::string_view page_style() {
    return ".difference "
           "table{margin-top:1rem}.gone,.changed{font-weight:600}.what{color:var(--quiet)}"
           "section.change{margin-top:1.6rem;break-inside:avoid}";
}

void add_row(std::string& html, const Change& change) {
    html += fmt::format("<tr><td class=\"{0}\">{0}</td><td class=\"what\">{1}</td><td>{2}</td><td>",
                        to_string(change.kind), html_text(change.what), html_text(change.name));
    if (!change.sample.empty())
        html += fmt::format("<p>with {}</p>", html_text(change.sample));
    for (const std::string& line : change.lines)
        html += fmt::format("<p>{}</p>", html_text(line));
    html += "</td></tr>\n";
}

void add_picture(std::string& html, const Change& change, std::size_t number) {
    html += fmt::format("<section class=\"change\"><h3>{}</h3>\n", html_text(heading(change)));
    CurveSvgOptions options;
    const std::string id = fmt::format("c{}", number);
    const std::string title = fmt::format("{}: as it was, and as it is", change.name);
    options.id = id;
    options.title = title;
    options.overlays.push_back(
        {"as it was", OverlayStyle::other, curve_points(change.curves->before).points});
    append_curve_svg(html, change.curves->after, options);
    html += "</section>\n";
}

} // namespace

Verdict verdict(const Difference& difference) {
    const Version lowest = lowest_version(difference);
    if (difference.demands == VersionStep::same)
        return {true, "Nothing changed: there is nothing to publish."};
    const std::string words =
        fmt::format("This asks for a {} step: {} or higher",
                    step_words[static_cast<std::size_t>(difference.demands)], to_string(lowest));
    const bool enough =
        precedence(difference.now, lowest) >= 0 ||
        (!difference.now.pre_release.empty() &&
         precedence({difference.now.major, difference.now.minor, difference.now.patch, "", ""},
                    lowest) >= 0);
    return {enough, fmt::format("{}; `library.fettle` says {}.", words, to_string(difference.now))};
}

std::string difference_text(const Difference& difference, std::size_t width, std::size_t curves) {
    std::string text =
        fmt::format("{}: from {} to {}\n{}\n", visible(difference.library),
                    visible(difference.before), visible(difference.after), sum_line(difference));
    if (!difference.changes.empty())
        text += '\n';
    for (const Change& change : difference.changes)
        add_change(text, change);
    for (const Change& change : difference.changes) {
        if (!change.curves || curves == 0)
            continue;
        --curves;
        text += fmt::format("\n{}   o as it was, * as it is, = both\n", visible(heading(change)));
        for (const std::string& line :
             plot_both(change.curves->before, change.curves->after, width, plot_height))
            text += line + '\n';
    }
    if (!difference.untried.empty()) {
        text += "\nNot tried, and so taken for changed\n";
        for (const std::string& line : difference.untried)
            text += fmt::format("  {}\n", visible(line));
    }
    if (difference.tried > 0)
        text += fmt::format("\n{} compiled on both sides.\n",
                            counted(difference.tried, "firing was", "firings were"));
    return text;
}

std::string difference_json(const Difference& difference) {
    std::string text;
    JsonWriter json(text, JsonLayout::indented);
    json.object();
    json.field("format", "fettle.difference");
    json.field("format_version", 1);
    json.field("library", difference.library);
    json.field("before", difference.before);
    json.field("after", difference.after);
    json.field("demands", step_words[static_cast<std::size_t>(difference.demands)]);
    json.field("lowest_version", to_string(lowest_version(difference)));
    json.field("version", to_string(difference.now));
    json.field("rises_enough", verdict(difference).rises_enough);
    json.field("same", difference.same);
    json.field("tried", difference.tried);
    json.key("changes");
    json.array();
    for (const Change& change : difference.changes) {
        json.line_object();
        json.field("kind", to_string(change.kind));
        json.field("step", step_words[static_cast<std::size_t>(change.step)]);
        json.field("what", change.what);
        json.field("name", change.name);
        json.field("sample", change.sample);
        json.key("lines");
        json.array();
        for (const std::string& line : change.lines)
            json.text(line);
        json.end_array();
        json.end_object();
    }
    json.end_array();
    json.key("untried");
    json.array();
    for (const std::string& line : difference.untried)
        json.text(line);
    json.end_array();
    json.end_object();
    json.finish();
    return text + "\n";
}

std::string difference_page(const Difference& difference) {
    std::string html;
    const std::string title = fmt::format("{}: what changed", difference.library);
    open_page(html, {title, "difference", page_style()});
    html += fmt::format("<p class=\"mark\"><span>What changed</span><span class=\"name\">{}</span>"
                        "</p>\n<h1>{}</h1>\n<p class=\"lead\">From {} to {}. {}</p>\n",
                        html_text(difference.library), html_text(difference.library),
                        html_text(difference.before), html_text(difference.after),
                        html_text(without_ticks(verdict(difference).words)));
    html += fmt::format("<p>{}</p>\n", html_text(sum_line(difference)));
    if (!difference.changes.empty()) {
        html += "<table><thead><tr><th>how</th><th>what</th><th>name</th><th>in what</th></tr>"
                "</thead><tbody>\n";
        for (const Change& change : difference.changes)
            add_row(html, change);
        html += "</tbody></table>\n";
    }
    std::size_t pictures = 0;
    for (const Change& change : difference.changes) {
        if (!change.curves || pictures == most_pictures)
            continue;
        if (pictures == 0)
            html += "<h2>The curves, one over the other</h2>\n";
        add_picture(html, change, pictures++);
    }
    html +=
        "<h2>How it was found</h2>\n<p>Everything was compiled in both versions and compared by "
        "what it comes to. Templates and phases were tried with each parameter at each of "
        "these, while the others stayed in the middle, and with all low and all high.</p><ul>\n";
    for (const std::string& line : stated_samples())
        html += fmt::format("<li>{}</li>\n", html_text(line));
    html += "</ul>\n";
    for (const std::string& line : difference.untried)
        html += fmt::format("<p>Not tried, and so taken for changed: {}</p>\n", html_text(line));
    close_page(html);
    return html;
}

} // namespace fettle
