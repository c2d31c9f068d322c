#include "compiler/cli/glaze_backwards.h"

#include "compiler/chemistry/remake.h"
#include "compiler/cli/terminal.h"
#include "compiler/output/glaze_recipe.h"
#include "compiler/source/characters.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

std::vector<std::string_view> names_in(std::string_view list) {
    std::vector<std::string_view> names;
    while (!list.empty()) {
        const std::size_t comma = list.find(',');
        std::string_view name = list.substr(0, comma);
        list.remove_prefix(comma == std::string_view::npos ? list.size() : comma + 1);
        while (!name.empty() && name.front() == ' ')
            name.remove_prefix(1);
        while (!name.empty() && name.back() == ' ')
            name.remove_suffix(1);
        if (!name.empty())
            names.push_back(name);
    }
    return names;
}

class Backwards {
  public:
    Backwards(const Reading& reading, const BackwardsArguments& arguments)
        : program_(reading.compilation->program()),
          tables_(reading.compilation->context().ceramics.chemistry().tables()),
          arguments_(arguments), glazes_(reading.glazes), named_(!reading.inputs.named.empty()) {}

    ExitCode run(const std::string& form) {
        if (form != "text" && form != "json")
            return refuse("a recipe that is worked out is made as text or json");
        if (!choose_target() || !choose_materials())
            return ExitCode::usage;
        std::vector<const MaterialChemistry*> chemistry;
        for (std::uint32_t profile : materials_)
            chemistry.push_back(&program_.materials[program_.profiles[profile].chemistry]);
        RecipeReport report;
        report.remade = remake(tables_, target_, chemistry);
        report.tables = &tables_;
        report.name = glaze_ == nullptr ? "remade" : std::string(name_of(*glaze_)) + "_remade";
        report.fluxes_given = fluxes_given_;
        for (std::uint32_t profile : materials_)
            report.materials.emplace_back(name_of(program_.profiles[profile]));
        if (!report.remade.possible) {
            say("error: with these materials there is no recipe that has any of its fluxes");
            return ExitCode::errors;
        }
        std::string text;
        if (form == "json") {
            append_recipe_json(text, report);
        } else {
            text = recipe_text(report);
        }
        return print(text);
    }

  private:
    ExitCode refuse(std::string_view what) {
        say(fmt::format("error: {}", what));
        return ExitCode::usage;
    }

    std::string_view name_of(const Profile& profile) const {
        return program_.name(program_.declarations[profile.declaration].name);
    }

    bool choose_target() {
        if (!arguments_.make.empty()) {
            const auto read = read_unity(tables_, arguments_.make);
            if (const auto* problem = std::get_if<UnityTextProblem>(&read)) {
                refuse(fmt::format("--make: {}", visible(problem->message)));
                return false;
            }
            target_ = std::get<UnityText>(read).moles;
            fluxes_given_ = std::get<UnityText>(read).fluxes;
            if (!arguments_.replace.empty()) {
                refuse("--make and --replace don't go together: the one starts from a formula, the "
                       "other from a glaze");
                return false;
            }
            return true;
        }
        if (!named_ || glazes_.size() != 1) {
            refuse("name the one glaze to make again, as in FILE:NAME, or give a formula with "
                   "--make");
            return false;
        }
        glaze_ = &program_.profiles[program_.declarations[glazes_.front()].profile];
        target_ = program_.glazes[glaze_->chemistry].unity;
        return true;
    }

    bool choose_materials() {
        if (!arguments_.replace.empty())
            return replace_one();
        if (arguments_.from.empty()) {
            refuse("which materials? --from potash_feldspar,whiting,kaolin,quartz");
            return false;
        }
        return add_named(arguments_.from, "--from");
    }

    bool replace_one() {
        if (arguments_.by.empty()) {
            refuse("by what? --replace whiting --by wollastonite");
            return false;
        }
        bool found = false;
        for (const auto* list : {&glaze_->recipe, &glaze_->additions}) {
            for (const ProfileShare& share : *list) {
                if (name_of(program_.profiles[share.material]) == arguments_.replace) {
                    found = true;
                } else {
                    add(share.material);
                }
            }
        }
        if (!found) {
            refuse(fmt::format("{} has no `{}` in its recipe", name_of(*glaze_),
                               visible(arguments_.replace)));
            return false;
        }
        return add_named(arguments_.by, "--by");
    }

    void add(std::uint32_t profile) {
        if (std::find(materials_.begin(), materials_.end(), profile) == materials_.end())
            materials_.push_back(profile);
    }

    bool add_named(std::string_view list, std::string_view option) {
        for (std::string_view name : names_in(list)) {
            std::vector<std::string_view> known;
            std::uint32_t chosen = none;
            for (const Declaration& declaration : program_.declarations) {
                if (declaration.kind != DeclarationKind::profile || declaration.profile == none)
                    continue;
                const Profile& profile = program_.profiles[declaration.profile];
                if (profile.kind != ProfileKind::material || profile.chemistry == none)
                    continue;
                known.push_back(program_.name(declaration.name));
                // Those of the files themselves come first, and go before those that they use.
                if (known.back() == name && chosen == none)
                    chosen = declaration.profile;
            }
            if (chosen == none) {
                const auto near = nearest(std::string(name), known);
                refuse(fmt::format("{}: there is no material `{}` in the files or what they use{}",
                                   option, visible(name),
                                   near ? fmt::format("; did you mean `{}`?", *near) : ""));
                return false;
            }
            add(chosen);
        }
        return true;
    }

    const Program& program_;
    const ChemistryTables& tables_;
    const BackwardsArguments& arguments_;
    const std::vector<DeclarationId>& glazes_;
    bool named_;
    const Profile* glaze_ = nullptr;
    PerOxide target_{};
    double fluxes_given_ = 1;
    std::vector<std::uint32_t> materials_; // profiles
};

} // namespace

void declare(Arguments& arguments, BackwardsArguments& backwards) {
    arguments.value("--make", backwards.make, "UNITY",
                    "Work out a recipe for this unity formula, by --from");
    arguments.value("--from", backwards.from, "A,B,C",
                    "The materials to make it from, or to make FILE:NAME from again");
    arguments.value("--replace", backwards.replace, "A",
                    "Make FILE:NAME without this material, by others, to the same formula");
    arguments.value("--by", backwards.by, "B,C", "What to take in its place");
}

bool asked_backwards(const BackwardsArguments& backwards) {
    return !backwards.make.empty() || !backwards.from.empty() || !backwards.replace.empty() ||
           !backwards.by.empty();
}

ExitCode work_backwards(const Reading& reading, const BackwardsArguments& backwards,
                        const std::string& form) {
    return Backwards(reading, backwards).run(form);
}

} // namespace fettle
