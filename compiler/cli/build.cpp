// `fettle build`: the files of firings. They are written when the whole program is without errors,
// or not at all; only on stdout (`--into -`) each firing stands for itself.
#include "compiler/cli/clock.h"
#include "compiler/cli/command.h"
#include "compiler/cli/dump.h"
#include "compiler/cli/earlier.h"
#include "compiler/cli/file_names.h"
#include "compiler/cli/log.h"
#include "compiler/cli/memories.h"
#include "compiler/cli/output_folder.h"
#include "compiler/cli/output_formats.h"
#include "compiler/cli/reading.h"
#include "compiler/cli/scale.h"
#include "compiler/cli/stopping.h"
#include "compiler/cli/watch.h"
#include "compiler/output/json.h"
#include "compiler/proof/read_json.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

constexpr std::size_t most_listed = 12; // files that are told by name

struct BuildOptions {
    ReadingOptions reading;
    WatchOptions watch;
    std::string into = "out";
    std::vector<std::string> as = {"csv", "json"};
    std::string scale = "C";
    std::string starts;
    bool split = false;
    std::string dump;
    std::vector<std::string> against;
    OutputOptions output; // read from `scale` and `starts`
};

std::vector<const OutputFormat*> formats_of(const BuildOptions& options) {
    std::vector<const OutputFormat*> chosen;
    for (const OutputFormat& format : output_formats()) {
        if (std::find(options.as.begin(), options.as.end(), format.name) != options.as.end())
            chosen.push_back(&format);
    }
    return chosen;
}

bool asks_for_memory(const BuildOptions& options) {
    return std::find(options.as.begin(), options.as.end(), memory_format) != options.as.end();
}

std::string name_of(const Reading& reading, std::size_t firing) {
    const Program& program = reading.compilation->program();
    return std::string(program.name(program.declarations[reading.firings[firing]].name));
}

void say_written(const std::vector<std::string>& files, const std::string& folder) {
    if (files.size() > most_listed) {
        say(fmt::format("Wrote {} files into {}", files.size(), visible(folder)));
        return;
    }
    for (const std::string& file : files)
        say(fmt::format("Wrote {}", visible(file)));
}

// The text of one file, read back; false where it is not to be written.
bool make_text(std::string& text, Reading& reading, const OutputFormat& format,
               const CompiledFiring& compiled, const OutputOptions& options) {
    const FiringDocument& document = compiled.document;
    if (format.needs_steps && !document.steps) {
        const std::lock_guard lock(*reading.fault_lock);
        reading.lacking = fmt::format("{} has no table of steps: its kiln has no controller, or "
                                      "none that says its `step_form`",
                                      document.name);
        return false;
    }
    format.append(text, document, options);
    if (format.difference == nullptr)
        return true;
    const std::string difference = format.difference(text, document, options);
    if (!difference.empty())
        found_fault(reading, document.name, fmt::format("as {}: {}", format.name, difference));
    return difference.empty();
}

// The files of one firing; false: they are not all there.
bool write_firing(Reading& reading, const BuildOptions& options, const CompiledFiring& compiled,
                  const std::string& name, const Earlier* earlier, OutputFolder& folder) {
    const auto changes =
        earlier != nullptr ? earlier->changes(compiled.document) : std::optional<KeyChanges>();
    OutputOptions own = options.output;
    own.changes = changes ? &*changes : nullptr;
    thread_local std::string text;
    for (const OutputFormat* format : formats_of(options)) {
        text.clear();
        if (!make_text(text, reading, *format, compiled, own) ||
            !folder.write(name + std::string(format->ending), text))
            return false;
    }
    return true;
}

bool write_memories(const Reading& reading, const BuildOptions& options, const Earlier* earlier,
                    OutputFolder& folder) {
    const Compilation& compilation = *reading.compilation;
    std::string html;
    for (const Memory* memory : compilation.memories()) {
        html.clear();
        append_memory(html, compilation, *memory, options.output, earlier);
        if (!folder.write(name_of(compilation.program(), *memory) + ".memory.html", html))
            return false;
    }
    return true;
}

// `asked`: how many of the firings are written; those behind them are only in memories.
ExitCode write_files(Reading& reading, const BuildOptions& options, std::size_t asked,
                     const Earlier* earlier) {
    OutputFolder folder(tidy_path(options.into));
    std::vector<std::string> changes(earlier != nullptr ? reading.firings.size() : 0);
    std::atomic<bool> in_vain = false; // there will be no files
    stop_on_signals();
    compile_firings(reading, options.reading, [&](std::size_t i, const CompiledFiring& compiled) {
        if (!compiled.ok || stop_requested())
            in_vain = true;
        if (in_vain)
            return;
        if (i < asked &&
            !write_firing(reading, options, compiled, name_of(reading, i), earlier, folder))
            in_vain = true;
        if (earlier != nullptr) {
            changes[i] = words_of_changes(*earlier, compiled.document,
                                          where_stored(*reading.compilation, reading.firings[i]));
        }
    });
    if (stop_requested())
        return ExitCode::errors;
    report(reading, options.reading);
    if (exit_code(reading) != ExitCode::well) {
        if (!options.reading.quiet)
            say("Nothing was written.");
        return exit_code(reading);
    }
    if (!in_vain && asks_for_memory(options))
        in_vain = !write_memories(reading, options, earlier, folder);
    if (!in_vain && folder.commit()) {
        for (const std::string& line : changes)
            say(line);
        if (!options.reading.quiet)
            say_written(folder.written(), tidy_path(options.into));
        return ExitCode::well;
    }
    say(fmt::format("error: {}", visible(folder.problem())));
    const std::size_t before = folder.written().size();
    say(before == 0 ? std::string("Nothing was written.")
                    : fmt::format("{} files had been written before.", before));
    return ExitCode::unreadable;
}

// JSON as one line a firing, in their order; each line is written when the firing is known to be
// sound.
ExitCode stream_json(Reading& reading, const ReadingOptions& options) {
    std::vector<std::string> texts(std::min(reading.firings.size(), compile_slots));
    std::vector<std::string_view> lines;
    ExitCode code = ExitCode::well;
    compile_firings(
        reading, options,
        [&](std::size_t i, const CompiledFiring& compiled) {
            std::string& text = texts[i % compile_slots];
            text.clear();
            text.reserve(std::size_t{16} << 10); // most firings
            if (!compiled.ok || !has_reader())
                return;
            append_json(text, compiled.document, JsonLayout::compact);
            const auto& steps = compiled.document.steps;
            const std::string difference =
                difference_of_json(text, compiled.schedule, steps ? &*steps : nullptr);
            if (!difference.empty()) {
                found_fault(reading, compiled.firing.name, "as json: " + difference);
                text.clear();
            }
        },
        [&](std::size_t begin, std::size_t end) {
            lines.clear();
            for (std::size_t i = begin; i < end; ++i)
                lines.push_back(texts[i % compile_slots]);
            code = worse(code, print(lines));
        });
    return code;
}

// One firing in one form.
ExitCode print_one(Reading& reading, const BuildOptions& options, const OutputFormat& format) {
    std::string text;
    compile_firings(reading, options.reading, [&](std::size_t, const CompiledFiring& compiled) {
        if (compiled.ok && !make_text(text, reading, format, compiled, options.output))
            text.clear();
    });
    return print(text);
}

ExitCode write_to_stdout(Reading& reading, const BuildOptions& options) {
    const std::vector<const OutputFormat*> formats = formats_of(options);
    if (asks_for_memory(options) || !options.against.empty()) {
        say("error: memories, and what is compared with earlier files, are written into a folder: "
            "leave out `--into -`");
        return ExitCode::usage;
    }
    if (formats.size() != 1) {
        say("error: only one kind of output fits on stdout: add `--as json` or `--as csv`");
        return ExitCode::usage;
    }
    if (formats.front()->name != "json" && reading.firings.size() > 1) {
        say(fmt::format("error: only one firing fits on stdout as {}: name one, as in FILE:{}",
                        formats.front()->name, name_of(reading, 0)));
        return ExitCode::usage;
    }
    const ExitCode printed = formats.front()->name == "json"
                                 ? stream_json(reading, options.reading)
                                 : print_one(reading, options, *formats.front());
    report(reading, options.reading);
    return worse(printed, exit_code(reading));
}

ExitCode build(const BuildOptions& options, std::vector<std::string>& read) {
    Reading reading = read_program(options.reading);
    read = reading.files.asked_for();
    if (options.split)
        reading.compilation->split_programs();
    if (!options.dump.empty())
        return dump_stage(reading, options.reading, options.dump);
    const bool to_stdout = options.into == "-";
    if (!to_stdout)
        report_clashes(reading);
    if (exit_code(reading) != ExitCode::well) {
        report(reading, options.reading);
        return exit_code(reading);
    }
    std::optional<Earlier> earlier;
    if (!options.against.empty() && !(earlier = read_earlier_files(options.against)))
        return ExitCode::unreadable;
    const bool memories = asks_for_memory(options);
    if (memories && reading.compilation->memories().empty()) {
        report(reading, options.reading);
        say(fmt::format("There is nothing to write: no memory is declared in {}.",
                        describe(reading.inputs)));
        return ExitCode::errors;
    }
    const std::size_t asked = memories ? add_stored_firings(reading) : reading.firings.size();
    if (reading.firings.empty()) {
        report(reading, options.reading);
        say(fmt::format("There is nothing to write: no firing is declared in {}.",
                        describe(reading.inputs)));
        return ExitCode::errors;
    }
    for (const OutputFormat* format : formats_of(options))
        format->needs(*reading.compilation);
    return to_stdout ? write_to_stdout(reading, options)
                     : write_files(reading, options, asked, earlier ? &*earlier : nullptr);
}

} // namespace

std::function<ExitCode()> prepare_build(Arguments& arguments) {
    const auto options = std::make_shared<BuildOptions>();
    declare(arguments, options->reading,
            "Whose firings to build; a folder with all files below it");
    arguments.value("--into", options->into, "DIR",
                    "The folder for the files (out); `-` writes to stdout",
                    Arguments::Option::Value::folder);
    arguments.choices("--as", options->as, output_format_names(),
                      "Which kinds of files (csv and json)");
    arguments.choice("--scale", options->scale, scale_words,
                     "Degrees Celsius or Fahrenheit, in what is made for people");
    arguments.value("--starts", options->starts, "22:00",
                    "The time of day it is started, for clock times in cards and sheets");
    arguments.flag("--split", options->split, "Make several programs of a table that is too long");
    arguments.values("--against", options->against, "EARLIER.json",
                     "What to key again since that was keyed; several files or a folder",
                     Arguments::Option::Value::any);
    declare(arguments, options->watch);
    declare_dump(arguments, options->dump);
    arguments.example("fettle build mugs.fettle", "out/NAME.csv and out/NAME.json of each firing");
    arguments.example("fettle build class.fettle:slabs --as csv --into tables", "one of them");
    arguments.example("fettle build studio --as json --into -", "each firing as a line of JSON");
    arguments.remark("Where anything is wrong in the files, nothing is written at all. On stdout,\n"
                     "each firing is written when it is sound by itself; the exit code tells\n"
                     "whether all were.");
    return [options] {
        options->output.scale = scale_of(options->scale);
        if (!read_starts(options->starts, options->output.start_clock_s))
            return ExitCode::usage;
        const ExitCode code =
            watched(options->watch, options->reading.inputs,
                    [&](std::vector<std::string>& read) { return build(*options, read); });
        if (!options->watch.on)
            stop_if_requested();
        return code;
    };
}

} // namespace fettle
