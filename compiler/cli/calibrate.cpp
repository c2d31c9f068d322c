// `fettle calibrate`: learns a kiln's profile from its logs.
#include "compiler/cli/command.h"
#include "compiler/cli/log_file.h"
#include "compiler/cli/reading.h"
#include "compiler/meaning/kiln_profile.h"
#include "compiler/output/calibration_text.h"
#include "compiler/source/characters.h"
#include "runtime/log/log_curve.h"

#include <fmt/format.h>

#include <list>

namespace fettle {
namespace {

struct CalibrateArguments {
    ReadingOptions reading;
    LogWords log;
    std::string cones;  // "6,6½": one for each log
    std::string second; // the sensor that is trusted
    bool plain = false;
};

class Calibrating {
  public:
    explicit Calibrating(const CalibrateArguments& arguments) : arguments_(arguments) {}

    ExitCode run() {
        const auto& inputs = arguments_.reading.inputs;
        if (inputs.size() < 2 || inputs.size() % 2 != 0) {
            say("error: `calibrate` needs a firing and its log, and so on in pairs\n"
                "  fettle calibrate mugs.fettle:mugs monday.csv mugs.fettle:mugs friday.csv");
            return ExitCode::usage;
        }
        options_ = log_options(arguments_.log);
        if (!options_ || !read_cones(inputs.size() / 2))
            return ExitCode::usage;
        for (std::size_t i = 0; i < inputs.size(); i += 2) {
            if (const ExitCode code = add(inputs[i], inputs[i + 1]); code != ExitCode::well)
                return code;
        }
        const Calibration found = calibrate(
            guess_, logs_, readings_.front().compilation->context().ceramics.shelf_cones());
        print(calibration_text(kiln_, log_names_, found, arguments_.plain));
        return found.end == CalibrationEnd::fitted ? ExitCode::well : ExitCode::errors;
    }

  private:
    bool read_cones(std::size_t logs) {
        std::string_view rest = arguments_.cones;
        while (!rest.empty()) {
            const std::size_t end = std::min(rest.find(','), rest.size());
            const std::string_view word = rest.substr(0, end);
            rest.remove_prefix(std::min(end + 1, rest.size()));
            const auto cone = parse_cone(word);
            if (!cone && word != "-") {
                say(fmt::format("error: --cones: there is no cone `{}`; write `-` for a log "
                                "without one",
                                visible(word)));
                return false;
            }
            cones_.push_back(cone);
        }
        if (!cones_.empty() && cones_.size() != logs) {
            say(fmt::format("error: --cones names {} cones for {} logs", cones_.size(), logs));
            return false;
        }
        return true;
    }

    ExitCode add(const std::string& firing, const std::string& log) {
        ReadingOptions options = arguments_.reading;
        options.inputs = {firing};
        readings_.push_back(read_program(options));
        Reading& reading = readings_.back();
        ExitCode code = exit_code(reading);
        if (code == ExitCode::well && reading.firings.size() != 1) {
            say(fmt::format("error: name the one firing of {}, as in FILE:NAME", visible(firing)));
            return ExitCode::usage;
        }
        if (code == ExitCode::well) {
            compile_firings(reading, options, [&](std::size_t, const CompiledFiring& compiled) {
                if (compiled.ok)
                    code = take(reading, compiled);
            });
        }
        options.quiet = true;
        report(reading, options);
        code = worse(code, exit_code(reading));
        return code == ExitCode::well ? add_log(log) : code;
    }

    ExitCode take(const Reading& reading, const CompiledFiring& compiled) {
        const Program& program = reading.compilation->program();
        if (compiled.firing.kiln == none) {
            say(fmt::format("error: {} names no kiln", compiled.firing.name));
            return ExitCode::errors;
        }
        const DescribedKiln described =
            describe_kiln(program, compiled.firing.kiln, compiled.firing.ware);
        if (!described.model) {
            say(fmt::format("error: the model of the kiln needs {}",
                            missing_words(program, compiled.firing.kiln, described.missing)));
            return ExitCode::errors;
        }
        const std::string name(compiled.document.kiln.name);
        if (logs_.empty()) {
            guess_ = *described.model;
            kiln_ = name;
        } else if (name != kiln_) {
            say(fmt::format("error: {} was fired in {}, and the log before it in {}: one kiln at "
                            "a time",
                            compiled.firing.name, name, kiln_));
            return ExitCode::errors;
        }
        CalibrationLog& to = logs_.emplace_back();
        to.schedule = compiled.schedule;
        to.ware = described.model->ware;
        return ExitCode::well;
    }

    ExitCode refuse(const std::string& log, std::string_view why) {
        say(fmt::format("error: {}: {}", visible(log), why));
        return ExitCode::errors;
    }

    ExitCode add_log(const std::string& path) {
        std::string problem;
        const auto log = read_log_file(path, *options_, problem);
        if (!log) {
            refuse(path, problem);
            return ExitCode::unreadable;
        }
        const auto main = log->main_sensor();
        if (!log->judgeable() || !main)
            return refuse(path, "nothing in it can be used; `fettle judge` says what is wrong");
        std::optional<std::size_t> first = main, second;
        for (std::size_t i = 0; i < log->sensors.size() && !arguments_.second.empty(); ++i) {
            if (log->sensors[i].name == arguments_.second)
                second = i;
            else if (log->sensors[i].usable)
                first = i;
        }
        if (!arguments_.second.empty() && (!second || first == second))
            return refuse(path, fmt::format("it has no sensor `{}` beside another one",
                                            visible(arguments_.second)));
        const LogCurve curve = curve_of(*log, *first);
        CalibrationLog& to = logs_.back();
        to.time_s = curve.time_s;
        to.read_c = curve.celsius;
        if (second) {
            const LogCurve trusted = curve_of(*log, *second);
            for (const double time_s : curve.time_s)
                to.true_c.push_back(temperature_at(trusted, time_s));
        }
        if (!cones_.empty())
            to.cone = cones_[logs_.size() - 1];
        log_names_.push_back(path);
        return ExitCode::well;
    }

    const CalibrateArguments& arguments_;
    std::optional<LogOptions> options_;
    std::vector<std::optional<double>> cones_;
    std::list<Reading> readings_;
    std::vector<CalibrationLog> logs_;
    std::vector<std::string> log_names_;
    KilnModel guess_;
    std::string kiln_;
};

} // namespace

std::function<ExitCode()> prepare_calibrate(Arguments& arguments) {
    const auto options = std::make_shared<CalibrateArguments>();
    declare(arguments, options->reading, "A firing, then its log; as many such pairs as there are",
            true);
    declare(arguments, options->log);
    arguments.value("--cones", options->cones, "6,6",
                    "The cone that was just down beside the sensor, one for each log; `-`: none");
    arguments.value("--second", options->second, "NAME",
                    "A second sensor of the logs, which is trusted");
    arguments.flag("--plain", options->plain, "Simple signs only");
    arguments.example("fettle calibrate mugs.fettle:mugs monday.csv", "from one firing");
    arguments.example("fettle calibrate a.fettle:a a.csv b.fettle:b b.csv --cones 6,-",
                      "from two, with the cone of the first");
    arguments.remark("Climbs at full power and shut cooling tell most. A sensor's own log can't "
                     "tell how far off\nit reads: that takes cones or a second sensor.");
    return [options] { return Calibrating(*options).run(); };
}

} // namespace fettle
