// `fettle test`: runs the tests that are written in the language.
#include "compiler/cli/command.h"
#include "compiler/cli/progress.h"
#include "compiler/cli/reading.h"
#include "compiler/cli/watch.h"
#include "compiler/lowering/prove.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <atomic>
#include <thread>

namespace fettle {
namespace {

struct TestOptions {
    ReadingOptions reading;
    WatchOptions watch;
};

std::string line_of(const TestOutcome& outcome, std::string_view path) {
    return fmt::format("{}  {}: {} ({} expectation{})\n", outcome.passed ? "ok    " : "FAILED",
                       path, visible(outcome.title), outcome.expectations,
                       outcome.expectations == 1 ? "" : "s");
}

// All of them, on several threads; what is said comes in the order of the tests.
std::vector<TestOutcome> run_all(Reading& reading, const ReadingOptions& options,
                                 const std::vector<DeclarationId>& tests) {
    const CompileContext& context = reading.compilation->context();
    std::vector<TestOutcome> outcomes(tests.size());
    std::vector<Diagnostics> said(tests.size());
    std::atomic<std::size_t> next = 0;
    Progress progress("tests run", tests.size(), !options.quiet);
    const auto work = [&](bool tells) {
        for (std::size_t i = next++; i < tests.size(); i = next++) {
            outcomes[i] = run_test(context, tests[i], said[i]);
            if (tells)
                progress.reached(i);
        }
    };
    std::vector<std::thread> others;
    for (unsigned t = 1; t < threads_for(options, tests.size()); ++t)
        others.emplace_back(work, false);
    work(true);
    for (std::thread& other : others)
        other.join();
    for (Diagnostics& diagnostics : said)
        reading.diagnostics.take(std::move(diagnostics));
    return outcomes;
}

ExitCode test(const TestOptions& options, std::vector<std::string>& read) {
    Reading reading = read_program(options.reading);
    read = reading.files.asked_for();
    if (!reading.inputs.named.empty()) {
        say("error: all tests of a file are run together: leave out the `:NAME`");
        return ExitCode::usage;
    }
    if (exit_code(reading) != ExitCode::well) {
        report(reading, options.reading);
        return exit_code(reading);
    }
    const Compilation& compilation = *reading.compilation;
    const Program& program = compilation.program();
    std::string text;
    std::size_t passed = 0;
    const std::vector<DeclarationId> tests = compilation.tests();
    const std::vector<TestOutcome> outcomes = run_all(reading, options.reading, tests);
    for (std::size_t i = 0; i < tests.size(); ++i) {
        const TestOutcome& outcome = outcomes[i];
        const FileId file = program.modules[program.declarations[tests[i]].module].file;
        if (!outcome.passed || !options.reading.quiet)
            text += line_of(outcome, compilation.sources()[file].path());
        passed += outcome.passed ? 1 : 0;
    }
    if (!options.reading.quiet)
        text += fmt::format("{} of {} test{} passed\n", passed, tests.size(),
                            tests.size() == 1 ? "" : "s");
    const ExitCode printed = print(text);
    report(reading, options.reading);
    const ExitCode outcome = passed == tests.size() ? ExitCode::well : ExitCode::errors;
    return worse(worse(printed, outcome), exit_code(reading));
}

} // namespace

std::function<ExitCode()> prepare_test(Arguments& arguments) {
    const auto options = std::make_shared<TestOptions>();
    declare(arguments, options->reading, "Whose tests to run; a folder with all files below it",
            true);
    declare(arguments, options->watch);
    arguments.example("fettle test studio", "all tests of a library");
    arguments.remark("A test is written in a file of Fettle:\n"
                     "  test \"thin ware is done by tomorrow\" {\n"
                     "      expect mugs.duration <= 24h\n"
                     "  }");
    return [options] {
        return watched(options->watch, options->reading.inputs,
                       [&](std::vector<std::string>& read) { return test(*options, read); });
    };
}

} // namespace fettle
