#include "compiler/target/key_changes.h"

#include "compiler/source/json_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace fettle {
namespace {

constexpr std::array<std::string_view, 3> form_words = {"duration_target", "rate_target_soak",
                                                        "rate_or_soak"};

bool same(double a, double b) {
    return std::fabs(a - b) <= 0.0011; // JSON has thousandths
}

bool same(std::optional<double> a, std::optional<double> b) {
    return a.has_value() == b.has_value() && (!a || same(*a, *b));
}

bool same_keys(const StepRow& a, const StepRow& b) {
    return same(a.target, b.target) && same(a.duration_min, b.duration_min) &&
           same(a.rate_per_h, b.rate_per_h) && same(a.soak_min, b.soak_min) &&
           same(a.waiting_within, b.waiting_within);
}

bool read_program(const JsonValue& from, StepProgram& program) {
    const JsonValue* rows = from.list_at("rows");
    if (rows == nullptr)
        return false;
    for (const JsonValue& item : rows->items) {
        const auto target = item.number_at("target");
        if (!target)
            return false;
        StepRow& row = program.rows.emplace_back();
        row.step = static_cast<std::uint32_t>(program.rows.size());
        row.target = *target;
        row.duration_min = item.number_at("duration_min");
        row.rate_per_h = item.number_at("rate_per_h");
        row.soak_min = item.number_at("soak_min");
        row.waiting_within = item.number_at("waiting_within");
    }
    return true;
}

bool read_steps(const JsonValue& from, Steps& steps) {
    const auto form = std::find(form_words.begin(), form_words.end(),
                                from.text_at("form").value_or(std::string_view()));
    const auto scale = from.text_at("scale");
    const JsonValue* programs = from.list_at("programs");
    if (form == form_words.end() || !scale || (*scale != "C" && *scale != "F") ||
        programs == nullptr) {
        return false;
    }
    steps.form = static_cast<StepForm>(form - form_words.begin());
    steps.scale = *scale == "C" ? Scale::celsius : Scale::fahrenheit;
    return std::all_of(programs->items.begin(), programs->items.end(), [&](const JsonValue& each) {
        return read_program(each, steps.programs.emplace_back());
    });
}

std::string why_all(const EarlierTable& before, const Steps& now, std::string_view controller) {
    if (!before.has_steps)
        return "the earlier one has no table of steps";
    if (before.controller != controller)
        return fmt::format("the earlier one was for the controller {}", before.controller);
    if (before.steps.form != now.form)
        return "a step of the controller was something else then";
    return before.steps.scale != now.scale ? "the controller was in the other scale then" : "";
}

} // namespace

EarlierTable read_earlier(std::string_view json, std::string& problem) {
    EarlierTable table;
    const auto document = read_json_text(json, problem);
    if (!document) {
        problem = "it is not JSON: " + problem;
        return table;
    }
    const JsonValue* firing = document->object_at("firing");
    const auto name = firing != nullptr ? firing->text_at("name") : std::nullopt;
    const auto version = document->number_at("format_version");
    if (document->text_at("format") != "fettle.schedule" || !name || !version) {
        problem = "it is not the JSON of a firing, as `fettle build --as json` writes it";
        return table;
    }
    if (*version != 1) {
        problem = fmt::format("its format has the version {}, and this Fettle reads 1", *version);
        return table;
    }
    table.firing = *name;
    table.controller = firing->text_at("controller").value_or(std::string_view());
    if (const JsonValue* start = document->object_at("start"))
        table.delay_s = start->number_at("delay_s").value_or(0);
    if (const JsonValue* steps = document->find("steps")) {
        table.has_steps = steps->kind != JsonValue::Kind::null;
        if (table.has_steps && !read_steps(*steps, table.steps))
            problem = "its `steps` are spoilt";
    }
    return table;
}

bool KeyChanges::none() const {
    return all_because.empty() && !delay && dropped_programs == 0 &&
           std::all_of(programs.begin(), programs.end(),
                       [](const Program& each) { return each.again.empty() && each.cleared == 0; });
}

KeyChanges key_changes(const EarlierTable& before, const Steps& now, double delay_s,
                       std::string_view controller) {
    KeyChanges changes;
    changes.all_because = why_all(before, now, controller);
    const std::vector<StepProgram> nothing;
    const auto& old = changes.all_because.empty() ? before.steps.programs : nothing;
    changes.delay = changes.all_because.empty() && !same(before.delay_s, delay_s);
    changes.dropped_programs = old.size() - std::min(old.size(), now.programs.size());
    for (std::size_t i = 0; i < now.programs.size(); ++i) {
        KeyChanges::Program& program = changes.programs.emplace_back();
        const auto& rows = now.programs[i].rows;
        const std::size_t kept = i < old.size() ? old[i].rows.size() : 0;
        for (std::size_t row = 0; row < rows.size(); ++row) {
            if (row >= kept || !same_keys(old[i].rows[row], rows[row]))
                program.again.push_back(rows[row].step);
        }
        program.cleared = static_cast<std::uint32_t>(kept - std::min(kept, rows.size()));
    }
    return changes;
}

} // namespace fettle
