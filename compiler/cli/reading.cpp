#include "compiler/cli/reading.h"

#include "compiler/cli/libraries.h"
#include "compiler/cli/log.h"
#include "compiler/cli/progress.h"
#include "compiler/library/locked_libraries.h"
#include "compiler/source/characters.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <thread>

namespace fettle {
namespace {

bool is_in(std::string_view path, std::string_view asked) {
    return path == asked || asked == "." ||
           (path.size() > asked.size() && path.starts_with(asked) && path[asked.size()] == '/');
}

bool is_of(const Program& program, const Declaration& declaration, Picked picked) {
    if (picked == Picked::firings)
        return declaration.kind == DeclarationKind::firing;
    return declaration.kind == DeclarationKind::profile && declaration.profile != none &&
           program.profiles[declaration.profile].kind == ProfileKind::glaze;
}

// The firings or glazes of one file or folder, usable or not.
std::vector<DeclarationId> those_in(const Compilation& compilation, std::string_view asked,
                                    Picked picked) {
    const Program& program = compilation.program();
    std::vector<DeclarationId> found;
    for (DeclarationId id = 0; id < program.declarations.size(); ++id) {
        const Declaration& declaration = program.declarations[id];
        const FileId file = program.modules[declaration.module].file;
        if (is_of(program, declaration, picked) &&
            is_in(compilation.sources()[file].path(), asked)) {
            found.push_back(id);
        }
    }
    return found;
}

void say_unknown(const Compilation& compilation, const Inputs::Named& named, Picked picked) {
    const std::string_view what = picked == Picked::firings ? "firing" : "glaze";
    std::vector<std::string_view> names;
    for (DeclarationId id : those_in(compilation, named.path, picked))
        names.push_back(compilation.program().name(compilation.program().declarations[id].name));
    std::string text = fmt::format("error: there is no {} `{}` in {}", what, visible(named.name),
                                   visible(named.path));
    if (const auto near = nearest(named.name, names)) {
        text += fmt::format("\n  did you mean `{}:{}`?", visible(named.path), *near);
    } else if (!names.empty() && names.size() <= 20) {
        text += fmt::format("\n  its {}s are: {}", what, fmt::join(names, ", "));
    } else if (names.empty()) {
        text += fmt::format("\n  no {} is declared there", what);
    }
    say(text);
}

void pick(Reading& reading, Picked picked) {
    const Compilation& compilation = *reading.compilation;
    const std::vector<DeclarationId> all =
        picked == Picked::firings ? compilation.firings() : compilation.glazes();
    std::vector<DeclarationId>& into = picked == Picked::firings ? reading.firings : reading.glazes;
    if (reading.inputs.named.empty()) {
        into = all;
        return;
    }
    const Program& program = compilation.program();
    std::vector<bool> wanted(program.declarations.size());
    for (const Inputs::Named& named : reading.inputs.named) {
        const std::vector<DeclarationId> there = those_in(compilation, named.path, picked);
        bool found = false;
        for (DeclarationId id : there) {
            if (program.name(program.declarations[id].name) == named.name)
                found = wanted[id] = true;
        }
        // Where there are errors, it may be hidden by one of them.
        if (!found && !reading.diagnostics.has_errors()) {
            say_unknown(compilation, named, picked);
            reading.understood = false;
        }
    }
    for (DeclarationId id : all) {
        if (wanted[id])
            into.push_back(id);
    }
}

// A thread costs about as much as a few firings.
constexpr std::size_t firings_worth_a_thread = 8;

} // namespace

unsigned threads_for(const ReadingOptions& options, std::size_t firings) {
    if (options.threads != 0)
        return options.threads;
    const std::size_t cores = std::max(1u, std::thread::hardware_concurrency());
    return static_cast<unsigned>(std::min(cores, 1 + firings / firings_worth_a_thread));
}

void declare(Arguments& arguments, ReadingOptions& options, std::string_view inputs_help,
             bool whole) {
    arguments.files(options.inputs, inputs_help, whole);
    arguments.flag("-q,--quiet", options.quiet, "Say nothing but errors");
    arguments.flag("-v,--verbose", options.verbose, "Tell what is being done");
    arguments.number("--threads", options.threads, 1, 1024,
                     "How many cores to use (all of them); the result is the same");
}

Reading read_program(const ReadingOptions& options, Picked picked) {
    log_to_stderr(options.verbose);
    Reading reading;
    reading.inputs = find_inputs(options.inputs, reading.files, reading.diagnostics);
    log_line("reading {} file(s)", reading.inputs.paths.size());
    const Cache cache(cache_folder());
    LockedLibraries libraries(reading.files, cache, reading.inputs.paths);
    reading.compilation = std::make_unique<Compilation>(
        reading.inputs.paths, libraries, reading.diagnostics, RulesAlwaysOn::standard, &libraries);
    const Program& program = reading.compilation->program();
    log_line("checked {} module(s), {} declaration(s)", program.modules.size(),
             program.declarations.size());
    pick(reading, picked);
    return reading;
}

void compile_firings(Reading& reading, const ReadingOptions& options,
                     const std::function<void(std::size_t, const CompiledFiring&)>& use,
                     const std::function<void(std::size_t, std::size_t)>& deliver) {
    const unsigned threads = threads_for(options, reading.firings.size());
    log_line("compiling {} firing(s) on {} thread(s)", reading.firings.size(), threads);
    Progress progress("firings compiled", reading.firings.size(), !options.quiet);
    const auto looked_at = [&](std::size_t i, const CompiledFiring& compiled) {
        if (!compiled.fault.empty())
            found_fault(reading, compiled.firing.name, compiled.fault);
        use(i, compiled);
    };
    reading.compilation->compile_all(reading.firings, threads, reading.diagnostics, looked_at,
                                     [&](std::size_t begin, std::size_t end) {
                                         if (deliver)
                                             deliver(begin, end);
                                         progress.reached(end);
                                     });
}

void found_fault(Reading& reading, std::string_view firing, std::string_view what) {
    const std::lock_guard lock(*reading.fault_lock);
    if (reading.fault.empty())
        reading.fault = fmt::format("{}: {}", firing, what);
}

std::string rendered_text(const Reading& reading, const ReadingOptions& options, Channel channel) {
    return rendered_text(reading.compilation->sources(), reading.diagnostics, channel,
                         {.errors_only = options.quiet, .plain = options.plain});
}

void report(const Reading& reading, const ReadingOptions& options) {
    const std::string text = rendered_text(reading, options, Channel::messages);
    if (!text.empty())
        say(text);
    if (!reading.lacking.empty())
        say(fmt::format("error: {}", visible(reading.lacking)));
    say_fault(reading);
}

void say_fault(const Reading& reading) {
    if (reading.fault.empty())
        return;
    say(fmt::format("error: a fault of Fettle itself: what was read back is not what was asked for"
                    "\n  {}\nPlease report it, with the files that led to it and the command that "
                    "was typed.",
                    visible(reading.fault)));
}

ExitCode exit_code(const Reading& reading) {
    if (!reading.fault.empty())
        return ExitCode::bug;
    if (!reading.lacking.empty())
        return ExitCode::errors;
    return reading.understood ? exit_code(reading.diagnostics) : ExitCode::usage;
}

} // namespace fettle
