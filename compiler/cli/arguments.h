// The arguments of one command: which there are, and what was typed. Commands declare theirs here;
// CLI11 stands behind it, in arguments.cpp alone, since every file that includes it takes long to
// compile. The same declarations give the help, the completion in shells and "did you mean".
#pragma once

#include "compiler/cli/exit_code.h"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

class Arguments {
  public:
    // What completion in a shell has to know about an option.
    struct Option {
        std::string name; // "--into"
        std::string help;
        std::vector<std::string> words; // the values that it takes, where they are few
        enum class Value { nothing, word, file, folder, any } value = Value::nothing;
    };

    Arguments(std::string_view command, std::string_view summary);
    Arguments(Arguments&&) noexcept;
    ~Arguments();

    // What stands without a name: files and folders (at least one; `whole`: no single firings of
    // theirs), or a word.
    void files(std::vector<std::string>& into, std::string_view help, bool whole = false);
    void word(std::string& into, std::string_view name, std::string_view help, bool needed,
              std::span<const std::string_view> words = {});
    // Any number of words, none too; a shell offers files and folders for them.
    void words(std::vector<std::string>& into, std::string_view name, std::string_view help);
    // Words that a shell may offer for the first of them, though others are taken too.
    void suggest(std::span<const std::string_view> words);
    // `names` as "--quiet" or "-o,--into".
    void flag(std::string_view names, bool& into, std::string_view help);
    void value(std::string_view names, std::string& into, std::string_view kind,
               std::string_view help, Option::Value value = Option::Value::any);
    // The same, any number of times.
    void values(std::string_view names, std::vector<std::string>& into, std::string_view kind,
                std::string_view help, Option::Value value = Option::Value::any);
    void number(std::string_view names, unsigned& into, unsigned least, unsigned most,
                std::string_view help);
    // One of `words`; or several with commas.
    void choice(std::string_view names, std::string& into, std::span<const std::string_view> words,
                std::string_view help);
    void choices(std::string_view names, std::vector<std::string>& into,
                 std::span<const std::string_view> words, std::string_view help);
    // Works, but is not shown.
    void hidden_number(std::string_view names, unsigned& into, unsigned least, unsigned most);
    void example(std::string_view line, std::string_view meaning);
    // A paragraph at the end of the help.
    void remark(std::string_view text);

    // Reads what was typed after the command's name. Nothing: go on. Otherwise the command ends
    // with that code, and what had to be said was said (the help, or what is wrong).
    std::optional<ExitCode> read(std::span<const char* const> typed);

    const std::vector<Option>& options() const { return options_; }
    bool takes_files() const { return takes_files_; }
    const std::vector<std::string>& first_words() const { return first_words_; }
    std::string help() const;

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
    std::vector<Option> options_;
    std::vector<std::string> first_words_; // what the first word may be
    bool takes_files_ = false;
};

} // namespace fettle
