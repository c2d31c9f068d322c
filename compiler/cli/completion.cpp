// `fettle completion`: a script that makes a shell complete commands, options and files. Made from
// the declarations of the commands, so that it can't fall behind them.
#include "compiler/cli/command.h"
#include "compiler/cli/terminal.h"

#include <fmt/format.h>

#include <initializer_list>
#include <string>
#include <utility>
#include <vector>

namespace fettle {
namespace {

using Option = Arguments::Option;

constexpr std::string_view shells[] = {"bash", "zsh", "fish"};

// Marks such as @values@ are filled in.
constexpr std::string_view bash_frame =
    R"script(# Put this line into ~/.bashrc:  eval "$(fettle completion bash)"
_fettle() {
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]}
    local words='' files=no
    COMPREPLY=()
    if [ "$COMP_CWORD" -le 1 ]; then
        COMPREPLY=($(compgen -W '@names@ --help --version' -- "$word"))
        return
    fi
    case "$command $before" in
@values@    esac
    if [ -z "$words" ]; then
        case "$command" in
@words@        esac
    fi
    COMPREPLY=($(compgen -W "$words" -- "$word"))
    if [ "$files" = yes ] && [[ $word != -* ]]; then
        COMPREPLY=($(compgen -f -X '!*.fettle' -- "$word") $(compgen -d -- "$word"))
    fi
}
complete -o filenames -F _fettle fettle
)script";

constexpr std::string_view zsh_frame = R"script(#compdef fettle
# Put this line into ~/.zshrc, after compinit:  eval "$(fettle completion zsh)"
_fettle() {
    local -a commands
    commands=(
@names@    )
    if (( CURRENT == 2 )); then
        _describe command commands
        return
    fi
    local command=$words[2]
    shift words
    (( CURRENT-- ))
    case $command in
@cases@    esac
}
compdef _fettle fettle
)script";

std::string filled(std::string_view frame,
                   std::initializer_list<std::pair<std::string_view, std::string>> marks) {
    std::string text(frame);
    for (const auto& [mark, filling] : marks)
        text.replace(text.find(mark), mark.size(), filling);
    return text;
}

struct Declared {
    const Command* command;
    Arguments arguments;
    explicit Declared(const Command& of) : command(&of), arguments(of.name, of.summary) {
        of.prepare(arguments);
    }
};

// In single quotes, for all three shells.
std::string quoted(std::string_view text) {
    std::string out = "'";
    for (const char byte : text)
        out += byte == '\'' ? std::string("'\\''") : std::string(1, byte);
    return out + "'";
}

std::string option_names(const Arguments& arguments) {
    std::string names;
    for (const Option& option : arguments.options())
        names += option.name + " ";
    return names + "--help";
}

std::string bash_values(const Declared& each) {
    std::string cases;
    for (const Option& option : each.arguments.options()) {
        const std::string at = fmt::format("    '{} {}') ", each.command->name, option.name);
        if (option.value == Option::Value::word)
            cases += at + fmt::format("words={} ;;\n",
                                      quoted(fmt::format("{}", fmt::join(option.words, " "))));
        else if (option.value == Option::Value::folder)
            cases += at + "COMPREPLY=($(compgen -d -- \"$word\")); return ;;\n";
        else if (option.value != Option::Value::nothing)
            cases += at + "return ;;\n";
    }
    return cases;
}

std::string bash_script(const std::vector<Declared>& commands) {
    std::string names;
    std::string values;
    std::string words;
    for (const Declared& each : commands) {
        names += fmt::format("{}{}", names.empty() ? "" : " ", each.command->name);
        values += bash_values(each);
        words +=
            fmt::format("    '{}') words={} files={} ;;\n", each.command->name,
                        quoted(fmt::format("{} {}", fmt::join(each.arguments.first_words(), " "),
                                           option_names(each.arguments))),
                        each.arguments.takes_files() ? "yes" : "no");
    }
    return filled(bash_frame, {{"@names@", names}, {"@values@", values}, {"@words@", words}});
}

std::string zsh_option(const Option& option) {
    std::string text = fmt::format("{}[{}]", option.name, option.help);
    switch (option.value) {
    case Option::Value::nothing: break;
    case Option::Value::word:
        text += fmt::format(":value:({})", fmt::join(option.words, " "));
        break;
    case Option::Value::folder: text += ":folder:_files -/"; break;
    case Option::Value::file: text += ":file:_files"; break;
    case Option::Value::any: text += ":value: "; break;
    }
    return quoted(text);
}

std::string zsh_script(const std::vector<Declared>& commands) {
    std::string names;
    std::string cases;
    for (const Declared& each : commands) {
        names +=
            fmt::format("        {}\n",
                        quoted(fmt::format("{}:{}", each.command->name, each.command->summary)));
        cases += fmt::format("    {})\n        _arguments", each.command->name);
        for (const Option& option : each.arguments.options())
            cases += fmt::format(" \\\n            {}", zsh_option(option));
        cases += " \\\n            '--help[This text]'";
        if (!each.arguments.first_words().empty())
            cases += fmt::format(
                " \\\n            {}",
                quoted(fmt::format("1:word:({})", fmt::join(each.arguments.first_words(), " "))));
        if (each.arguments.takes_files())
            cases += " \\\n            '*:file:_files -g \"*.fettle\"'";
        cases += "\n        ;;\n";
    }
    return filled(zsh_frame, {{"@names@", names}, {"@cases@", cases}});
}

std::string fish_script(const std::vector<Declared>& commands) {
    std::string text = "# Put this into ~/.config/fish/completions/fettle.fish:\n"
                       "#     fettle completion fish >~/.config/fish/completions/fettle.fish\n"
                       "complete -c fettle -f\n";
    for (const Declared& each : commands) {
        const std::string_view name = each.command->name;
        text += fmt::format("complete -c fettle -n __fish_use_subcommand -a {} -d {}\n", name,
                            quoted(each.command->summary));
        const std::string within =
            fmt::format("complete -c fettle -n '__fish_seen_subcommand_from {}'", name);
        for (const Option& option : each.arguments.options()) {
            text +=
                fmt::format("{} -l {} -d {}", within, option.name.substr(2), quoted(option.help));
            if (option.value == Option::Value::word)
                text += fmt::format(" -x -a {}",
                                    quoted(fmt::format("{}", fmt::join(option.words, " "))));
            else if (option.value == Option::Value::folder)
                text += " -x -a '(__fish_complete_directories)'";
            else if (option.value != Option::Value::nothing)
                text += " -x";
            text += '\n';
        }
        if (!each.arguments.first_words().empty())
            text += fmt::format(
                "{} -a {}\n", within,
                quoted(fmt::format("{}", fmt::join(each.arguments.first_words(), " "))));
        if (each.arguments.takes_files())
            text += fmt::format("{} -a '(__fish_complete_suffix .fettle)'\n", within);
    }
    return text;
}

ExitCode complete(const std::string& shell) {
    std::vector<Declared> commands;
    for (const Command& command : all_commands())
        commands.emplace_back(command);
    return print(shell == "bash"  ? bash_script(commands)
                 : shell == "zsh" ? zsh_script(commands)
                                  : fish_script(commands));
}

} // namespace

std::function<ExitCode()> prepare_completion(Arguments& arguments) {
    const auto shell = std::make_shared<std::string>();
    arguments.word(*shell, "SHELL", "bash, zsh or fish", true, shells);
    arguments.example("eval \"$(fettle completion bash)\"", "in ~/.bashrc");
    return [shell] { return complete(*shell); };
}

} // namespace fettle
