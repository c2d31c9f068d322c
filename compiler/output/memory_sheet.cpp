#include "compiler/output/memory_sheet.h"

#include "compiler/output/html_page.h"
#include "compiler/output/keying_sheet.h"
#include "compiler/output/phrases.h"
#include "compiler/output/sheet_parts.h"
#include "runtime/schedule/curve.h"

#include <algorithm>

namespace fettle {
namespace {

constexpr double most_free_listed = 100; // programs

std::string title_or_name(const NamedProfile& profile) {
    return profile.title.empty() ? readable_name(profile.name) : std::string(profile.title);
}

std::string numbers_of(const StoredDocument& stored) {
    const std::size_t parts = stored.document->steps->programs.size();
    return parts < 2 ? fmt::format("{}", stored.number)
                     : fmt::format("{} to {}", stored.number, stored.number + parts - 1);
}

std::string steps_of(const Steps& steps) {
    std::vector<std::string> counts;
    for (const StepProgram& program : steps.programs) {
        counts.push_back(fmt::format("{}", program.rows.size()));
    }
    return joined(counts);
}

void put_row(std::string& html, const StoredDocument& stored, bool compared) {
    const FiringDocument& document = *stored.document;
    const Curve curve(*document.schedule, Estimates::use);
    put(html, "<tr><th scope=\"row\">{}</th><td><b>{}</b><br><small>{}</small></td>",
        numbers_of(stored), html_text(title_of(document)), html_text(document.name));
    put(html, "<td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td>",
        steps_of(*document.steps), print_temperature(*curve.peak().value, document.steps->scale),
        printed_time(Curve(*document.schedule).duration().value, curve.duration().value));
    if (compared) {
        const bool kept = stored.changes && stored.changes->none();
        put(html, "<td>{}</td>",
            kept ? std::string("nothing")
            : stored.changes
                ? "<b>" + escaped(again_words(*stored.changes, *document.steps)) + "</b>"
                : std::string("not compared"));
    }
    html += "<td class=\"tick\"><span class=\"box\"></span></td></tr>\n";
}

// Numbers that nothing is to be stored under.
void put_free(std::string& html, const MemoryDocument& memory) {
    if (!memory.programs || *memory.programs > most_free_listed) {
        return;
    }
    std::vector<std::string> free;
    for (std::uint32_t number = 1; number <= *memory.programs; ++number) {
        const bool taken = std::any_of(
            memory.stored.begin(), memory.stored.end(), [&](const StoredDocument& each) {
                return number >= each.number &&
                       number < each.number + each.document->steps->programs.size();
            });
        if (!taken) {
            free.push_back(fmt::format("{}", number));
        }
    }
    put(html, "<p class=\"quiet\">The controller keeps {} programs. Free: {}.</p>\n",
        *memory.programs, free.empty() ? std::string("none") : joined(free));
}

void put_overview(std::string& html, const MemoryDocument& memory) {
    put(html,
        "<header>\n<p class=\"mark\"><span>Stored programs</span><span class=\"name\">{}"
        "</span></p>\n<h1 dir=\"auto\">{}</h1>\n</header>\n",
        escaped(memory.name), escaped(title_or_name(memory.kiln)));
    put(html, "<p class=\"lead\">Controller: {}. A sheet for each program follows.</p>\n",
        html_text(title_or_name(memory.controller)));
    put(html,
        "<table class=\"stored\">\n<thead><tr><th>program</th><th>firing</th><th "
        "class=\"n\">steps</th><th class=\"n\">top</th><th class=\"n\">fires for</th>{}"
        "<th class=\"tick\">stored</th></tr></thead>\n<tbody>\n",
        memory.compared ? "<th>key again</th>" : "");
    for (const StoredDocument& stored : memory.stored) {
        put_row(html, stored, memory.compared);
    }
    html += "</tbody>\n</table>\n";
    put_free(html, memory);
    html += "<p class=\"fired paper\">Looked through by <span class=\"sign\"></span> on "
            "<span class=\"sign\"></span></p>\n";
}

} // namespace

std::string again_words(const KeyChanges& changes, const Steps& steps) {
    if (!changes.all_because.empty()) {
        return "all";
    }
    std::vector<std::string> parts;
    if (changes.delay) {
        parts.emplace_back("the delay");
    }
    for (std::size_t i = 0; i < changes.programs.size(); ++i) {
        const KeyChanges::Program& program = changes.programs[i];
        const std::string of = steps.programs.size() < 2 ? "" : fmt::format(" of part {}", i + 1);
        std::vector<std::string> numbers;
        for (const std::uint32_t step : program.again) {
            numbers.push_back(fmt::format("{}", step));
        }
        if (!numbers.empty()) {
            parts.push_back(
                fmt::format("step{} {}{}", numbers.size() == 1 ? "" : "s", joined(numbers), of));
        }
        if (program.cleared > 0) {
            parts.push_back(fmt::format("clear {} after the last{}", program.cleared, of));
        }
    }
    if (changes.dropped_programs > 0) {
        parts.emplace_back("clear the parts after the last");
    }
    return parts.empty() ? "nothing" : fmt::format("{}", fmt::join(parts, "; "));
}

void append_memory_sheet(std::string& html, const MemoryDocument& memory,
                         const OutputOptions& options) {
    const std::string title = fmt::format("Stored programs: {}", title_or_name(memory.kiln));
    open_page(html, {.title = title, .body_class = "keying", .style = style_sheet("card")});
    put_overview(html, memory);
    for (const StoredDocument& stored : memory.stored) {
        OutputOptions own = options;
        own.changes = stored.changes ? &*stored.changes : nullptr;
        html += "<article class=\"sheet\">\n";
        put_keying(html, *stored.document, own, fmt::format("Program {}", numbers_of(stored)));
        html += "</article>\n";
    }
    if (!memory.stored.empty()) {
        put_origin(html, *memory.stored.front().document);
    }
    close_page(html);
}

} // namespace fettle
