#include "compiler/proof/read_json.h"

#include <array>
#include <charconv>
#include <cmath>
#include <cstring>
#include <fmt/format.h>

namespace fettle {

namespace {

// Numbers are written to the thousandth.
constexpr double written_k = 0.000501;

bool near(double a, double b) {
    return std::fabs(a - b) <= written_k + 1e-12 * std::fabs(b);
}

bool is_blank(char c) {
    return c == ' ' || c == '\n' || c == '\r' || c == '\t';
}

class Scan {
  public:
    explicit Scan(std::string_view text) : at_(text.data()), end_(at_ + text.size()) {}

    // Beyond the next place where these bytes stand.
    bool find(std::string_view bytes) {
        const void* found =
            memmem(at_, static_cast<std::size_t>(end_ - at_), bytes.data(), bytes.size());
        if (found == nullptr) {
            return false;
        }
        at_ = static_cast<const char*>(found) + bytes.size();
        return true;
    }

    // The next thing is this; blanks before it are skipped.
    bool is(std::string_view bytes) {
        skip();
        if (static_cast<std::size_t>(end_ - at_) < bytes.size() ||
            std::memcmp(at_, bytes.data(), bytes.size()) != 0) {
            return false;
        }
        at_ += bytes.size();
        return true;
    }

    bool comma() { return is(","); }

    // A number, or nothing for null; `understood` is false for anything else.
    std::optional<double> number(bool& understood) {
        skip();
        if (is("null")) {
            return std::nullopt;
        }
        double value = 0;
        const auto [next, problem] = std::from_chars(at_, end_, value);
        understood = understood && problem == std::errc() && std::isfinite(value);
        at_ = next;
        return value;
    }

    // What stands between quotes, escapes as they are.
    std::string_view word() {
        if (!is("\"")) {
            return {};
        }
        const char* const begin = at_;
        while (at_ < end_ && *at_ != '"') {
            at_ += *at_ == '\\' ? 2 : 1;
        }
        const std::string_view found(begin, static_cast<std::size_t>(std::min(at_, end_) - begin));
        at_ = std::min(at_ + 1, end_);
        return found;
    }

  private:
    void skip() {
        while (at_ < end_ && is_blank(*at_)) {
            ++at_;
        }
    }

    const char* at_;
    const char* end_;
};

std::string_view kind_word(SegmentKind kind) {
    constexpr std::array<std::string_view, 5> words = {"ramp", "soak", "full", "free", "opened"};
    return words[static_cast<std::size_t>(kind)];
}
std::string_view form_word(StepForm form) {
    constexpr std::array<std::string_view, 3> words = {"duration_target", "rate_target_soak",
                                                       "rate_or_soak"};
    return words[static_cast<std::size_t>(form)];
}

class Comparing {
  public:
    Comparing(std::string_view text, const Schedule& schedule, const Steps* steps)
        : scan_(text), schedule_(schedule), steps_(steps) {}

    std::string run() {
        if (!scan_.find("\"start\":") || !scan_.is("{")) {
            return "the text has no start";
        }
        key("start", "temperature_c", schedule_.start_c, false);
        key("start", "delay_s", schedule_.delay_s);
        if (!scan_.is("}") || !scan_.comma() || !scan_.is("\"segments\":") || !scan_.is("[")) {
            say("the text has no segments");
        }
        for (std::size_t i = 0; i < schedule_.segments.size() && problem_.empty(); ++i) {
            segment(i);
        }
        if (problem_.empty()) {
            Scan rest = scan_;
            if (next_segment(rest)) {
                say("the text has more segments than the schedule");
            }
        }
        if (problem_.empty() && steps_ != nullptr) {
            steps();
        }
        return problem_;
    }

  private:
    void say(std::string problem) {
        if (problem_.empty()) {
            problem_ = std::move(problem);
        }
    }

    // `"index":` with a number behind it: the name of a hand control has a text there.
    static bool next_segment(Scan& scan) {
        while (scan.find("\"index\":")) {
            bool is_number = true;
            Scan value = scan;
            if (value.number(is_number) && is_number) {
                return true;
            }
        }
        return false;
    }

    void segment(std::size_t index) {
        const Segment& asked = schedule_.segments[index];
        if (!next_segment(scan_)) {
            return say(fmt::format("segment {} is not in the text", index + 1));
        }
        bool understood = true;
        const auto number = scan_.number(understood);
        if (!understood || number != static_cast<double>(index) || !scan_.find("\"kind\":")) {
            return say(fmt::format("segment {} is not in its place in the text", index + 1));
        }
        if (const std::string_view kind = scan_.word(); kind != kind_word(asked.kind)) {
            return say(fmt::format("segment {}: {} in the text, {} in the schedule", index + 1,
                                   kind, kind_word(asked.kind)));
        }
        const auto rate =
            asked.kind == SegmentKind::soak ? std::optional(0.0)
            : asked.duration_s
                ? std::optional(3600 * (asked.to_c - asked.from_c) / *asked.duration_s)
                : std::nullopt;
        const fmt::format_int place(index + 1);
        const auto held = [&](std::string_view name, std::optional<double> value) {
            key({place.data(), place.size()}, name, value);
        };
        held("from_c", asked.from_c);
        held("to_c", asked.to_c);
        held("duration_s", asked.duration_s);
        held("rate_c_per_h", rate);
        held("waiting_within_c", asked.waiting_within_k);
    }

    // `,"name": value`.
    void key(std::string_view where, std::string_view name, std::optional<double> asked,
             bool after_comma = true) {
        if (!problem_.empty()) {
            return;
        }
        if ((after_comma && !scan_.comma()) || scan_.word() != name || !scan_.is(":")) {
            return say(fmt::format("{}: {} is not in its place in the text", where, name));
        }
        bool understood = true;
        const auto found = scan_.number(understood);
        const bool same = understood && found.has_value() == asked.has_value() &&
                          (!found || near(*found, *asked));
        if (!same) {
            say(fmt::format("{}: {} is {} in the text, {} as made", where, name,
                            found ? fmt::to_string(*found) : "null",
                            asked ? fmt::to_string(*asked) : "null"));
        }
    }

    void word_key(std::string_view where, std::string_view name, std::string_view asked,
                  bool after_comma = true) {
        if (!problem_.empty()) {
            return;
        }
        if ((after_comma && !scan_.comma()) || scan_.word() != name || !scan_.is(":")) {
            return say(fmt::format("{}: {} is not in its place in the text", where, name));
        }
        if (const std::string_view found = scan_.word(); found != asked) {
            say(fmt::format("{}: {} is {} in the text, {} as made", where, name, found, asked));
        }
    }

    void steps() {
        if (!scan_.find("\"steps\":") || !scan_.is("{")) {
            return say("the text has no steps");
        }
        word_key("steps", "form", form_word(steps_->form), false);
        word_key("steps", "scale", steps_->scale == Scale::celsius ? "C" : "F");
        key("steps", "time_step_s", steps_->time_step_s);
        if (!scan_.comma() || !scan_.is("\"programs\":") || !scan_.is("[")) {
            return say("the text has no programs");
        }
        for (std::size_t i = 0; i < steps_->programs.size() && problem_.empty(); ++i) {
            program(steps_->programs[i], i == 0);
        }
        if (problem_.empty() && !scan_.is("]")) {
            say("the text has more programs than were made");
        }
    }

    void program(const StepProgram& program, bool first) {
        if ((!first && !scan_.comma()) || !scan_.is("{") || !scan_.is("\"name\":")) {
            return say(fmt::format("program {} is not in the text", program.name));
        }
        scan_.word();
        key(program.name, "start_c", program.start_c);
        if (!scan_.comma() || !scan_.is("\"rows\":") || !scan_.is("[")) {
            return say(fmt::format("program {} has no rows in the text", program.name));
        }
        for (std::size_t i = 0; i < program.rows.size() && problem_.empty(); ++i) {
            if ((i > 0 && !scan_.comma()) || !scan_.is("{")) {
                return say(fmt::format("{}: step {} is not in the text", program.name, i + 1));
            }
            row(program.rows[i]);
        }
        if (!problem_.empty()) {
            return;
        }
        if (!scan_.is("]") || !scan_.comma() || !scan_.is("\"then\":") ||
            (program.then.empty() ? !scan_.is("null") : scan_.word().empty())) {
            return say(fmt::format("{}: what comes after it is not as made", program.name));
        }
        key(program.name, "deviation_c", program.deviation_c);
        if (problem_.empty() && !scan_.is("}")) {
            say(fmt::format("{}: the text goes on where it should end", program.name));
        }
    }

    void row(const StepRow& row) {
        const std::string where = fmt::format("step {}", row.step);
        key(where, "step", row.step, false);
        key(where, "target", row.target);
        const bool by_time = steps_->form == StepForm::duration_target;
        const bool both = steps_->form == StepForm::rate_target_soak;
        if (by_time) {
            key(where, "duration_min", row.duration_min);
        }
        if (both || (!by_time && !row.soak_min)) {
            key(where, "rate_per_h", row.rate_per_h);
        }
        if (both || (!by_time && row.soak_min)) {
            key(where, "soak_min", row.soak_min);
        }
        word_key(where, "kind", kind_word(row.kind));
        if (!problem_.empty()) {
            return;
        }
        if (!scan_.comma() || !scan_.is("\"segments\":") || !scan_.is("[")) {
            return say(fmt::format("{}: its segments are not in the text", where));
        }
        for (std::size_t i = 0; i < row.segments.size(); ++i) {
            bool understood = i == 0 || scan_.comma();
            if (scan_.number(understood) != static_cast<double>(row.segments[i]) || !understood) {
                return say(fmt::format("{}: its segments are not as made", where));
            }
        }
        if (!scan_.is("]")) {
            return say(fmt::format("{}: it has more segments than were made", where));
        }
        key(where, "waiting_within", row.waiting_within);
        if (problem_.empty() && (!scan_.comma() || !scan_.is("\"phase\":"))) {
            return say(fmt::format("{}: its phase is not in the text", where));
        }
        if (!scan_.is("null")) {
            scan_.word();
        }
        if (problem_.empty() && !scan_.is("}")) {
            say(fmt::format("{}: the text goes on where it should end", where));
        }
    }

    Scan scan_;
    const Schedule& schedule_;
    const Steps* steps_;
    std::string problem_;
};

} // namespace

std::string difference_of_json(std::string_view text, const Schedule& schedule,
                               const Steps* steps) {
    return Comparing(text, schedule, steps).run();
}

} // namespace fettle
