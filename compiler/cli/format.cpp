// `fettle format`: files brought into the one layout. A file is replaced only when its new text was
// read back and means the same.
#include "compiler/syntax/format.h"

#include "compiler/cli/command.h"
#include "compiler/cli/inputs.h"
#include "compiler/cli/output_folder.h"
#include "compiler/cli/report.h"
#include "compiler/cli/stopping.h"
#include "compiler/source/characters.h"
#include "compiler/syntax/dump.h"
#include "compiler/syntax/parse.h"

#include <fmt/format.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <sys/stat.h>
#include <unistd.h>

namespace fettle {
namespace {

struct FormatOptions {
    std::vector<std::string> inputs;
    bool check = false;
    bool quiet = false;
};

// How often each byte stands in the text, but for what a layout may change.
std::array<std::size_t, 256> letters_of(std::string_view text) {
    std::array<std::size_t, 256> counts{};
    for (const char byte : text)
        ++counts[static_cast<unsigned char>(byte)];
    for (const char free : {' ', '\t', '\r', '\n', ';', ','})
        counts[static_cast<unsigned char>(free)] = 0;
    return counts;
}

std::string_view without_mark(std::string_view text) {
    constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
    return text.starts_with(byte_order_mark) ? text.substr(byte_order_mark.size()) : text;
}

// Whether the new text says what the old one did, comments and all.
bool means_the_same(const Tree& tree, std::string_view path, const std::string& formatted) {
    const SourceFile again(std::string(path), formatted);
    Diagnostics problems;
    const Tree new_tree = parse(0, again, problems);
    return !problems.has_errors() && dump(tree) == dump(new_tree) &&
           format(new_tree) == formatted &&
           letters_of(without_mark(tree.text)) == letters_of(formatted);
}

// The file that a path leads to, through links: the folder and the name in it.
struct RealPlace {
    std::string folder, name;
};
std::optional<RealPlace> real_place(const std::string& path) {
    char* resolved = ::realpath(path.c_str(), nullptr);
    if (resolved == nullptr)
        return std::nullopt;
    const std::string real = resolved;
    std::free(resolved);
    const std::size_t slash = real.rfind('/');
    return RealPlace{slash == 0 ? "/" : real.substr(0, slash), real.substr(slash + 1)};
}

class Formatting {
  public:
    explicit Formatting(const FormatOptions& options) : options_(options) {}

    ExitCode run() {
        const Inputs inputs = find_inputs(options_.inputs, files_, diagnostics_);
        if (!inputs.named.empty()) {
            say(fmt::format("error: a file is formatted as a whole: write {} without `:{}`",
                            inputs.named.front().path, inputs.named.front().name));
            return ExitCode::usage;
        }
        stop_on_signals();
        for (const std::string& path : inputs.paths) {
            if (!stop_requested())
                format_file(path);
        }
        say_problems();
        say_what_was_done();
        return code_;
    }

  private:
    void end_with(ExitCode code) { code_ = worse(code_, code); }

    void format_file(const std::string& path) {
        std::string problem;
        std::optional<std::string> text = files_.read(path, problem);
        if (!text) {
            if (problem.empty())
                diagnostics_.report(DiagnosticKind::file_not_found,
                                    fmt::format("there is no file `{}`", path));
            else
                diagnostics_.report(DiagnosticKind::file_unreadable,
                                    fmt::format("`{}` can't be read: {}", path, problem));
            return;
        }
        const FileId file = sources_.add(path, std::move(*text));
        Diagnostics found;
        const Tree tree = parse(file, sources_[file], found);
        const bool sound = !found.has_errors();
        diagnostics_.take(std::move(found));
        if (!sound)
            return;
        const std::string formatted = format(tree);
        if (!means_the_same(tree, path, formatted)) {
            say(fmt::format("error: a fault of Fettle itself: the new layout of {} would not mean "
                            "the same\nThe file was left as it was. Please report it, with the "
                            "file.",
                            visible(path)));
            end_with(ExitCode::bug);
            return;
        }
        if (path == standard_input && !options_.check)
            end_with(print(formatted));
        else if (formatted != sources_[file].text())
            options_.check ? list(path) : replace(path, sources_[file].text(), formatted);
    }

    void list(const std::string& path) {
        // As it is for programs; safe for a terminal.
        end_with(print((is_terminal(Channel::results) ? visible(path) : path) + '\n'));
        end_with(ExitCode::errors);
        ++changed_;
    }

    void replace(const std::string& path, std::string_view old_text, const std::string& text) {
        struct stat status {};
        const std::optional<RealPlace> place = real_place(path);
        if (!place || ::stat(path.c_str(), &status) != 0 || ::access(path.c_str(), W_OK) != 0) {
            refuse(fmt::format("`{}` could not be written: {}", path, words_of_error(errno)));
            return;
        }
        OutputFolder folder(place->folder);
        std::string ignored;
        if (!folder.write(place->name, text, status.st_mode & 07777)) {
            refuse(folder.problem());
        } else if (files_.read(path, ignored) != old_text) {
            refuse(
                fmt::format("`{}` was changed by someone else meanwhile; it was left alone", path));
        } else if (stop_requested()) {
            return;
        } else if (!folder.commit()) {
            refuse(folder.problem());
        } else {
            ++changed_;
            if (!options_.quiet)
                say(fmt::format("Formatted {}", visible(path)));
        }
    }

    void refuse(std::string_view what) {
        say(fmt::format("error: {}", visible(what)));
        end_with(ExitCode::unreadable);
    }

    void say_problems() {
        const std::string text = rendered_text(sources_, diagnostics_, Channel::messages,
                                               {.errors_only = options_.quiet});
        if (!text.empty())
            say(text);
        end_with(exit_code(diagnostics_));
    }

    void say_what_was_done() {
        if (options_.quiet || code_ == ExitCode::bug)
            return;
        if (diagnostics_.has_errors())
            say("A file with mistakes in it is left as it is.");
        else if (options_.check && changed_ > 0)
            say(fmt::format("{} not in the one layout; `fettle format` brings {} into it",
                            changed_ == 1 ? "This file is" : "These files are",
                            changed_ == 1 ? "it" : "them"));
    }

    const FormatOptions& options_;
    DiskFiles files_;
    Sources sources_;
    Diagnostics diagnostics_;
    std::size_t changed_ = 0;
    ExitCode code_ = ExitCode::well;
};

} // namespace

std::function<ExitCode()> prepare_format(Arguments& arguments) {
    const auto options = std::make_shared<FormatOptions>();
    arguments.files(options->inputs,
                    "What to bring into the one layout; a folder with all files "
                    "below it",
                    true);
    arguments.flag("--check", options->check,
                   "Change nothing; list the files that are not in it, and end with 1");
    arguments.flag("-q,--quiet", options->quiet, "Say nothing but errors");
    arguments.example("fettle format mugs.fettle", "changes the file, if there is a need");
    arguments.example("fettle format --check studio", "for those who keep watch over a studio");
    arguments.example("fettle format - <mugs.fettle", "prints the result");
    return [options] {
        const ExitCode code = Formatting(*options).run();
        stop_if_requested();
        return code;
    };
}

} // namespace fettle
