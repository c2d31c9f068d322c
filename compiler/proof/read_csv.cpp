#include "compiler/proof/read_csv.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <vector>

namespace fettle {

namespace {

constexpr double written = 0.000501; // numbers are written to the thousandth

using Cells = std::vector<std::string>;

class Table {
  public:
    explicit Table(std::string_view text) {
        Cells row;
        std::string cell;
        bool quoted = false;
        for (std::size_t i = 0; i < text.size(); ++i) {
            const char c = text[i];
            if (quoted) {
                if (c != '"') {
                    cell += c;
                } else if (i + 1 < text.size() && text[i + 1] == '"') {
                    cell += c;
                    ++i;
                } else {
                    quoted = false;
                }
            } else if (c == '"') {
                quoted = true;
            } else if (c == ',' || c == '\n') {
                row.push_back(std::move(cell));
                cell.clear();
                if (c == '\n') {
                    rows_.push_back(std::move(row));
                    row.clear();
                }
            } else if (c != '\r') {
                cell += c;
            }
        }
    }

    std::size_t rows() const { return rows_.empty() ? 0 : rows_.size() - 1; }

    const std::string* cell(std::size_t row, std::string_view column) const {
        const auto name = std::find(rows_[0].begin(), rows_[0].end(), column);
        const auto place = static_cast<std::size_t>(name - rows_[0].begin());
        return name == rows_[0].end() || place >= rows_[row + 1].size() ? nullptr
                                                                        : &rows_[row + 1][place];
    }

  private:
    std::vector<Cells> rows_;
};

double of_scale(double celsius, Scale scale) {
    return scale == Scale::celsius ? celsius : celsius * 9 / 5 + 32;
}
double degrees(double kelvin, Scale scale) {
    return scale == Scale::celsius ? kelvin : kelvin * 9 / 5;
}

class Comparing {
  public:
    explicit Comparing(std::string_view text) : table_(text) {}

    const Table& table() const { return table_; }
    const std::string& problem() const { return problem_; }

    void rows(std::size_t made) {
        if (problem_.empty() && table_.rows() != made) {
            problem_ = fmt::format("{} rows in the text, {} as made", table_.rows(), made);
        }
    }

    void number(std::size_t row, std::string_view column, std::optional<double> made) {
        const std::string* cell = found(row, column);
        if (cell == nullptr) {
            return;
        }
        double value = 0;
        const auto [end, fault] = std::from_chars(cell->data(), cell->data() + cell->size(), value);
        const bool is_number = fault == std::errc() && end == cell->data() + cell->size();
        const bool same =
            made ? is_number && std::fabs(value - *made) <= written + 1e-12 * std::fabs(*made)
                 : cell->empty();
        if (!same) {
            say(row, column, *cell, made ? fmt::to_string(*made) : "nothing");
        }
    }

    void word(std::size_t row, std::string_view column, std::string_view made) {
        const std::string* cell = found(row, column);
        if (cell != nullptr && *cell != made) {
            say(row, column, *cell, made);
        }
    }

  private:
    const std::string* found(std::size_t row, std::string_view column) {
        if (!problem_.empty()) {
            return nullptr;
        }
        const std::string* cell = table_.cell(row, column);
        if (cell == nullptr) {
            problem_ = fmt::format("row {} has no {} in the text", row + 1, column);
        }
        return cell;
    }

    void say(std::size_t row, std::string_view column, std::string_view text,
             std::string_view made) {
        problem_ = fmt::format("row {}: {} is {} in the text, {} as made", row + 1, column,
                               text.empty() ? "nothing" : text, made);
    }

    Table table_;
    std::string problem_;
};

constexpr std::string_view kinds[] = {"ramp", "soak", "full", "free", "opened"};

std::string named(std::string_view start, Scale scale, std::string_view end = "") {
    return fmt::format("{}_{}{}", start, scale == Scale::celsius ? 'c' : 'f', end);
}

std::optional<double> minutes(std::optional<double> seconds) {
    return seconds ? std::optional(*seconds / 60) : std::nullopt;
}

} // namespace

std::string difference_of_csv(std::string_view text, const Schedule& schedule, Scale scale) {
    Comparing compare(text);
    compare.rows(schedule.segments.size());
    for (std::size_t i = 0; i < schedule.segments.size() && compare.problem().empty(); ++i) {
        const Segment& segment = schedule.segments[i];
        compare.number(i, "segment", static_cast<double>(i + 1));
        compare.word(i, "kind", kinds[static_cast<std::size_t>(segment.kind)]);
        compare.number(i, named("from", scale), of_scale(segment.from_c, scale));
        compare.number(i, named("target", scale), of_scale(segment.to_c, scale));
        compare.number(i, "duration_min", minutes(segment.duration_s));
        if (segment.duration_s) {
            const double rise =
                segment.kind == SegmentKind::soak ? 0 : segment.to_c - segment.from_c;
            compare.number(i, named("rate", scale, "_per_h"),
                           degrees(rise / *segment.duration_s * 3600, scale));
        }
        const auto& waiting = segment.waiting_within_k;
        compare.number(i, named("waiting_within", scale),
                       waiting ? std::optional(degrees(*waiting, scale)) : std::nullopt);
    }
    return compare.problem();
}

std::string difference_of_steps_csv(std::string_view text, const Steps& steps) {
    Comparing compare(text);
    std::size_t count = 0, at = 0;
    for (const StepProgram& program : steps.programs) {
        count += program.rows.size();
    }
    compare.rows(count);
    const bool by_time = steps.form == StepForm::duration_target;
    for (const StepProgram& program : steps.programs) {
        for (const StepRow& row : program.rows) {
            compare.number(at, "step", row.step);
            compare.number(at, named("target", steps.scale), row.target);
            if (by_time) {
                compare.number(at, "duration_min", row.duration_min);
            } else {
                compare.number(at, named("rate", steps.scale, "_per_h"), row.rate_per_h);
                compare.number(at, "soak_min", row.soak_min);
            }
            compare.number(at, named("waiting_within", steps.scale), row.waiting_within);
            compare.word(at, "kind", kinds[static_cast<std::size_t>(row.kind)]);
            ++at;
        }
    }
    return compare.problem();
}

} // namespace fettle
