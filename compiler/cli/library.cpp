// `fettle library`: one row for each thing that it does.
#include "compiler/cli/command.h"
#include "compiler/cli/libraries.h"

#include <algorithm>
#include <iterator>

namespace fettle {
namespace {

struct Action {
    std::string_view name;
    ExitCode (*run)(const LibraryOptions& options);
};

constexpr Action actions[] = {
    {"resolve", resolve_libraries},
    {"verify", verify_libraries},
};

} // namespace

std::function<ExitCode()> prepare_library(Arguments& arguments) {
    static constexpr std::string_view names[] = {"resolve", "verify"};
    const auto options = std::make_shared<LibraryOptions>();
    arguments.word(options->action, "ACTION", "resolve, verify", true, names);
    arguments.words(options->given, "FOLDER",
                    "A library, or a folder with several (the folder at hand)");
    arguments.flag("--update", options->update,
                   "resolve: take newer versions, and what changed in folders");
    arguments.flag("--sources", options->sources,
                   "verify: ask repositories and shelves, too, whether they still have it");
    arguments.flag("-q,--quiet", options->quiet, "Say nothing but errors");
    arguments.example("fettle library resolve", "writes library.lock");
    arguments.example("fettle library resolve --update", "the newest versions that fit");
    arguments.example("fettle library verify", "is everything what was locked?");
    return [options] {
        const auto* const action =
            std::find_if(std::begin(actions), std::end(actions),
                         [&](const Action& a) { return a.name == options->action; });
        return action->run(*options);
    };
}

} // namespace fettle
