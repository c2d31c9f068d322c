// `fettle explain`: a message explained, with a wrong and a right example.
#include "compiler/cli/command.h"
#include "compiler/cli/explanations.h"
#include "compiler/cli/terminal.h"
#include "compiler/source/characters.h"
#include "compiler/source/diagnostic.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

constexpr std::string_view bold = "\x1b[1m";
constexpr std::string_view faint = "\x1b[2m";
constexpr std::string_view plain = "\x1b[0m";

std::string emphasised(std::string_view text, std::string_view ink, bool colour) {
    return colour ? fmt::format("{}{}{}", ink, text, plain) : std::string(text);
}

// The page as it stands, but for the signs of Markdown: headings are stronger, examples indented.
std::string page_for_terminal(std::string_view page, bool colour) {
    std::string out;
    bool in_example = false;
    bool was_blank = true;
    while (!page.empty()) {
        const std::size_t end = std::min(page.find('\n'), page.size());
        const std::string_view line = page.substr(0, end);
        page.remove_prefix(std::min(end + 1, page.size()));
        if (line.starts_with("```")) {
            in_example = !in_example;
            continue;
        }
        if (in_example)
            out += line.empty() ? "\n" : fmt::format("    {}\n", line);
        else if (line.starts_with("# "))
            out += emphasised(line.substr(2), bold, colour) + '\n';
        else if (line == "Wrong:" || line == "Right:")
            out += emphasised(line, bold, colour) + '\n';
        else if (!line.empty() || !was_blank)
            out += fmt::format("{}\n", line);
        was_blank = line.empty();
    }
    return out;
}

// What the diagnostics are about, by the level that they have.
ExitCode list_all() {
    const bool colour = wants_colour(Channel::results);
    std::size_t width = 0;
    for (const DiagnosticEntry& entry : diagnostic_table())
        width = std::max(width, entry.name.size());
    std::string text;
    for (const Level level : {Level::error, Level::caution, Level::advice}) {
        std::vector<DiagnosticEntry> entries;
        std::copy_if(diagnostic_table().begin(), diagnostic_table().end(),
                     std::back_inserter(entries),
                     [&](const DiagnosticEntry& entry) { return entry.level == level; });
        std::sort(entries.begin(), entries.end(),
                  [](const auto& a, const auto& b) { return a.name < b.name; });
        text += emphasised(level == Level::error     ? "Errors: nothing is written"
                           : level == Level::caution ? "Cautions: read them before you fire"
                                                     : "Advice",
                           bold, colour) +
                '\n';
        for (const DiagnosticEntry& entry : entries)
            text += fmt::format("  {:<{}}  {}\n", entry.name, width, entry.summary);
        text += '\n';
    }
    text += emphasised("`fettle explain NAME` tells more about one of them.", faint, colour) + '\n';
    return print(text);
}

ExitCode explain(std::string name) {
    if (name.empty())
        return list_all();
    std::replace(name.begin(), name.end(), '_', '-');
    std::vector<std::string_view> names;
    for (const DiagnosticEntry& entry : diagnostic_table()) {
        if (entry.name == name) {
            const std::string_view page = explanation(name);
            return print(page.empty() ? fmt::format("{} ({})\n\n{}\n", name, to_string(entry.level),
                                                    entry.summary)
                                      : page_for_terminal(page, wants_colour(Channel::results)));
        }
        names.push_back(entry.name);
    }
    const auto near = nearest(name, names);
    say(fmt::format("error: no message has the name `{}`{}\n  `fettle explain` lists them all",
                    visible(name), near ? fmt::format("; did you mean `{}`?", *near) : ""));
    return ExitCode::usage;
}

} // namespace

std::function<ExitCode()> prepare_explain(Arguments& arguments) {
    const auto name = std::make_shared<std::string>();
    std::vector<std::string_view> names;
    for (const DiagnosticEntry& entry : diagnostic_table())
        names.push_back(entry.name);
    arguments.word(*name, "NAME",
                   "The name that a message carries: `missing-unit`; none: all names", false);
    arguments.suggest(names);
    arguments.example("fettle explain missing-unit", "what it means, and how it is mended");
    arguments.example("fettle explain", "all names");
    return [name] { return explain(*name); };
}

} // namespace fettle
