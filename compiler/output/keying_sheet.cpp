#include "compiler/output/keying_sheet.h"

#include "compiler/output/html_page.h"
#include "compiler/output/phrases.h"
#include "compiler/output/sheet_parts.h"
#include "compiler/target/key_changes.h"

#include <algorithm>
#include <cmath>
#include <span>

namespace fettle {

namespace {

std::string_view letter(Scale scale) {
    return scale == Scale::celsius ? "C" : "F";
}

// "2:35", hours and minutes, as most controllers take them; seconds only where they count.
std::string entered_time(double minutes) {
    const long long seconds = std::llround(minutes * 60);
    std::string text = fmt::format("{}:{:02}", seconds / 3600, seconds / 60 % 60);
    if (seconds % 60 != 0) {
        text += fmt::format(":{:02}", seconds % 60);
    }
    return text;
}

std::string number(std::optional<double> value) {
    return value ? print_number(*value, 2) : std::string();
}

// What is entered for a step, one column each, in the order of the form.
struct Entry {
    std::string_view heading, unit;
    std::string (*text)(const StepRow&);
};

std::string target_of(const StepRow& row) {
    return number(row.target);
}
std::string time_of(const StepRow& row) {
    return row.duration_min ? entered_time(*row.duration_min) : std::string("as long as it takes");
}
std::string rate_of(const StepRow& row) {
    return row.rate_per_h ? number(row.rate_per_h) : std::string("full");
}
std::string soak_of(const StepRow& row) {
    return entered_time(row.soak_min.value_or(0));
}
// A step of the third form is one or the other.
std::string climb_of(const StepRow& row) {
    return row.soak_min ? std::string() : rate_of(row);
}
std::string climb_target_of(const StepRow& row) {
    return row.soak_min ? std::string() : target_of(row);
}
std::string only_soak_of(const StepRow& row) {
    return row.soak_min ? entered_time(*row.soak_min) : std::string();
}

constexpr Entry duration_entries[] = {{"time", "h:min", time_of}, {"target", "", target_of}};
constexpr Entry rate_entries[] = {
    {"rate", "/h", rate_of}, {"target", "", target_of}, {"soak", "h:min", soak_of}};
constexpr Entry either_entries[] = {
    {"rate", "/h", climb_of}, {"target", "", climb_target_of}, {"or soak", "h:min", only_soak_of}};

struct FormWords {
    std::span<const Entry> entries;
    std::string_view meaning;
};

FormWords words_of(StepForm form) {
    switch (form) {
    case StepForm::duration_target:
        return {duration_entries, "Each step is a time and the temperature at the end of it. The "
                                  "same temperature twice is a soak."};
    case StepForm::rate_target_soak:
        return {rate_entries, "Each step is a rate, the temperature to go to, and how long to "
                              "soak there."};
    case StepForm::rate_or_soak:
        return {either_entries, "Each step is either a rate and the temperature to go to, or a "
                                "soak where it is."};
    }
    return {};
}

std::string unit_of(const Entry& entry, Scale scale) {
    if (entry.unit == "h:min") {
        return "h:min";
    }
    return fmt::format("{}{}", letter(scale), entry.unit);
}

std::string in_scale(double value, Scale scale) {
    return fmt::format("{}{}", print_number(value, 1), letter(scale));
}

// --- one program --------------------------------------------------------------------------------

class ProgramTable {
  public:
    ProgramTable(std::string& html, const FiringDocument& document, const Times& times,
                 std::size_t program, const KeyChanges* changes)
        : html_(html), steps_(*document.steps), program_(steps_.programs[program]), times_(times),
          words_(words_of(steps_.form)) {
        const auto& costly = steps_.most_costly;
        if (costly && costly->program == program && costly->row < program_.rows.size()) {
            costly_ = &program_.rows[costly->row];
        }
        if (changes != nullptr && changes->all_because.empty()) {
            again_ = changes->programs[program].again;
        }
    }

    void put() {
        put_head();
        html_ += "<tbody>\n";
        std::string_view phase;
        for (const StepRow& row : program_.rows) {
            put_row(row, row.phase == phase ? std::string_view() : row.phase);
            phase = row.phase;
        }
        html_ += "</tbody>\n</table>\n";
        put_check();
    }

  private:
    void put_head() {
        html_ += "<table class=\"keys\">\n<thead><tr><th>step</th>";
        for (const Entry& entry : words_.entries) {
            fmt::format_to(std::back_inserter(html_),
                           "<th class=\"n enter\">{} <small>{}</small></th>", entry.heading,
                           unit_of(entry, steps_.scale));
        }
        fmt::format_to(
            std::back_inserter(html_),
            "<th class=\"tick\">keyed</th><th class=\"tick\">read back</th>"
            "<th class=\"n\">{}</th><th class=\"n\">then at</th><th>for</th></tr></thead>"
            "\n",
            times_.by_clock() ? "ends at" : "ends after");
    }

    void put_row(const StepRow& row, std::string_view phase) {
        fmt::format_to(std::back_inserter(html_), "<tr{}><th scope=\"row\">{}</th>",
                       &row == costly_ ? " class=\"costly\"" : "", row.step);
        for (const Entry& entry : words_.entries) {
            fmt::format_to(std::back_inserter(html_), "<td class=\"n enter\">{}</td>",
                           entry.text(row));
        }
        fmt::format_to(std::back_inserter(html_),
                       "<td class=\"tick\"><span class=\"box\"></span></td>"
                       "<td class=\"tick\"><span class=\"box\"></span></td><td class=\"n\">{}</td>"
                       "<td class=\"n\">{}</td><td>",
                       times_.at(row.ends_s, row.ends_estimated),
                       print_temperature(row.to_c, steps_.scale));
        append_text(html_, readable_name(phase));
        if (row.waiting_within) {
            append_escaped(html_, fmt::format("{}waits within {}", phase.empty() ? "" : ", ",
                                              in_scale(*row.waiting_within, steps_.scale)));
        }
        const std::string_view comma = phase.empty() && !row.waiting_within ? "" : ", ";
        const bool again = std::find(again_.begin(), again_.end(), row.step) != again_.end();
        if (again) {
            fmt::format_to(std::back_inserter(html_), "{}<b>key again</b>", comma);
        }
        if (&row == costly_) {
            fmt::format_to(std::back_inserter(html_), "{}<b>check twice</b>", again ? ", " : comma);
        }
        html_ += "</td></tr>\n";
    }

    // What the whole program must show when it is read back.
    void put_check() {
        if (program_.rows.empty()) {
            return;
        }
        double highest = program_.rows.front().target, minutes = 0;
        for (const StepRow& row : program_.rows) {
            highest = std::max(highest, row.target);
            minutes += row.duration_min.value_or(0) + row.soak_min.value_or(0);
        }
        std::vector<std::string> parts = {
            fmt::format("{} step{}", program_.rows.size(), program_.rows.size() == 1 ? "" : "s"),
            "the highest target " + in_scale(highest, steps_.scale),
            "the last target " + in_scale(program_.rows.back().target, steps_.scale)};
        if (steps_.form == StepForm::duration_target) {
            parts.push_back(fmt::format("all times together {}", entered_time(minutes)));
        } else if (minutes > 0) {
            parts.push_back(fmt::format("all soaks together {}", entered_time(minutes)));
        }
        fmt::format_to(std::back_inserter(html_),
                       "<p class=\"sum\">It is stored when it reads: {}.</p>\n", joined(parts));
    }

    std::string& html_;
    const Steps& steps_;
    const StepProgram& program_;
    const Times& times_;
    FormWords words_;
    const StepRow* costly_ = nullptr;
    std::span<const std::uint32_t> again_; // steps
};

// --- round the programs -------------------------------------------------------------------------

void put_first_keys(std::string& html, const FiringDocument& document) {
    const Steps& steps = *document.steps;
    html += "<ul class=\"ticks\">\n";
    put(html, "<li><span class=\"box\"></span>It must show degrees {}.</li>\n",
        steps.scale == Scale::celsius ? "Celsius" : "Fahrenheit");
    if (steps.delay_s > 0) {
        put(html, "<li><span class=\"box\"></span>Delay before the first step: <b>{}</b></li>\n",
            entered_time(steps.delay_s / 60));
    }
    html += "<li><span class=\"box\"></span>If more steps are left from an older program, clear "
            "them: it must end after the last step here.</li>\n</ul>\n";
}

// What to key again, where the program was stored before.
void put_changes(std::string& html, const FiringDocument& document, const KeyChanges* changes) {
    if (changes == nullptr) {
        return;
    }
    if (changes->none()) {
        html += "<p><b>As it is stored.</b> Nothing has to be keyed again.</p>\n";
        return;
    }
    if (!changes->all_because.empty()) {
        put(html, "<p><b>Key all of it:</b> {}.</p>\n", html_text(changes->all_because));
        return;
    }
    html += "<p><b>Out of date.</b> If the earlier one is stored, key again what is marked <b>key "
            "again</b>; the rest stays.";
    if (changes->delay) {
        html += " The delay is another one.";
    }
    for (std::size_t i = 0; i < changes->programs.size(); ++i) {
        if (const std::uint32_t cleared = changes->programs[i].cleared; cleared > 0) {
            put(html, " Clear the {} after the last one of {}.",
                cleared == 1 ? std::string("step") : fmt::format("{} steps", cleared),
                html_text(document.steps->programs[i].name));
        }
    }
    html += "</p>\n";
}

void put_deviation(std::string& html, const FiringDocument& document, const Times& times) {
    const Steps& steps = *document.steps;
    if (!steps.simplified) {
        return;
    }
    double most_c = 0;
    for (const StepProgram& program : steps.programs) {
        most_c = std::max(most_c, program.deviation_c);
    }
    put(html, "<p>It has fewer steps than the firing asks for: it is off by {} at most",
        in_scale(difference_to_scale(most_c, steps.scale), steps.scale));
    if (steps.deviation_s) {
        put(html, ", at {}", times.at(steps.deviation_s));
    }
    if (steps.cones_off) {
        put(html, ", and by {} of a cone at the end", print_number(std::fabs(*steps.cones_off), 2));
    }
    html += ".</p>\n";
}

} // namespace

void put_programs(std::string& html, const FiringDocument& document, const OutputOptions& options) {
    const Times times(*document.schedule, options);
    const Steps& steps = *document.steps;
    for (std::size_t i = 0; i < steps.programs.size(); ++i) {
        const StepProgram& program = steps.programs[i];
        html += "<section>\n<h2>";
        if (steps.programs.size() > 1) {
            put(html, "Part {} of {}: ", i + 1, steps.programs.size());
        }
        append_text(html, program.name.empty() ? document.name : program.name);
        html += "</h2>\n";
        ProgramTable(html, document, times, i, options.changes).put();
        if (!program.then.empty()) {
            html += "<p class=\"then\"><b>Then ";
            append_text(html, program.then);
            html += ".</b> ";
            append_text(html, program.between);
            html += "</p>\n";
        }
        html += "</section>\n";
    }
}

void put_keying(std::string& html, const FiringDocument& document, const OutputOptions& options,
                std::string_view what) {
    OutputOptions own = options;
    own.scale = document.steps ? document.steps->scale : options.scale;
    put_title(html, what, document);
    put_facts(html, document, own);
    if (!document.steps) {
        html += "<p class=\"lead\">There is nothing to key: this firing has no table for a "
                "controller. Its kiln names none, or is not known.</p>\n";
        put_cautions(html, document);
        return;
    }
    const Times times(*document.schedule, own);
    put(html, "<p class=\"lead\">{}</p>\n", words_of(document.steps->form).meaning);
    put_first_keys(html, document);
    put_changes(html, document, options.changes);
    put_programs(html, document, own);
    html += "<section>\n<h2>Check that it is stored</h2>\n<p>Leave the entry of programs, call the "
            "program up again from its first step, and tick every step as it reads. Whatever reads "
            "otherwise, key again.</p>\n";
    if (document.steps->most_costly) {
        html += "<p>A wrong key costs most in the step marked <b>check twice</b>: ";
        append_text(html, document.steps->most_costly->why);
        html += ".</p>\n";
    }
    put_deviation(html, document, times);
    html += "<p class=\"fired paper\">Keyed by <span class=\"sign\"></span> read back by "
            "<span class=\"sign\"></span> on <span class=\"sign\"></span></p>\n</section>\n";
    put_cautions(html, document);
}

void append_keying_sheet(std::string& html, const FiringDocument& document,
                         const OutputOptions& options) {
    const std::string title = fmt::format("Keying sheet: {}", title_of(document));
    open_page(html, {.title = title, .body_class = "keying", .style = style_sheet("card")});
    put_keying(html, document, options, "Keying sheet");
    if (document.steps) {
        put_origin(html, document);
    }
    close_page(html);
}

} // namespace fettle
