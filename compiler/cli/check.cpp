// `fettle check`: everything that is wrong, and nothing written.
#include "compiler/cli/command.h"
#include "compiler/cli/dump.h"
#include "compiler/cli/explanations.h"
#include "compiler/cli/memories.h"
#include "compiler/cli/reading.h"
#include "compiler/cli/watch.h"
#include "compiler/source/render.h"

#include <fmt/format.h>

namespace fettle {
namespace {

constexpr std::string_view report_forms[] = {"text", "json", "sarif"};

struct CheckOptions {
    ReadingOptions reading;
    WatchOptions watch;
    std::string form = "text";
    std::string dump;
};

std::string summary(const Reading& reading) {
    const std::size_t count = reading.firings.size();
    return fmt::format("{}: {} firing{}, {}\n", describe(reading.inputs),
                       count == 0 ? "no" : fmt::to_string(count), count == 1 ? "" : "s",
                       summary_line(reading.diagnostics));
}

// The report is the result, so it goes to stdout in all its forms.
ExitCode print_report(const Reading& reading, const CheckOptions& options) {
    const Sources& sources = reading.compilation->sources();
    if (options.form == "json")
        return print(render_json(sources, reading.diagnostics));
    if (options.form == "sarif")
        return print(render_sarif(sources, reading.diagnostics, {compiler_version(), explanation}));
    const std::string text = rendered_text(reading, options.reading, Channel::results);
    if (text.empty() && !options.reading.quiet)
        return print(summary(reading));
    return print(text);
}

ExitCode check(const CheckOptions& options, std::vector<std::string>& read) {
    Reading reading = read_program(options.reading);
    read = reading.files.asked_for();
    if (!reading.understood)
        return ExitCode::usage;
    if (!options.dump.empty())
        return dump_stage(reading, options.reading, options.dump);
    if (reading.inputs.named.empty())
        add_stored_firings(reading);
    compile_firings(reading, options.reading, [](std::size_t, const CompiledFiring&) {});
    const ExitCode printed = print_report(reading, options);
    say_fault(reading);
    return worse(printed, exit_code(reading));
}

} // namespace

std::function<ExitCode()> prepare_check(Arguments& arguments) {
    const auto options = std::make_shared<CheckOptions>();
    declare(arguments, options->reading, "What to check; a folder with all files below it");
    arguments.choice("--report", options->form, report_forms,
                     "As text for people, or as JSON or SARIF for programs");
    declare(arguments, options->watch);
    declare_dump(arguments, options->dump);
    arguments.example("fettle check mugs.fettle", "one file");
    arguments.example("fettle check studio", "all files of a folder, as one program");
    arguments.example("fettle check studio --watch", "again whenever a file is saved");
    arguments.example("fettle check studio --report sarif", "for a code review");
    return [options] {
        return watched(options->watch, options->reading.inputs,
                       [&](std::vector<std::string>& read) { return check(*options, read); });
    };
}

} // namespace fettle
