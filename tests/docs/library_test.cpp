// The pages of docs/ about the standard library are made from its source.
#include "compiler/compiler.h"
#include "compiler/output/reference.h"
#include "compiler/output/show.h"
#include "compiler/source/render.h"
#include "tests/docs/document.h"

#include <filesystem>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <map>
#include <set>

namespace fettle {
namespace {

// What a sample gives where there is no default; the first that holds wins.
struct Given {
    std::string_view template_, parameter, value; // empty: any
};
constexpr Given given[] = {
    {"glost_low", "body", "earthenware_white"},
    {"refire", "glaze", "any_mid"},
    {"glost_high", "body", "stoneware_high"},
    {"glost_reduction", "body", "stoneware_high"},
    {"glost_reduction", "kiln", "gas_studio"},
    {"crystalline", "body", "porcelain"},
    {"raku_bisque", "kiln", "electric_studio"},
    {"raku_glost", "kiln", "raku_gas"},
    {"specified_glost", "glaze", "clear"},
    {"", "body", "stoneware"},
    {"", "kiln", "electric_studio"},
    {"", "glaze", "any_mid"},
};

class Memory : public SourceProvider {
  public:
    std::optional<std::string> read(const std::string& path, std::string&) override {
        const auto found = files.find(path);
        return found == files.end() ? std::nullopt : std::optional(found->second);
    }
    std::map<std::string, std::string> files;
};

struct Compiled {
    explicit Compiled(const std::string& text) {
        memory.files["sample.fettle"] = text;
        compilation.emplace(std::vector<std::string>{"sample.fettle"}, memory, diagnostics);
    }
    std::string said() const { return render_text(compilation->sources(), diagnostics); }
    std::vector<DeclarationId> all(DeclarationKind kind, std::string_view module) const {
        std::vector<DeclarationId> found;
        const Program& program = compilation->program();
        for (DeclarationId id = 0; id < program.declarations.size(); ++id) {
            const Declaration& declaration = program.declarations[id];
            if (declaration.kind == kind && program.modules[declaration.module].name == module)
                found.push_back(id);
        }
        return found;
    }
    ModuleId module(std::string_view name) const {
        const Program& program = compilation->program();
        for (ModuleId id = 0; id < program.modules.size(); ++id) {
            if (program.modules[id].name == name)
                return id;
        }
        return none;
    }

    Memory memory;
    Diagnostics diagnostics;
    std::optional<Compilation> compilation;
};

std::string name_of(const Compiled& compiled, DeclarationId id) {
    const Program& program = compiled.compilation->program();
    return std::string(program.name(program.declarations[id].name));
}

std::string call_of(const Compiled& compiled, DeclarationId id) {
    const Program& program = compiled.compilation->program();
    const std::string name = name_of(compiled, id);
    std::string arguments;
    for (const Parameter& parameter : program.parameters_of(program.declarations[id])) {
        if (parameter.default_value != none)
            continue;
        const std::string_view wanted = program.name(parameter.name);
        for (const Given& row : given) {
            if (row.parameter != wanted || (!row.template_.empty() && row.template_ != name))
                continue;
            arguments += fmt::format("{}{}: {}", arguments.empty() ? "" : ", ", wanted, row.value);
            break;
        }
    }
    return fmt::format("{}({})", name, arguments);
}

// One firing of each template of a module, as `show` says it. `uses` ends in an open list of names.
void add_samples(const Compiled& library, std::string_view module, std::string uses,
                 std::string_view more, std::map<std::string, TemplateSample>& made) {
    std::string firings;
    for (const DeclarationId id : library.all(DeclarationKind::template_, module)) {
        const std::string name = name_of(library, id);
        made[name].firing = fmt::format("firing sample_{} = {}", name, call_of(library, id));
        uses += ", " + name;
        firings += made[name].firing + "\n";
    }
    Compiled compiled(fmt::format("{})\n{}\n{}", uses, more, firings));
    const Compilation& compilation = *compiled.compilation;
    compilation.compile_all(
        compilation.firings(), 1, compiled.diagnostics,
        [&](std::size_t, const CompiledFiring& firing) {
            if (firing.ok)
                made[std::string(firing.firing.name.substr(7))].shown = show(firing.document);
        },
        [](std::size_t, std::size_t) {});
    EXPECT_FALSE(compiled.diagnostics.has_errors()) << compiled.said();
}

std::map<std::string, TemplateSample> samples(const Compiled& library) {
    std::map<std::string, TemplateSample> made;
    add_samples(library, "std.templates",
                "use std.bodies (stoneware, stoneware_high, earthenware_white, porcelain)\n"
                "use std.kilns (electric_studio, gas_studio, raku_gas)\n"
                "use std.templates (any_mid",
                "", made);
    add_samples(library, "std.specifications",
                "use std.bodies (stoneware)\nuse std.kilns (electric_studio)\n"
                "use std.materials as m\nuse std.specifications (heal_time",
                "glaze clear { recipe { m.potash_feldspar 30; m.wollastonite 16; m.talc 6; "
                "m.colemanite 8; m.kaolin 14; m.quartz 26 }; fires cone 5 to cone 7; "
                "surface gloss }\n",
                made);
    return made;
}

// Pages of a folder that are about nothing any more.
void expect_no_other_pages(const std::string& folder, const std::set<std::string>& pages) {
    const std::filesystem::path path = std::string(FETTLE_SOURCE_DIR "/") + folder;
    for (const auto& entry : std::filesystem::directory_iterator(path)) {
        const std::string stem = entry.path().stem().string();
        EXPECT_TRUE(stem == "README" || pages.count(stem) != 0)
            << folder << "/" << stem << ".md is about nothing";
    }
}

std::string everything() {
    std::string text;
    for (const std::string& module : StandardLibrary::modules())
        text += fmt::format("use {}\n", module);
    return text;
}

TEST(Library, RulesHaveAPageEach) {
    const Compiled library(everything());
    const Program& program = library.compilation->program();
    auto rules = library.all(DeclarationKind::rule, "std.rules");
    for (const DeclarationId id : library.all(DeclarationKind::rule, "std.glaze_rules"))
        rules.push_back(id);
    ASSERT_FALSE(rules.empty());
    std::set<std::string> pages;
    for (const DeclarationId id : rules) {
        const std::string name = name_of(library, id);
        expect_file("docs/rules/" + name + ".md", rule_page(program, id));
        pages.insert(name);
    }
    expect_generated("docs/rules/README.md", "rules", rule_index(program, rules));
    expect_no_other_pages("docs/rules", pages);
}

TEST(Library, TemplatesHaveAPageEach) {
    const Compiled library(everything());
    const Program& program = library.compilation->program();
    auto templates = library.all(DeclarationKind::template_, "std.templates");
    for (const DeclarationId id : library.all(DeclarationKind::template_, "std.specifications"))
        templates.push_back(id);
    ASSERT_FALSE(templates.empty());
    const auto made = samples(library);
    std::set<std::string> pages;
    for (const DeclarationId id : templates) {
        const std::string name = name_of(library, id);
        EXPECT_FALSE(made.at(name).shown.empty()) << made.at(name).firing;
        expect_file("docs/templates/" + name + ".md", template_page(program, id, made.at(name)));
        pages.insert(name);
    }
    expect_generated("docs/templates/README.md", "templates", template_index(program, templates));
    expect_no_other_pages("docs/templates", pages);
}

struct Part {
    std::string_view name, module;
    ProfileKind kind;
    std::vector<std::string_view> fields;
};

TEST(Library, ProfilesAndPhasesAreListed) {
    const Compiled library(everything());
    const Program& program = library.compilation->program();
    const std::vector<Part> parts = {
        {"bodies",
         "std.bodies",
         ProfileKind::body,
         {"bisque", "matures", "thickness", "free_quartz", "organics"}},
        {"kilns", "std.kilns", ProfileKind::kiln, {"fuel", "volume", "power", "ceiling"}},
        {"insulations",
         "std.kilns",
         ProfileKind::insulation,
         {"conductivity", "density", "specific_heat"}},
        {"controllers",
         "std.controllers",
         ProfileKind::controller,
         {"step_form", "max_steps", "time_step", "cooling", "scale"}},
        {"materials", "std.materials", ProfileKind::material, {"formula", "loss"}},
    };
    for (const Part& part : parts) {
        expect_generated(
            "docs/library.md", part.name,
            profile_table(program, library.module(part.module), part.kind, part.fields));
    }
    expect_generated("docs/library.md", "phases",
                     call_list(program, library.module("std.phases"), DeclarationKind::phase));
}

} // namespace
} // namespace fettle
