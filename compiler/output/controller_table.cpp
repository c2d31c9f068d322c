#include "compiler/output/controller_table.h"

#include "compiler/output/phrases.h"
#include "compiler/source/characters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace fettle {

namespace {

enum Column : std::size_t { step, time, rate, target, soak, covers, ends, column_count };
using Cells = std::array<std::string, column_count>;

constexpr std::string_view headings[column_count] = {"step", "time",  "rate", "to",
                                                     "soak", "fires", "ends"};

std::string_view unit(Scale scale) {
    return scale == Scale::celsius ? "C" : "F";
}

// "4", "4-6": of the table above, which the reader has just seen.
std::string covered(const StepRow& row) {
    if (row.segments.size() == 1) {
        return fmt::format("{}", row.segments.front() + 1);
    }
    return fmt::format("{}-{}", row.segments.front() + 1, row.segments.back() + 1);
}

std::string printed_end(const StepRow& row) {
    return row.ends_s ? (row.ends_estimated ? "~" : "") + printed_offset(*row.ends_s) : "?";
}

std::string head_of(const FiringDocument& document) {
    const Steps& steps = *document.steps;
    const NamedProfile& controller = document.controller;
    std::size_t rows = 0;
    for (const StepProgram& program : steps.programs) {
        rows += program.rows.size();
    }
    std::string text = fmt::format("To key into {}: {} step{}",
                                   controller.title.empty() ? controller.name : controller.title,
                                   rows, rows == 1 ? "" : "s");
    if (steps.programs.size() > 1) {
        return text + fmt::format(" in {} programs", steps.programs.size());
    }
    return steps.max_steps ? text + fmt::format(" of {}", *steps.max_steps) : text;
}

class Keys {
  public:
    Keys(Page& page, const Steps& steps) : page_(page), steps_(steps) {
        for (std::size_t i = 0; i < column_count; ++i) {
            widths_[i] = headings[i].size();
        }
        const bool by_time = steps.form == StepForm::duration_target;
        widths_[by_time ? rate : time] = 0;
        if (by_time) {
            widths_[soak] = 0;
        }
        for (const StepProgram& program : steps.programs) {
            for (const StepRow& row : program.rows) {
                rows_.push_back(cells_of(row));
                for (std::size_t c = 0; c < column_count; ++c) {
                    widths_[c] = widths_[c] == 0 ? 0 : std::max(widths_[c], rows_.back()[c].size());
                }
            }
        }
    }

    void put() {
        Cells names;
        for (std::size_t c = 0; c < column_count; ++c) {
            names[c] = widths_[c] == 0 ? "" : headings[c];
        }
        page_.line(joined(names), Ink::faint);
        page_.rule();
        std::size_t at = 0;
        for (const StepProgram& program : steps_.programs) {
            if (steps_.programs.size() > 1) {
                page_.line(fmt::format("program {}", one_line(program.name)), Ink::strong);
            }
            for (const StepRow& row : program.rows) {
                page_.line(joined(rows_[at++]) + also(row));
            }
            if (!program.then.empty()) {
                page_.paragraph(6, "then: ", program.between, Ink::strong);
            }
        }
        page_.rule();
    }

  private:
    Cells cells_of(const StepRow& row) const {
        const PrintedKeys keys = printed_keys(row, steps_);
        return {fmt::format("{}", row.step),
                keys.time,
                keys.rate,
                keys.target,
                keys.soak,
                covered(row),
                printed_end(row)};
    }

    std::string also(const StepRow& row) const {
        if (!row.waiting_within) {
            return {};
        }
        return fmt::format("  waiting within {}{}", print_number(*row.waiting_within, 1),
                           unit(steps_.scale));
    }

    std::string joined(const Cells& cells) const {
        std::string line;
        for (std::size_t c = 0; c < column_count; ++c) {
            if (widths_[c] > 0) {
                line += (line.empty() ? "" : "  ") + right_in(cells[c], widths_[c]);
            }
        }
        return line;
    }

    Page& page_;
    const Steps& steps_;
    std::array<std::size_t, column_count> widths_{};
    std::vector<Cells> rows_;
};

void put_remarks(Page& page, const FiringDocument& document, const ShowOptions& options) {
    const Steps& steps = *document.steps;
    if (steps.delay_s > 0) {
        page.paragraph(
            2, "", fmt::format("Delay before the first step: {}", print_duration(steps.delay_s)));
    }
    page.paragraph(2, "", deviation_line(steps, options.scale));
    const std::string care = care_line(steps);
    if (!care.empty()) {
        page.paragraph(2, "", care);
    }
}

} // namespace

PrintedKeys printed_keys(const StepRow& row, const Steps& steps) {
    PrintedKeys keys;
    keys.target = print_number(row.target, 2) + std::string(unit(steps.scale));
    if (steps.form == StepForm::duration_target) {
        keys.time = row.duration_min ? print_duration(*row.duration_min * 60) : "full";
        return keys;
    }
    const bool has_rate = steps.form == StepForm::rate_target_soak || !row.soak_min;
    if (has_rate) {
        keys.rate = row.rate_per_h
                        ? fmt::format("{}{}/h", print_number(*row.rate_per_h, 2), unit(steps.scale))
                        : "full";
    }
    if (row.soak_min) {
        keys.soak = *row.soak_min == 0 ? "0" : print_duration(*row.soak_min * 60);
    }
    return keys;
}

std::string deviation_line(const Steps& steps, Scale scale) {
    double off_k = 0;
    for (const StepProgram& program : steps.programs) {
        off_k = std::max(off_k, program.deviation_c);
    }
    std::string off = fmt::format("{}: at most {} off", steps.simplified ? "Simplified" : "Rounded",
                                  printed_step(off_k, scale));
    if (steps.simplified && off_k > 0 && steps.deviation_s) {
        off += fmt::format(", {} after the start", printed_time(steps.deviation_s, {}));
    }
    if (steps.cones_off) {
        off +=
            fmt::format("; heat work {} of a cone {}", print_number(std::fabs(*steps.cones_off), 2),
                        *steps.cones_off < 0 ? "less" : "more");
    }
    return off;
}

std::string care_line(const Steps& steps) {
    if (!steps.most_costly) {
        return {};
    }
    const StepPlace& place = *steps.most_costly;
    return fmt::format("Key step {} with most care: {}",
                       steps.programs[place.program].rows[place.row].step, place.why);
}

void put_controller_table(Page& page, const FiringDocument& document, const ShowOptions& options) {
    if (!document.steps) {
        return;
    }
    page.blank();
    page.line(head_of(document), Ink::strong);
    page.blank();
    Keys(page, *document.steps).put();
    put_remarks(page, document, options);
}

} // namespace fettle
