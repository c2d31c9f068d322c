#include "compiler/cli/arguments.h"

#include "compiler/cli/disk.h"
#include "compiler/cli/terminal.h"
#include "compiler/source/characters.h"
#include "compiler/source/nearest.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <deque>

namespace fettle {
namespace {

struct HelpRow {
    std::string left;
    std::string right;
};

// What a typed value must be, and where it goes; looked at after CLI11 has sorted the words.
struct Taken {
    std::string name; // "--scale"
    std::vector<std::string> words;
    std::vector<std::string> typed;
    std::string* text = nullptr;
    std::vector<std::string>* list = nullptr;
    bool commas = true; // part the values of `list`
    unsigned* number = nullptr;
    unsigned least = 0, most = 0;
};

std::string long_name(std::string_view names) {
    return std::string(names.substr(names.find("--")));
}

std::vector<std::string> copied(std::span<const std::string_view> words) {
    return {words.begin(), words.end()};
}

// "csv, json or card"
std::string as_list(const std::vector<std::string>& words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0)
            text += i + 1 == words.size() ? " or " : ", ";
        text += words[i];
    }
    return text;
}

std::string did_you_mean(std::string_view typed, const std::vector<std::string>& words) {
    const std::vector<std::string_view> views(words.begin(), words.end());
    const auto near = nearest(typed, views);
    return near ? fmt::format("; did you mean `{}`?", *near) : "";
}

std::vector<std::string> split_at_commas(const std::vector<std::string>& typed) {
    std::vector<std::string> parts;
    for (const std::string& each : typed) {
        std::size_t begin = 0;
        for (std::size_t comma = 0; comma != std::string::npos; begin = comma + 1) {
            comma = each.find(',', begin);
            std::string part = each.substr(begin, comma - begin);
            if (!part.empty())
                parts.push_back(std::move(part));
            if (comma == std::string::npos)
                break;
        }
    }
    return parts;
}

// What is wrong with the value; empty: nothing, and it is where it belongs.
std::string take(const Taken& taken) {
    if (taken.typed.empty())
        return "";
    const std::string& last = taken.typed.back();
    if (taken.number != nullptr) {
        unsigned value = 0;
        const auto [end, error] = std::from_chars(last.data(), last.data() + last.size(), value);
        if (error != std::errc() || end != last.data() + last.size() || value < taken.least ||
            value > taken.most) {
            return fmt::format("{} takes a whole number from {} to {}, not `{}`", taken.name,
                               taken.least, taken.most, visible(last));
        }
        *taken.number = value;
        return "";
    }
    const std::vector<std::string> values =
        taken.list == nullptr ? std::vector<std::string>{last}
        : taken.commas        ? split_at_commas(taken.typed)
                              : taken.typed;
    for (const std::string& value : values) {
        if (!taken.words.empty() &&
            std::find(taken.words.begin(), taken.words.end(), value) == taken.words.end()) {
            return fmt::format("{} takes {}, not `{}`{}", taken.name, as_list(taken.words),
                               visible(value), did_you_mean(value, taken.words));
        }
    }
    const bool is_option = taken.name.starts_with("--");
    if (values.empty() || (is_option && (last.empty() || last.starts_with("--"))))
        return fmt::format("{} needs a value after it", taken.name);
    if (taken.list != nullptr)
        *taken.list = values;
    else
        *taken.text = last;
    return "";
}

void add_rows(std::string& out, std::string_view heading, const std::vector<HelpRow>& rows) {
    if (rows.empty())
        return;
    std::size_t width = 0;
    for (const HelpRow& row : rows)
        width = std::max(width, std::min<std::size_t>(row.left.size(), 30));
    out += fmt::format("\n{}\n", heading);
    for (const HelpRow& row : rows) {
        if (row.left.size() > width)
            out += fmt::format("  {}\n  {:{}}  {}\n", row.left, "", width, row.right);
        else
            out += fmt::format("  {:{}}  {}\n", row.left, width, row.right);
    }
}

} // namespace

struct Arguments::Inside {
    std::string name;
    std::string summary;
    std::string positional; // "FILE or FOLDER", for the line of usage
    CLI::App app;
    std::deque<Taken> taken;
    std::vector<HelpRow> given, options, examples;
    std::string remarks;

    Taken& add_option(std::string_view names, std::string_view kind, std::string_view help) {
        Taken& added = taken.emplace_back();
        added.name = long_name(names);
        app.add_option(std::string(names), added.typed)
            ->expected(1)
            ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
            ->allow_extra_args(false);
        if (!help.empty())
            options.push_back({fmt::format("{} {}", names, kind), std::string(help)});
        return added;
    }
    ExitCode refuse(std::string_view what) const {
        say(fmt::format("error: {}\n  `{} --help` tells how it is used", what, name));
        return ExitCode::usage;
    }
};

Arguments::Arguments(std::string_view command, std::string_view summary)
    : inside_(std::make_unique<Inside>()) {
    inside_->name = fmt::format("fettle {}", command);
    inside_->summary = summary;
    inside_->app.allow_extras();
}

Arguments::Arguments(Arguments&&) noexcept = default;
Arguments::~Arguments() = default;

void Arguments::files(std::vector<std::string>& into, std::string_view help, bool whole) {
    takes_files_ = true;
    inside_->positional = "FILE or FOLDER";
    inside_->app.add_option("FILE", into)
        ->expected(1, CLI::detail::expected_max_vector_size)
        ->required();
    inside_->given.push_back({"FILE|FOLDER", std::string(help)});
    if (!whole)
        inside_->given.push_back({"FILE:NAME", "One firing of that file"});
    inside_->given.push_back({"-", "What comes from standard input"});
}

void Arguments::word(std::string& into, std::string_view name, std::string_view help, bool needed,
                     std::span<const std::string_view> words) {
    if (!inside_->positional.empty())
        inside_->positional += ' ';
    inside_->positional += needed ? std::string(name) : fmt::format("[{}]", name);
    Taken& added = inside_->taken.emplace_back();
    added.name = name;
    added.text = &into;
    added.words = copied(words);
    if (first_words_.empty())
        first_words_ = added.words;
    inside_->app.add_option(std::string(name), added.typed)
        ->expected(1)
        ->required(needed)
        ->allow_extra_args(false);
    inside_->given.push_back({std::string(name), std::string(help)});
}

void Arguments::words(std::vector<std::string>& into, std::string_view name,
                      std::string_view help) {
    takes_files_ = true;
    if (!inside_->positional.empty())
        inside_->positional += ' ';
    inside_->positional += fmt::format("[{}]", name);
    inside_->app.add_option(std::string(name), into)
        ->expected(0, CLI::detail::expected_max_vector_size);
    inside_->given.push_back({std::string(name), std::string(help)});
}

void Arguments::suggest(std::span<const std::string_view> words) {
    first_words_ = copied(words);
}

void Arguments::flag(std::string_view names, bool& into, std::string_view help) {
    inside_->app.add_flag(std::string(names), into);
    inside_->options.push_back({std::string(names), std::string(help)});
    options_.push_back({long_name(names), std::string(help), {}, Option::Value::nothing});
}

void Arguments::value(std::string_view names, std::string& into, std::string_view kind,
                      std::string_view help, Option::Value value) {
    inside_->add_option(names, kind, help).text = &into;
    options_.push_back({long_name(names), std::string(help), {}, value});
}

void Arguments::values(std::string_view names, std::vector<std::string>& into,
                       std::string_view kind, std::string_view help, Option::Value value) {
    Taken& added = inside_->add_option(names, kind, help);
    added.list = &into;
    added.commas = false;
    options_.push_back({long_name(names), std::string(help), {}, value});
}

void Arguments::number(std::string_view names, unsigned& into, unsigned least, unsigned most,
                       std::string_view help) {
    hidden_number(names, into, least, most);
    inside_->options.push_back({fmt::format("{} N", names), std::string(help)});
    options_.push_back({long_name(names), std::string(help), {}, Option::Value::any});
}

void Arguments::hidden_number(std::string_view names, unsigned& into, unsigned least,
                              unsigned most) {
    Taken& added = inside_->add_option(names, "N", "");
    added.number = &into;
    added.least = least;
    added.most = most;
}

void Arguments::choice(std::string_view names, std::string& into,
                       std::span<const std::string_view> words, std::string_view help) {
    Taken& added = inside_->add_option(names, fmt::format("{}", fmt::join(words, "|")), help);
    added.text = &into;
    added.words = copied(words);
    options_.push_back({long_name(names), std::string(help), added.words, Option::Value::word});
}

void Arguments::choices(std::string_view names, std::vector<std::string>& into,
                        std::span<const std::string_view> words, std::string_view help) {
    Taken& added = inside_->add_option(names, fmt::format("{}", fmt::join(words, ",")), help);
    added.list = &into;
    added.words = copied(words);
    options_.push_back({long_name(names), std::string(help), added.words, Option::Value::word});
}

void Arguments::example(std::string_view line, std::string_view meaning) {
    inside_->examples.push_back({std::string(line), std::string(meaning)});
}

void Arguments::remark(std::string_view text) {
    inside_->remarks += fmt::format("\n{}\n", text);
}

std::string Arguments::help() const {
    std::string out = fmt::format("{}\n\n  {} [OPTIONS]{}{}\n", inside_->summary, inside_->name,
                                  inside_->positional.empty() ? "" : " ", inside_->positional);
    add_rows(out, "What to give", inside_->given);
    std::vector<HelpRow> options = inside_->options;
    options.push_back({"-h,--help", "This text"});
    add_rows(out, "Options", options);
    add_rows(out, "Examples", inside_->examples);
    return out + inside_->remarks;
}

std::optional<ExitCode> Arguments::read(std::span<const char* const> typed) {
    std::vector<std::string> words(typed.rbegin(), typed.rend()); // CLI11 takes the last one first
    for (std::string& word : words) {
        if (word.starts_with("-:")) // a firing of standard input, which would look like an option
            word.replace(0, 1, standard_input);
    }
    try {
        inside_->app.parse(words);
    } catch (const CLI::CallForHelp&) {
        return print(help());
    } catch (const CLI::RequiredError&) {
        return inside_->refuse(fmt::format("`{}` needs {}", inside_->name, inside_->positional));
    } catch (const CLI::ParseError& error) {
        const std::string_view what = error.what(); // "--into: 1 required TEXT missing"
        if (what.starts_with("--"))
            return inside_->refuse(
                fmt::format("{} needs a value after it", what.substr(0, what.find(':'))));
        return inside_->refuse(what);
    }
    if (const std::vector<std::string> left = inside_->app.remaining(); !left.empty()) {
        if (!left.front().starts_with('-'))
            return inside_->refuse(fmt::format("`{}` is one word too many", visible(left.front())));
        std::vector<std::string> names = {"--help"};
        for (const Option& option : options_)
            names.push_back(option.name);
        return inside_->refuse(fmt::format("`{}` has no option `{}`{}", inside_->name,
                                           visible(left.front()),
                                           did_you_mean(left.front(), names)));
    }
    for (const Taken& taken : inside_->taken) {
        if (const std::string wrong = take(taken); !wrong.empty())
            return inside_->refuse(wrong);
    }
    return std::nullopt;
}

} // namespace fettle
