#include "compiler/judging/judging_data.h"

#include "compiler/chemistry/csv_table.h"
#include "compiler/source/nearest.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <optional>

namespace fettle {
namespace {

constexpr std::array<std::string_view, 4> look_names = {"standing", "bending", "touching", "flat"};

// Keeps the first thing that is wrong with a table.
class Reader {
  public:
    explicit Reader(std::string_view csv) : table_(csv) {}
    bool next() { return table_.next(); }
    std::string text(std::string_view column) const { return std::string(table_[column]); }
    double number(std::string_view column) {
        const auto value = table_.number(column);
        if (!value)
            refuse(fmt::format("`{}` in the column `{}` is no number", table_[column], column));
        return value.value_or(0);
    }
    const std::string& problem() const { return problem_; }
    void refuse(const std::string& problem) {
        if (problem_.empty())
            problem_ = fmt::format("line {}: {}", table_.line(), problem);
    }

  private:
    CsvTable table_;
    std::string problem_;
};

std::string read_looks(std::string_view csv, JudgingData& data) {
    Reader table(csv);
    while (table.next()) {
        const std::string name = table.text("look");
        const auto* at = std::find(look_names.begin(), look_names.end(), name);
        if (at == look_names.end()) {
            table.refuse(fmt::format("`{}` is no look of a cone", name));
            break;
        }
        const auto look = static_cast<ConeLook>(at - look_names.begin());
        const bool open = table.text("most_work").empty();
        data.looks.push_back(
            {.look = look,
             .least = table.number("least_work"),
             .typical = table.number("typical_work"),
             .most = open ? std::numeric_limits<double>::infinity() : table.number("most_work")});
        data.look_words.push_back({name, look});
        std::string also = table.text("also") + ' ';
        for (std::size_t from = 0, to; (to = also.find(' ', from)) != std::string::npos;
             from = to + 1) {
            if (to > from)
                data.look_words.push_back({also.substr(from, to - from), look});
        }
    }
    if (table.problem().empty() && data.looks.size() != look_names.size())
        return "a look of a cone is missing";
    return table.problem();
}

std::string read_causes(std::string_view csv, JudgingData& data) {
    Reader table(csv);
    while (table.next()) {
        const std::string sense = table.text("sense");
        if (sense != "least" && sense != "most")
            table.refuse(fmt::format("`{}` is neither least nor most", sense));
        data.causes.push_back({.defect = table.text("defect"),
                               .cause = table.text("cause"),
                               .prior = table.number("prior"),
                               .measure = table.text("measure"),
                               .at_least = sense == "least",
                               .threshold = table.number("threshold"),
                               .weight = table.number("weight"),
                               .reason = table.text("reason"),
                               .remedy = table.text("remedy"),
                               .source = table.text("source")});
    }
    return table.problem();
}

std::string_view without_blanks(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
        text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t'))
        text.remove_suffix(1);
    return text;
}

// "bottom" of "the bottom shelf".
std::string shelf_named(std::string_view words) {
    if (words.starts_with("the "))
        words.remove_prefix(4);
    if (words.ends_with(" shelf"))
        words.remove_suffix(6);
    return std::string(words);
}

constexpr std::string_view form = "write for instance `middle: cone 6 touching, bottom: cone 6 "
                                  "bending`";

// "cone 6 touching", "6 down".
std::optional<std::string> parse_one(std::string_view item, const JudgingData& data,
                                     WitnessReading& reading) {
    std::string_view rest = item;
    if (rest.starts_with("cone "))
        rest = without_blanks(rest.substr(5));
    const std::size_t end = std::min(rest.find(' '), rest.size());
    const auto cone = parse_cone(rest.substr(0, end));
    if (!cone)
        return fmt::format("`{}` names no cone; {}", item, form);
    reading.cone = *cone;
    const std::string_view word = without_blanks(rest.substr(end));
    const auto at = std::find_if(data.look_words.begin(), data.look_words.end(),
                                 [&](const LookWord& row) { return row.word == word; });
    if (at != data.look_words.end()) {
        reading.look = at->look;
        return std::nullopt;
    }
    if (word.empty())
        return fmt::format("how does cone {} look: standing, bending, touching or flat?",
                           cone_name(*cone));
    std::vector<std::string_view> words;
    for (const LookWord& row : data.look_words)
        words.push_back(row.word);
    const auto near = nearest(word, words);
    return fmt::format("a cone is standing, bending, touching or flat, not `{}`{}", word,
                       near ? fmt::format("; did you mean `{}`?", *near) : "");
}

} // namespace

std::variant<JudgingData, std::string> read_judging_data(std::string_view cone_readings,
                                                         std::string_view defect_causes) {
    JudgingData data;
    std::string problem = read_looks(cone_readings, data);
    if (problem.empty())
        problem = read_causes(defect_causes, data);
    if (!problem.empty())
        return problem;
    return data;
}

std::string_view to_word(ConeLook look) {
    return look_names[static_cast<std::size_t>(look)];
}

std::variant<std::vector<WitnessReading>, std::string> parse_witnesses(std::string_view text,
                                                                       const JudgingData& data) {
    std::vector<WitnessReading> readings;
    std::string shelf;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of(",;"), text.size());
        std::string_view item = without_blanks(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
        if (const std::size_t colon = item.find(':'); colon != std::string_view::npos) {
            shelf = shelf_named(without_blanks(item.substr(0, colon)));
            item = without_blanks(item.substr(colon + 1));
        }
        if (item.empty())
            continue;
        WitnessReading reading{.shelf = shelf};
        if (const auto problem = parse_one(item, data, reading))
            return *problem;
        for (const WitnessReading& other : readings) {
            if (other.cone == reading.cone && other.shelf == reading.shelf &&
                other.look != reading.look)
                return fmt::format("cone {} is said to be {} and {}{}", cone_name(reading.cone),
                                   to_word(other.look), to_word(reading.look),
                                   shelf.empty() ? "; name the shelves" : "");
        }
        readings.push_back(reading);
    }
    if (readings.empty())
        return fmt::format("no cone is named; {}", form);
    return readings;
}

std::string witnesses_text(std::span<const WitnessReading> readings) {
    std::string text;
    std::string_view shelf;
    for (const WitnessReading& reading : readings) {
        if (!text.empty())
            text += ", ";
        if (reading.shelf != shelf)
            text += fmt::format("{}: ", reading.shelf);
        shelf = reading.shelf;
        text += fmt::format("cone {} {}", cone_name(reading.cone), to_word(reading.look));
    }
    return text;
}

} // namespace fettle
