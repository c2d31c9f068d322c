// `fettle test`: runs the tests that are written in the language.
#include "compiler/cli/command.h"
#include "compiler/cli/reading.h"
#include "compiler/cli/watch.h"
#include "compiler/lowering/prove.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

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
    for (DeclarationId id : tests) {
        const TestOutcome outcome = run_test(compilation.context(), id, reading.diagnostics);
        const FileId file = program.modules[program.declarations[id].module].file;
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
