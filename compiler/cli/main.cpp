// The program `fettle`: finds the command, reads its arguments, runs it. Nothing passes this point
// but an exit code.
#include "compiler/cli/command.h"
#include "compiler/cli/terminal.h"
#include "compiler/compiler.h"
#include "compiler/source/characters.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <csignal>
#include <exception>
#include <malloc.h>
#include <new>

namespace fettle {
namespace {

constexpr Command commands[] = {
    {"check", "Reports everything that is wrong, and writes nothing", prepare_check},
    {"show", "Shows the table and the curve of a firing here", prepare_show},
    {"simulate", "Tells what the kiln will really do", prepare_simulate},
    {"plan", "Tells when to start, and what it costs", prepare_plan},
    {"calibrate", "Learns a kiln from its logs", prepare_calibrate},
    {"build", "Writes the files for the kiln and the records", prepare_build},
    {"glaze", "Shows the chemistry of glazes, sheets to weigh by, recipes for a formula",
     prepare_glaze},
    {"judge", "Tells from its log whether it was the firing that was asked for", prepare_judge},
    {"record", "Keeps a kiln's book of firings, and tells what wears", prepare_record},
    {"test", "Proves what the tests in the files expect", prepare_test},
    {"format", "Brings files into the one layout", prepare_format},
    {"explain", "Explains a message, with a wrong and a right example", prepare_explain},
    {"new", "Makes a file or a library to start from", prepare_new},
    {"library", "Depends on shared libraries, publishes them, and tells what changed",
     prepare_library},
    {"completion", "Prints what makes a shell complete the commands of Fettle", prepare_completion},
};

std::string overview() {
    std::string text = "Fettle checks a ceramic firing that is written as text, and turns it into "
                       "the table\nthat a kiln controller wants.\n\n"
                       "  fettle COMMAND [OPTIONS] FILE or FOLDER\n\nCommands\n";
    for (const Command& command : commands)
        text += fmt::format("  {:<11} {}\n", command.name, command.summary);
    text += "\nTo begin\n"
            "  fettle new firing mugs      makes mugs.fettle, with remarks: read it, change it\n"
            "  fettle show mugs.fettle     shows its table and its curve\n"
            "  fettle build mugs.fettle    writes out/mugs.csv and out/mugs.json\n\n"
            "`fettle COMMAND --help` tells more about each command, `fettle --version` the "
            "version.\n"
            "Ends with 0: all well; 1: the firing has errors; 2: the command was not understood;\n"
            "3: a file could not be read or written; 4: a fault of Fettle itself.\n";
    return text;
}

ExitCode refuse_command(const std::string& typed) {
    if (typed.find(".fettle") != std::string::npos || typed.find('/') != std::string::npos) {
        say(fmt::format("error: what should be done with {0}?\n"
                        "  `fettle check {0}` tells what is wrong in it\n"
                        "  `fettle show {0}` shows its table and curve\n"
                        "  `fettle build {0}` writes its files",
                        visible(typed)));
        return ExitCode::usage;
    }
    std::vector<std::string_view> names = {"--help", "--version"};
    for (const Command& command : commands)
        names.push_back(command.name);
    const auto near = nearest(typed, names);
    say(fmt::format("error: there is no command `{}`{}\n  `fettle --help` lists the commands",
                    visible(typed), near ? fmt::format("; did you mean `{}`?", *near) : ""));
    return ExitCode::usage;
}

ExitCode run(std::span<const char* const> typed) {
    if (typed.empty()) {
        say(overview());
        return ExitCode::usage;
    }
    const std::string first = typed.front();
    if (first == "--version")
        return print(fmt::format("fettle {}\n", compiler_version()));
    const bool help = first == "--help" || first == "-h" || first == "help";
    if (help && typed.size() == 1)
        return print(overview());
    const std::string name = help ? typed[1] : first;
    const Command* command = find_command(name);
    if (command == nullptr)
        return refuse_command(name);
    Arguments arguments(command->name, command->summary);
    const std::function<ExitCode()> work = command->prepare(arguments);
    if (help)
        return print(arguments.help());
    if (const std::optional<ExitCode> ended = arguments.read(typed.subspan(1)))
        return *ended;
    return work();
}

} // namespace

std::span<const Command> all_commands() {
    return commands;
}

const Command* find_command(std::string_view name) {
    const auto* found = std::find_if(std::begin(commands), std::end(commands),
                                     [&](const Command& command) { return command.name == name; });
    return found == std::end(commands) ? nullptr : found;
}

} // namespace fettle

namespace {

// The process is short: giving memory back to the system and asking for it again, firing by firing,
// takes a tenth of the time of a large build.
void keep_freed_memory() {
#ifdef __GLIBC__
    constexpr int much = 256 << 20;
    mallopt(M_TRIM_THRESHOLD, much);
    mallopt(M_MMAP_THRESHOLD, much);
    mallopt(M_TOP_PAD, 1 << 20);
#endif
}

} // namespace

int main(int count, char** words) {
    keep_freed_memory();
    // A closed pipe and a file that grows past its limit are told by the calls that meet them.
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);
    try {
        const std::span<const char* const> all(words, static_cast<std::size_t>(count));
        return static_cast<int>(fettle::run(all.empty() ? all : all.subspan(1)));
    } catch (const std::bad_alloc&) {
        fettle::say("error: there is not enough memory for this");
    } catch (const std::exception& fault) {
        fettle::say(fmt::format("error: a fault of Fettle itself: {}\nPlease report it, with the "
                                "files that led to it and the command that was typed.",
                                fault.what()));
    }
    return static_cast<int>(fettle::ExitCode::bug);
}
