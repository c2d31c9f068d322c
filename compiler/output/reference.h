// Pages about the rules, templates and other things of a library, in Markdown, made from its source
// so that they can't drift. Texts are given as they are written, with `{…}` for computed parts.
#pragma once

#include "compiler/meaning/program.h"

#include <span>
#include <string>
#include <string_view>

namespace fettle {

// One firing made from a template, and what `show` says about it.
struct TemplateSample {
    std::string firing; // "firing mugs = bisque(body: stoneware, kiln: electric_studio)"
    std::string shown;  // empty: the page has no sample
};

std::string rule_page(const Program& program, DeclarationId rule);
// A table of rules with links to their pages ("steam.md").
std::string rule_index(const Program& program, std::span<const DeclarationId> rules);

std::string template_page(const Program& program, DeclarationId template_,
                          const TemplateSample& sample);
std::string template_index(const Program& program, std::span<const DeclarationId> templates);

// The profiles of one kind in one module, as a table of the fields that are named.
std::string profile_table(const Program& program, ModuleId module, ProfileKind kind,
                          std::span<const std::string_view> fields);
// The phases (or functions) of one module: how each is called, its title, what it is about.
std::string call_list(const Program& program, ModuleId module, DeclarationKind kind);

} // namespace fettle
