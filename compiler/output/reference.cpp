#include "compiler/output/reference.h"

#include "compiler/meaning/evaluate.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <vector>

namespace fettle {
namespace {

// One declaration and the tree that it stands in.
struct Page {
    Page(const Program& of, DeclarationId id)
        : program(of), declaration(of.declarations[id]), module(of.modules[declaration.module]),
          tree(module.tree), block(tree.child(declaration.node, 4)) {}

    std::string_view name() const { return program.name(declaration.name); }

    // As it is written, without quotes and escapes.
    std::string text(NodeId node) const {
        if (!tree.is(node, NodeKind::text))
            return "";
        std::string all;
        for (std::uint32_t i = 0; i < tree.count(node); ++i) {
            const NodeId part = tree.child(node, i);
            if (tree.is(part, NodeKind::text_part))
                all += unescaped(tree.source(part));
            else
                all += fmt::format("{{{}}}", tree.source(part));
        }
        return all;
    }
    std::string title() const { return text(tree.child(declaration.node, 3)); }

    // The first statement of a kind in the block; `none`: there is none.
    NodeId statement(NodeKind kind) const {
        for (std::uint32_t i = 0; tree.is(block, NodeKind::block) && i < tree.count(block); ++i) {
            if (tree.is(tree.child(block, i), kind))
                return tree.child(block, i);
        }
        return none;
    }
    std::string text_of(NodeKind kind) const {
        const NodeId node = statement(kind);
        return node == none ? "" : text(tree.child(node, 0));
    }
    std::string word_of(NodeKind kind) const {
        const NodeId node = statement(kind);
        return node == none ? "" : std::string(tree.source(tree.child(node, 0)));
    }

    const Program& program;
    const Declaration& declaration;
    const Module& module;
    const Tree& tree;
    NodeId block;

  private:
    static std::string unescaped(std::string_view written) {
        std::string plain;
        for (std::size_t i = 0; i < written.size(); ++i) {
            const bool escape = written[i] == '\\' && i + 1 < written.size();
            if (!escape)
                plain += written[i];
            else
                plain += written[++i] == 'n' ? '\n' : written[i];
        }
        return plain;
    }
};

std::string cell(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '|')
            out += "\\|";
        else
            out += c == '\n' ? ' ' : c;
    }
    return out;
}

std::string section(std::string_view heading, std::string_view text) {
    return text.empty() ? "" : fmt::format("## {}\n\n{}\n\n", heading, text);
}

bool is_inside_word(char c) {
    return c == '_' || std::isalnum(static_cast<unsigned char>(c)) != 0;
}

bool has_word(std::string_view text, std::string_view word) {
    for (std::size_t at = text.find(word); at != std::string_view::npos;
         at = text.find(word, at + 1)) {
        const bool starts = at == 0 || !is_inside_word(text[at - 1]);
        const std::size_t after = at + word.size();
        if (starts && (after == text.size() || !is_inside_word(text[after])))
            return true;
    }
    return false;
}

// The lines of a rule that decide: `let`, `applies when`, `check`.
std::string deciding_lines(const Page& page) {
    std::string lines;
    for (std::uint32_t i = 0; i < page.tree.count(page.block); ++i) {
        const NodeId statement = page.tree.child(page.block, i);
        const NodeKind kind = page.tree[statement].kind;
        if (kind == NodeKind::let || kind == NodeKind::applies || kind == NodeKind::check)
            lines += fmt::format("{}\n", page.tree.source(statement));
    }
    return lines;
}

// The functions of the module that `text` calls, and those that they call, as they are written.
std::string functions_in(const Page& page, std::string text) {
    std::string found;
    std::vector<NameId> taken;
    for (bool more = true; more;) {
        more = false;
        for (const Declaration& other : page.program.declarations) {
            const bool seen = std::find(taken.begin(), taken.end(), other.name) != taken.end();
            if (other.kind != DeclarationKind::function || seen ||
                other.module != page.declaration.module ||
                !has_word(text, page.program.name(other.name))) {
                continue;
            }
            taken.push_back(other.name);
            const std::string_view source = page.tree.source(other.node);
            found += fmt::format("{}{}\n", found.empty() ? "" : "\n", source);
            text += source;
            more = true;
        }
    }
    return found;
}

std::string level_words(const Page& page) {
    const std::string level = page.word_of(NodeKind::level);
    const bool fixed = page.word_of(NodeKind::waivable) == "no";
    std::string words = level == "error" ? "An **error**: nothing is written while it is broken."
                        : level == "caution"
                            ? "A **caution**: the firing is written, and this said."
                            : "An **advice**: the firing is written, and this said.";
    words += fixed ? " It can't be waived."
                   : fmt::format(" To waive it: `allow {} because \"…\"`.", page.name());
    return words;
}

std::string parameter_table(const Page& page) {
    std::string table = "| parameter | type | if left out |\n| --- | --- | --- |\n";
    for (const Parameter& parameter : page.program.parameters_of(page.declaration)) {
        const std::string_view type = page.tree.source(page.tree.child(parameter.node, 1));
        const std::string standard =
            parameter.default_value == none
                ? "must be given"
                : fmt::format("`{}`", page.tree.source(parameter.default_value));
        table += fmt::format("| `{}` | `{}` | {} |\n", page.program.name(parameter.name),
                             cell(type), cell(standard));
    }
    return table;
}

// "water_smoking(thickness, moisture = 1%)"
std::string call_of(const Page& page) {
    std::string parameters;
    for (const Parameter& parameter : page.program.parameters_of(page.declaration)) {
        parameters +=
            fmt::format("{}{}", parameters.empty() ? "" : ", ", page.program.name(parameter.name));
        if (parameter.default_value != none)
            parameters += fmt::format(" = {}", page.tree.source(parameter.default_value));
    }
    return fmt::format("{}({})", page.name(), parameters);
}

} // namespace

std::string rule_page(const Program& program, DeclarationId rule) {
    const Page page(program, rule);
    const std::string lines = deciding_lines(page);
    const std::string functions = functions_in(page, lines);
    std::string text = fmt::format("# {}\n\n`{}` of `{}`. {}\n\n", page.title(), page.name(),
                                   page.module.name, level_words(page));
    text += section("Why", page.text_of(NodeKind::because));
    text += section("What to do", page.text_of(NodeKind::remedy));
    text += section("More", page.text_of(NodeKind::about));
    text += fmt::format("## The rule\n\n```\n{}```\n\n", lines);
    if (!functions.empty())
        text += fmt::format("with\n\n```\n{}```\n\n", functions);
    text += section("Source", page.text_of(NodeKind::source));
    return text + "[All rules](README.md)\n";
}

std::string rule_index(const Program& program, std::span<const DeclarationId> rules) {
    std::string table = "| rule | | level |\n| --- | --- | --- |\n";
    for (const DeclarationId id : rules) {
        const Page page(program, id);
        table += fmt::format("| [`{0}`]({0}.md) | {1} | {2} |\n", page.name(), cell(page.title()),
                             page.word_of(NodeKind::level));
    }
    return table;
}

std::string template_page(const Program& program, DeclarationId template_,
                          const TemplateSample& sample) {
    const Page page(program, template_);
    std::string text =
        fmt::format("# {}\n\n`{}` of `{}`.\n\n", page.title(), page.name(), page.module.name);
    if (const std::string about = page.text_of(NodeKind::about); !about.empty())
        text += about + "\n\n";
    text += "## Parameters\n\n" + parameter_table(page) + "\n";
    std::string refused;
    for (std::uint32_t i = 0; i < page.tree.count(page.block); ++i) {
        const NodeId statement = page.tree.child(page.block, i);
        if (!page.tree.is(statement, NodeKind::require))
            continue;
        refused += fmt::format("- `{}`: {}\n", page.tree.source(page.tree.child(statement, 0)),
                               page.text(page.tree.child(statement, 1)));
    }
    if (!refused.empty())
        text += "## What it asks for\n\n" + refused + "\n";
    if (!sample.shown.empty()) {
        text += fmt::format("## A sample\n\n`{}`\n\n```\n{}```\n\n", sample.firing, sample.shown);
    }
    return text + "[All templates](README.md)\n";
}

std::string template_index(const Program& program, std::span<const DeclarationId> templates) {
    std::string table = "| template | |\n| --- | --- |\n";
    for (const DeclarationId id : templates) {
        const Page page(program, id);
        table += fmt::format("| [`{0}`]({0}.md) | {1} |\n", page.name(), cell(page.title()));
    }
    return table;
}

std::string profile_table(const Program& program, ModuleId module, ProfileKind kind,
                          std::span<const std::string_view> fields) {
    std::string table = "| name | |";
    std::string line = "| --- | --- |";
    for (const std::string_view field : fields) {
        table += fmt::format(" {} |", field);
        line += " --- |";
    }
    table += fmt::format("\n{}\n", line);
    for (const Profile& profile : program.profiles) {
        const Declaration& declaration = program.declarations[profile.declaration];
        if (profile.kind != kind || declaration.module != module || !declaration.usable)
            continue;
        table += fmt::format("| `{}` | {} |", program.name(declaration.name), cell(profile.title));
        for (const std::string_view name : fields) {
            const auto index = static_cast<std::size_t>(field::at(holder_of(kind), name));
            const Value& value = profile.fields[index];
            const TypeId type = field_type(fields_of(holder_of(kind))[index], *program.types);
            table +=
                fmt::format(" {} |", value.known() ? cell(print_value(program, value, type)) : "");
        }
        table += '\n';
    }
    return table;
}

std::string call_list(const Program& program, ModuleId module, DeclarationKind kind) {
    std::string list;
    for (DeclarationId id = 0; id < program.declarations.size(); ++id) {
        const Declaration& declaration = program.declarations[id];
        if (declaration.kind != kind || declaration.module != module || declaration.is_private)
            continue;
        const Page page(program, id);
        list += fmt::format("**`{}`**", call_of(page));
        if (const std::string title = page.title(); !title.empty())
            list += fmt::format(" {}.", title);
        list += '\n';
        if (const std::string about = page.text_of(NodeKind::about); !about.empty())
            list += about + "\n";
        list += '\n';
    }
    return list;
}

} // namespace fettle
