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
    {"resolve", resolve_libraries}, {"verify", verify_libraries},   {"difference", tell_difference},
    {"publish", publish_libraries}, {"catalogue", make_catalogues},
};

} // namespace

std::function<ExitCode()> prepare_library(Arguments& arguments) {
    static constexpr std::string_view names[] = {"resolve", "verify", "difference", "publish",
                                                 "catalogue"};
    static constexpr std::string_view forms[] = {"text", "json"};
    const auto options = std::make_shared<LibraryOptions>();
    arguments.word(options->action, "ACTION", "resolve, verify, difference, publish or catalogue",
                   true, names);
    arguments.words(options->given, "FOLDER",
                    "Libraries, or a folder of them (the folder at hand); difference: OLD NEW");
    arguments.flag("--update", options->update,
                   "resolve: take newer versions, and what changed in folders");
    arguments.flag("--sources", options->sources,
                   "verify: ask repositories and shelves, too, whether they still have it");
    arguments.value("--for", options->mine, "FOLDER",
                    "difference: what it does to the firings of that library",
                    Arguments::Option::Value::folder);
    arguments.value("--shelf", options->shelf, "DIR",
                    "A folder with archives, for what says nothing of its place",
                    Arguments::Option::Value::folder);
    arguments.value("--last", options->last, "VERSION",
                    "publish: the version before (the newest archive in the folder)");
    arguments.value("--key", options->key, "FILE",
                    "publish: signs with that secret key; verify: checks with that public one",
                    Arguments::Option::Value::file);
    arguments.value("--into", options->into, "DIR",
                    "For the archive, the page of the difference, or the site (catalogue)",
                    Arguments::Option::Value::folder);
    arguments.choice("--report", options->form, forms, "difference: for people or for programs");
    arguments.number("--threads", options->threads, 1, 1024,
                     "How many cores to use (all of them); the result is the same");
    arguments.flag("-q,--quiet", options->quiet, "Say nothing but errors");
    arguments.example("fettle library resolve", "writes library.lock");
    arguments.example("fettle library resolve --update", "the newest versions that fit");
    arguments.example("fettle library verify", "is everything what was locked?");
    arguments.example("fettle library difference v1.0.0 .", "what changed since that tag");
    arguments.example("fettle library publish studio --into shelf", "shelf/studio-1.0.0.tar");
    arguments.example("fettle library catalogue studio --into site",
                      "a web site of all that it shares");
    arguments.remark(
        "The versions that `difference` compares are folders, archives, or revisions of the git\n"
        "repository that the library is in. It ends with 1 where the version does not\n"
        "rise as the difference asks for.");
    return [options] {
        const auto* const action =
            std::find_if(std::begin(actions), std::end(actions),
                         [&](const Action& a) { return a.name == options->action; });
        return action->run(*options);
    };
}

} // namespace fettle
