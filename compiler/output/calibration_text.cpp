#include "compiler/output/calibration_text.h"

#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace fettle {
namespace {

struct ParameterWords {
    std::string_view name, field, unit;
    double factor;
    int decimals;
};
constexpr ParameterWords parameter_words[kiln_parameters] = {
    {"heat capacity", "heat_capacity", "kJ/K", 1e-3, 1},
    {"heat loss", "heat_loss", "W/K", 1, 2},
    {"power", "power", "kW", 1e-3, 2},
    {"sensor offset", "sensor_offset", "dC", 1, 1},
};
const ParameterWords& words_of(KilnParameter parameter) {
    return parameter_words[static_cast<std::size_t>(parameter)];
}

class Text {
  public:
    template <class... Parts> void line(fmt::format_string<Parts...> format, Parts&&... parts) {
        fmt::format_to(std::back_inserter(text_), format, std::forward<Parts>(parts)...);
        text_ += '\n';
    }
    std::string take() && { return std::move(text_); }

  private:
    std::string text_;
};

std::string in_unit(const ParameterWords& words, double value) {
    return fmt::format("{}{}", print_number(value * words.factor, words.decimals), words.unit);
}

void put_parameters(Text& text, const Calibration& found) {
    text.line("  {:14} {:>12} {:>12} {:>16}", "", "was", "is now", "standard error");
    for (const FittedParameter& p : found.parameters) {
        const ParameterWords& words = words_of(p.parameter);
        if (!p.fitted) {
            text.line("  {:14} {:>12} {:>12}", words.name, in_unit(words, p.before), "not told");
            continue;
        }
        text.line("  {:14} {:>12} {:>12} {:>16}{}", words.name, in_unit(words, p.before),
                  in_unit(words, p.value), in_unit(words, p.standard_error),
                  p.determined ? "" : "  hardly told");
    }
}

void put_doubts(Text& text, const Calibration& found) {
    for (const auto& [a, b] : found.confused)
        text.line(
            "These logs can't tell {} and {} apart: more of one looks like more of the other.",
            words_of(a).name, words_of(b).name);
    const bool poor =
        std::any_of(found.parameters.begin(), found.parameters.end(),
                    [](const FittedParameter& p) { return p.fitted && !p.determined; });
    if (poor)
        text.line("A climb at full power and a shut cooling in the log would tell what is hardly "
                  "told.");
    if (!found.parameters[3].fitted)
        text.line("How far off the sensor reads can't be learned from its own log: give cones "
                  "(--cones)\nor a second sensor (--second).");
}

void put_residuals(Text& text, const LogFit& fit, bool plain) {
    constexpr std::size_t columns = 60;
    constexpr int rows = 3; // above and below the middle
    if (fit.residuals.empty())
        return;
    const double end_s = std::max(1.0, fit.residuals.back().first);
    std::vector<double> sum(columns), count(columns);
    for (const auto& [time_s, off] : fit.residuals) {
        const auto at = std::min(columns - 1,
                                 static_cast<std::size_t>(std::max(0.0, time_s) / end_s * columns));
        sum[at] += off;
        ++count[at];
    }
    double most = 1;
    for (std::size_t i = 0; i < columns; ++i)
        most = count[i] > 0 ? std::max(most, std::abs(sum[i] / count[i])) : most;
    text.line("  reading less prediction, {} at most, over {}",
              print_difference(most, Scale::celsius, 1),
              print_duration(std::round(end_s / 60) * 60));
    for (int row = rows; row >= -rows; --row) {
        std::string line(columns, row == 0 ? '-' : ' ');
        for (std::size_t i = 0; i < columns; ++i) {
            if (count[i] > 0 && std::lround(sum[i] / count[i] / most * rows) == row)
                line[i] = plain ? 'o' : '*';
        }
        text.line("  {:>6} |{}", row == 0 ? "0" : print_number(most * row / rows, 1),
                  line.substr(0, line.find_last_not_of(' ') + 1));
    }
}

std::string why_not(const Calibration& found, const std::vector<std::string>& logs) {
    const std::string log = found.log < logs.size() ? logs[found.log] : std::string("the log");
    switch (found.end) {
    case CalibrationEnd::no_logs: return "There is no log to learn from.";
    case CalibrationEnd::too_short:
        return log + ": too few readings within its firing to learn from.";
    case CalibrationEnd::another_firing:
        return log + ": no kiln at all makes this of its schedule: it is of another firing, or "
                     "begins at another time.";
    case CalibrationEnd::bad_model:
        return "The kiln can't be: " +
               (found.problems.empty() ? std::string() : found.problems.front().text) + ".";
    case CalibrationEnd::fitted: break;
    }
    return {};
}

} // namespace

std::string calibrated_profile(const std::string& kiln, const Calibration& found) {
    Text text;
    text.line("kiln {0}_learned from {0} \"{0}, as its logs tell\" {{", kiln);
    text.line("    about \"Learned from its logs on (write the day here).\"");
    for (const FittedParameter& p : found.parameters) {
        const ParameterWords& words = words_of(p.parameter);
        if (p.fitted && p.determined)
            text.line("    {} {}", words.field, in_unit(words, p.value));
    }
    text.line("}}");
    return std::move(text).take();
}

std::string calibration_text(const std::string& kiln, const std::vector<std::string>& logs,
                             const Calibration& found, bool plain) {
    Text text;
    if (found.end != CalibrationEnd::fitted) {
        text.line("{}", why_not(found, logs));
        return std::move(text).take();
    }
    text.line("{}, learned from {} log{}\n", kiln, logs.size(), logs.size() == 1 ? "" : "s");
    put_parameters(text, found);
    text.line("");
    for (std::size_t i = 0; i < found.logs.size(); ++i) {
        const LogFit& fit = found.logs[i];
        std::string held_out;
        if (fit.rms_held_out_k)
            held_out = fmt::format("; {} by what the other logs tell alone",
                                   print_difference(*fit.rms_held_out_k, Scale::celsius, 1));
        text.line("{}: off by {} before, by {} now (root mean square){}", logs[i],
                  print_difference(fit.rms_before_k, Scale::celsius, 1),
                  print_difference(fit.rms_after_k, Scale::celsius, 1), held_out);
        put_residuals(text, fit, plain);
    }
    put_doubts(text, found);
    text.line("\n{}", calibrated_profile(kiln, found));
    return std::move(text).take();
}

} // namespace fettle
