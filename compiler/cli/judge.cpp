// `fettle judge`: a fired log against its firing.
#include "compiler/cli/command.h"
#include "compiler/cli/log_file.h"
#include "compiler/cli/output_folder.h"
#include "compiler/cli/reading.h"
#include "compiler/cli/scale.h"
#include "compiler/cli/unloading.h"
#include "compiler/judging/next_edit.h"
#include "compiler/output/judgement.h"
#include "compiler/output/log_words.h"
#include "compiler/source/characters.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sys/stat.h>

namespace fettle {
namespace {

constexpr std::string_view forms[] = {"text", "json", "card"};

struct JudgeArguments {
    ReadingOptions reading;
    LogWords log;
    std::string as = "text";
    std::string scale = "C";
    std::string sensor, cones, since;
    std::string defects;
    unsigned width = 0;
    bool apply = false;
};

// The program's own files, one of them with another text.
class EditedFiles : public SourceProvider {
  public:
    EditedFiles(SourceProvider& files, std::string path, std::string text)
        : files_(files), path_(std::move(path)), text_(std::move(text)) {}
    std::optional<std::string> read(const std::string& path, std::string& problem) override {
        return path == path_ ? std::optional(text_) : files_.read(path, problem);
    }

  private:
    SourceProvider& files_;
    std::string path_, text_;
};

class Judging {
  public:
    explicit Judging(const JudgeArguments& arguments) : arguments_(arguments) {}

    ExitCode run() {
        if (arguments_.reading.inputs.size() != 2) {
            say("error: `judge` needs a firing and its log, in this order\n"
                "  fettle judge mugs.fettle:mugs log.csv");
            return ExitCode::usage;
        }
        options_ = log_options(arguments_.log);
        if (!options_ || !read_notes())
            return ExitCode::usage;
        if (const auto code = read_the_log(); code != ExitCode::well)
            return code;
        return judge_the_firing();
    }

  private:
    // --- what was typed ---

    bool read_notes() {
        data_ = standard_judging_data();
        auto notes = unloading_notes(arguments_.cones, arguments_.defects, data_);
        if (notes)
            notes_ = std::move(*notes);
        return notes.has_value();
    }

    // --- the log ---

    const std::string& log_path() const { return arguments_.reading.inputs[1]; }

    ExitCode refuse_log(const std::string& why, ExitCode code) {
        say(fmt::format("error: {}: {}", visible(log_path()), why));
        return code;
    }

    ExitCode read_the_log() {
        if (log_path().ends_with(".fettle") || log_path().find(".fettle:") != std::string::npos)
            return refuse_log("that is a firing; the log comes second", ExitCode::usage);
        std::string problem;
        auto reading = read_log_file(log_path(), *options_, problem);
        if (!reading)
            return refuse_log(problem, ExitCode::unreadable);
        log_ = std::move(*reading);
        if (!log_.judgeable()) {
            for (const LogProblem& found : log_.problems) {
                if (spoils_the_log(found.kind) || spoils_the_sensor(found.kind))
                    refuse_log(visible(describe(found, log_)), ExitCode::errors);
            }
            return ExitCode::errors;
        }
        sensor_ = *log_.main_sensor();
        if (!arguments_.sensor.empty() && !choose_sensor())
            return ExitCode::usage;
        return check_date();
    }

    bool choose_sensor() {
        std::vector<std::string_view> names;
        for (std::size_t i = 0; i < log_.sensors.size(); ++i) {
            names.push_back(log_.sensors[i].name);
            if (log_.sensors[i].name != arguments_.sensor)
                continue;
            if (!log_.sensors[i].usable) {
                for (const LogProblem& found : log_.problems) {
                    if (spoils_the_sensor(found.kind) && found.sensor == i)
                        refuse_log(visible(describe(found, log_)), ExitCode::errors);
                }
                return false;
            }
            sensor_ = i;
            return true;
        }
        const auto near = nearest(arguments_.sensor, names);
        say(fmt::format("error: the log has no sensor `{}`{}\n  it has: {}",
                        visible(arguments_.sensor),
                        near ? fmt::format("; did you mean `{}`?", visible(*near)) : "",
                        visible(fmt::format("{}", fmt::join(names, ", ")))));
        return false;
    }

    // A log from before the schedule was what it is now is not to be judged by it.
    ExitCode check_date() {
        if (arguments_.since.empty())
            return ExitCode::well;
        const LogReading day =
            read_log(arguments_.since + " 00:00,0\n" + arguments_.since + " 12:00,100\n");
        if (!day.first_date_s) {
            say(fmt::format("error: --since takes a day such as 2026-03-07, not `{}`",
                            visible(arguments_.since)));
            return ExitCode::usage;
        }
        if (!log_.first_date_s)
            return refuse_log("it has no dates, so it can't be told whether it is from before "
                              "--since",
                              ExitCode::errors);
        if (*log_.first_date_s < *day.first_date_s)
            return refuse_log(
                fmt::format("it is of {}, older than the schedule (in use since {}); judge it by "
                            "the schedule of that day",
                            printed_date(*log_.first_date_s).substr(0, 10),
                            visible(arguments_.since)),
                ExitCode::errors);
        return ExitCode::well;
    }

    // --- the firing ---

    ExitCode judge_the_firing() {
        ReadingOptions options = arguments_.reading;
        options.inputs.pop_back();
        Reading reading = read_program(options);
        if (exit_code(reading) == ExitCode::well && reading.firings.size() != 1) {
            say_which_firing(reading);
            return ExitCode::usage;
        }
        std::string text;
        ExitCode code = exit_code(reading);
        if (code == ExitCode::well) {
            compile_firings(reading, options, [&](std::size_t, const CompiledFiring& compiled) {
                if (compiled.ok)
                    code = judge_compiled(reading, compiled, text);
            });
        }
        const ExitCode printed = print(text);
        options.quiet = true; // what the firing itself is advised of is told by `check`
        report(reading, options);
        return worse(worse(printed, exit_code(reading)), code);
    }

    void say_which_firing(const Reading& reading) const {
        std::vector<std::string_view> names;
        const Program& program = reading.compilation->program();
        for (const DeclarationId firing : reading.firings)
            names.push_back(program.name(program.declarations[firing].name));
        if (names.empty())
            say(fmt::format("error: no firing is declared in {}", describe(reading.inputs)));
        else
            say(fmt::format("error: which firing is the log of? Name one, as in `{}:{}`\n  there "
                            "are: {}",
                            visible(reading.inputs.paths.front()), names.front(),
                            fmt::join(names, ", ")));
    }

    ExitCode judge_compiled(Reading& reading, const CompiledFiring& compiled, std::string& text) {
        const CompileContext& context = reading.compilation->context();
        JudgedFiring judged = judge_firing(context, compiled, log_, sensor_, notes_, data_);
        judged.log_name = log_path();
        ExitCode code =
            judged.judgement.overall == Verdict::fail ? ExitCode::errors : ExitCode::well;
        if (judged.judgement.alignment.looks_like_another)
            code = ExitCode::errors;
        else
            code = worse(code, propose_edit(reading, compiled, judged));
        const Scale scale = scale_of(arguments_.scale);
        if (arguments_.as == "json") {
            text = judgement_json(judged);
        } else if (arguments_.as == "card") {
            text = judgement_card(judged, scale);
        } else {
            const bool plain = arguments_.reading.plain;
            text = judgement_text(judged, {.scale = scale,
                                           .width = arguments_.width != 0
                                                        ? arguments_.width
                                                        : terminal_width(Channel::results),
                                           .plain = plain,
                                           .colour = !plain && wants_colour(Channel::results)});
        }
        return code;
    }

    // --- the edit ---

    ExitCode propose_edit(Reading& reading, const CompiledFiring& compiled, JudgedFiring& judged) {
        const bool any = judged.next && !judged.next->choices.empty() && !judged.next_by_sensor &&
                         judged.next->outcome != CorrectionOutcome::large;
        if (!any) {
            if (arguments_.apply)
                say("There is nothing to apply.");
            return ExitCode::well;
        }
        const Program& program = reading.compilation->program();
        const Correction& choice = judged.next->choices.front();
        const NextEditResult result = next_edit(program, compiled, *judged.next, choice);
        if (!result.edit) {
            judged.edit_note = fmt::format("No edit can be given: {}.", result.why_not);
            return arguments_.apply ? ExitCode::errors : ExitCode::well;
        }
        const SourceFile& file = reading.compilation->sources()[result.edit->file];
        if (const std::string wrong = try_out(reading, compiled, *result.edit, choice);
            !wrong.empty()) {
            judged.edit_note = fmt::format("No edit is offered: {}.", wrong);
            return arguments_.apply ? ExitCode::errors : ExitCode::well;
        }
        judged.edit_path = file.path();
        judged.edit_line = file.line_of(result.edit->edits.front().span.begin);
        judged.edit_difference = difference_of(file.path(), file.text(), result.edit->new_text);
        if (!result.edit->inside.empty())
            judged.edit_note = fmt::format(
                "The line stands in {}, so every firing made with it changes: copy it first if "
                "other kilns use it.",
                result.edit->inside);
        return arguments_.apply ? apply(file.path(), result.edit->new_text) : ExitCode::well;
    }

    // The program with the edit in it must compile, and have the top that was worked out.
    std::string try_out(Reading& reading, const CompiledFiring& compiled, const NextEdit& edit,
                        const Correction& choice) const {
        EditedFiles files(reading.files, reading.compilation->sources()[edit.file].path(),
                          edit.new_text);
        Diagnostics diagnostics;
        const Compilation again(reading.inputs.paths, files, diagnostics);
        CompiledFiring corrected;
        const DeclarationId firing = again.find_firing(compiled.document.name);
        if (firing == none || !compile_firing(again.context(), firing, corrected, diagnostics)) {
            for (const Diagnostic& found : diagnostics.all()) {
                if (found.level == Level::error)
                    return fmt::format("with a top of {} there would be an error ({})",
                                       print_temperature(choice.top_c, Scale::celsius),
                                       found.message);
            }
            return "with it the firing would not compile";
        }
        const auto peak = Curve(corrected.schedule).peak().value;
        if (!peak || std::fabs(*peak - choice.top_c) > 0.6)
            return "the line of the top is not the only one that makes it";
        return "";
    }

    ExitCode apply(const std::string& path, const std::string& text) const {
        const std::size_t slash = path.rfind('/');
        struct stat status {};
        if (::stat(path.c_str(), &status) != 0)
            return ExitCode::unreadable;
        OutputFolder folder(slash == std::string::npos ? "." : path.substr(0, slash));
        const std::string name = slash == std::string::npos ? path : path.substr(slash + 1);
        if (!folder.write(name, text, status.st_mode & 07777) || !folder.commit()) {
            say(fmt::format("error: {}", visible(folder.problem())));
            return ExitCode::unreadable;
        }
        say(fmt::format("Changed {}", visible(path)));
        return ExitCode::well;
    }

    const JudgeArguments& arguments_;
    std::optional<LogOptions> options_;
    JudgingData data_;
    UnloadingNotes notes_;
    LogReading log_;
    std::size_t sensor_ = 0;
};

} // namespace

std::function<ExitCode()> prepare_judge(Arguments& arguments) {
    const auto options = std::make_shared<JudgeArguments>();
    declare(arguments, options->reading, "The firing (FILE:NAME), then its log (CSV)");
    arguments.value("--cones", options->cones, "WORDS",
                    "The witness cones: \"middle: cone 6 touching, bottom: cone 6 bending\"");
    arguments.value("--defects", options->defects, "WORDS",
                    "What is wrong with the ware, with commas: pinholes,bloat");
    arguments.choice("--as", options->as, forms, "What to print: text, JSON, or a page of HTML");
    arguments.value("--sensor", options->sensor, "NAME",
                    "The column to judge by (the one that goes highest)");
    declare(arguments, options->log);
    arguments.value("--since", options->since, "2026-03-07",
                    "Refuse a log from before that day, when the schedule was another");
    arguments.flag("--apply", options->apply, "Write the correction for next time into the source");
    arguments.choice("--scale", options->scale, scale_words, "Degrees Celsius or Fahrenheit");
    arguments.number("--width", options->width, 40, 1000, "Columns (those of the terminal, or 80)");
    arguments.flag("--plain", options->reading.plain, "Simple signs only, no colours");
    arguments.example("fettle judge glaze.fettle:mugs log.csv", "was it the firing we asked for?");
    arguments.example("fettle judge glaze.fettle:mugs log.csv --cones \"bottom: cone 6 bending\"",
                      "with what the cones say, and what to change");
    arguments.example("fettle judge glaze.fettle:mugs log.csv --defects pinholes",
                      "what may be behind it");
    arguments.remark("Ends with 1 when the acceptance fails, or the log looks like that of another "
                     "firing.");
    return [options] { return Judging(*options).run(); };
}

} // namespace fettle
