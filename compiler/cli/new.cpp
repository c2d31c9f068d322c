// `fettle new`: a firing or a library to start from. The texts come from compiler/cli/starters;
// what is written was compiled before, under the name that was asked for.
#include "compiler/cli/command.h"
#include "compiler/cli/disk.h"
#include "compiler/cli/output_folder.h"
#include "compiler/cli/starters.h"
#include "compiler/cli/terminal.h"
#include "compiler/compiler.h"
#include "compiler/source/characters.h"
#include "compiler/syntax/format.h"
#include "compiler/syntax/lexical.h"
#include "compiler/syntax/parse.h"

#include <fmt/format.h>

#include <map>

namespace fettle {
namespace {

constexpr std::string_view kinds[] = {"firing", "library"};

struct NewOptions {
    std::string kind;
    std::string name;
};

bool is_name(const std::string& text) {
    return !text.empty() && lexical::word_at(text.c_str()).size() == text.size() &&
           !lexical::is_reserved(text);
}

// What the name could be instead: "Mugs, Tuesday" → "mugs_tuesday".
std::string near_name(std::string_view text) {
    std::string name;
    for (const char c : text) {
        const bool fits = lexical::class_of(c) & (lexical::is_inner | lexical::is_high);
        if (fits)
            name += static_cast<char>(c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c);
        else if (!name.empty() && name.back() != '_')
            name += '_';
    }
    while (!name.empty() && name.back() == '_')
        name.pop_back();
    if (!is_name(name))
        name = "firing_" + name;
    return is_name(name) ? name : "my_firing";
}

// The texts of the starter under the given name, in the one layout.
class Starter : public SourceProvider {
  public:
    Starter(const std::string& kind, const std::string& name) {
        for (const StarterFile& file : starter_files(kind)) {
            const std::string path = file.path == "firing.fettle" ? name + ".fettle" : file.path;
            files_[path] = formatted(renamed_starter(file.text, name));
        }
    }

    std::optional<std::string> read(const std::string& path, std::string&) override {
        const auto found = files_.find(path);
        return found == files_.end() ? std::nullopt : std::optional(found->second);
    }
    const std::map<std::string, std::string>& files() const { return files_; }

    // Whether all goes well under this name.
    bool compiles() {
        std::vector<std::string> paths;
        for (const auto& [path, text] : files_)
            paths.push_back(path);
        Diagnostics diagnostics;
        const Compilation compilation(paths, *this, diagnostics);
        compilation.compile_all(
            compilation.firings(), 1, diagnostics, [](std::size_t, const CompiledFiring&) {},
            [](std::size_t, std::size_t) {});
        return diagnostics.all().empty();
    }

  private:
    static std::string formatted(std::string text) {
        const SourceFile file("starter.fettle", std::move(text));
        Diagnostics none_expected;
        const Tree tree = parse(0, file, none_expected);
        return none_expected.has_errors() ? std::string(file.text()) : format(tree);
    }

    std::map<std::string, std::string> files_;
};

ExitCode refuse_name(const NewOptions& options, std::string_view why, const std::string& instead) {
    say(fmt::format("error: `{}` can't be the name: {}\n  try `fettle new {} {}`",
                    visible(options.name), why, options.kind, instead));
    return ExitCode::usage;
}

void say_what_next(const NewOptions& options, const std::vector<std::string>& written) {
    for (const std::string& path : written)
        say(fmt::format("Wrote {}", path));
    if (options.kind == "firing") {
        say(fmt::format("Read it and change it, then: fettle show {0}.fettle", options.name));
    } else {
        say(fmt::format("Read them and change them, then: fettle check {0}\n"
                        "                                 fettle show {0}/firings.fettle",
                        options.name));
    }
}

ExitCode make(const NewOptions& options) {
    if (!is_name(options.name)) {
        return refuse_name(options,
                           "a name has letters, digits and `_`, and starts with a letter; a few "
                           "small words such as `to` are none",
                           near_name(options.name));
    }
    Starter starter(options.kind, options.name);
    if (!starter.compiles()) {
        return refuse_name(options, "something that the starter uses is called so already",
                           "my_" + options.name);
    }
    const bool is_library = options.kind == "library";
    const std::string target = is_library ? options.name : options.name + ".fettle";
    if (is_there(target)) {
        say(fmt::format("error: there is something named {} here already; it was left alone\n"
                        "  give another name, or move it out of the way",
                        target));
        return ExitCode::unreadable;
    }
    OutputFolder folder(is_library ? options.name : ".");
    bool written = true;
    for (const auto& [path, text] : starter.files())
        written = written && folder.write(path, text);
    if (!written || !folder.commit()) {
        say(fmt::format("error: {}", folder.problem()));
        return ExitCode::unreadable;
    }
    say_what_next(options, folder.written());
    return ExitCode::well;
}

} // namespace

std::function<ExitCode()> prepare_new(Arguments& arguments) {
    const auto options = std::make_shared<NewOptions>();
    arguments.word(options->kind, "firing|library", "What to make", true, kinds);
    arguments.word(options->name, "NAME", "Its name: letters, digits and `_`", true);
    arguments.example("fettle new firing mugs", "mugs.fettle, with remarks");
    arguments.example("fettle new library studio",
                      "a folder with a clay, a kiln, a phase, a template and firings");
    arguments.remark("What is there already is never replaced.");
    return [options] { return make(*options); };
}

} // namespace fettle
