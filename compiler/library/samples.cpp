#include "compiler/library/samples.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace fettle {
namespace {

constexpr std::size_t most_samples = 60; // of one declaration
constexpr std::size_t most_profiles = 6; // of one kind

struct Values {
    std::string_view type;
    std::vector<std::string_view> values; // rising; the one in the middle is where others stay
};

// From thin to thick, cool to hot, slow to fast, as studios have them.
const std::vector<Values>& values_of_types() {
    static const std::vector<Values> table = {
        {"Temperature", {"600C", "800C", "950C", "1000C", "1060C", "1150C", "1220C", "1280C"}},
        {"Difference", {"1dC", "5dC", "20dC", "60dC", "150dC"}},
        {"Rate", {"20C/h", "60C/h", "100C/h", "150C/h", "300C/h"}},
        {"Duration", {"0min", "10min", "30min", "2h", "8h"}},
        {"Length", {"4mm", "6mm", "8mm", "10mm", "12mm", "18mm", "30mm", "45mm"}},
        {"Mass", {"1kg", "10kg", "40kg", "150kg"}},
        {"Volume", {"20L", "100L", "180L", "1000L"}},
        {"Power", {"2kW", "9kW", "30kW"}},
        {"Energy", {"10kWh", "60kWh"}},
        {"Pressure", {"1kPa", "5kPa", "20kPa"}},
        {"Price", {"0.10/kWh", "0.40/kWh"}},
        {"Fraction", {"0%", "0.5%", "1%", "3%", "8%"}},
        {"Number", {"1", "2", "3", "5"}},
        {"Cone",
         {"cone 018", "cone 08", "cone 06", "cone 04", "cone 01", "cone 4", "cone 6", "cone 8",
          "cone 10"}},
        {"Target", {"cone 06", "cone 6", "1000C", "1220C"}},
        {"Clock", {"07:00", "14:00", "22:30"}},
        {"YesNo", {"no", "yes"}},
        {"Text", {"\"as a sample\""}},
    };
    return table;
}

struct Profiles {
    ProfileKind kind;
    std::string_view type;
    std::vector<std::string_view> standard; // tried where the library has none of its own
    std::string_view module;
};
const std::array<Profiles, 7>& profile_types() {
    static const std::array<Profiles, 7> table = {{
        {ProfileKind::body,
         "Body",
         {"earthenware_red", "stoneware_mid", "stoneware_high", "porcelain"},
         "std.bodies"},
        {ProfileKind::kiln, "Kiln", {"electric_studio", "gas_studio"}, "std.kilns"},
        {ProfileKind::glaze, "Glaze", {}, ""},
        {ProfileKind::controller, "Controller", {}, ""},
        {ProfileKind::material, "Material", {}, ""},
        {ProfileKind::tariff, "Tariff", {}, ""},
        {ProfileKind::insulation, "Insulation", {}, ""},
    }};
    return table;
}

class Maker {
  public:
    Maker(const Program& program, std::span<const std::string> own)
        : program_(program), own_(own), uses_(program.modules.size()) {}

    void add(DeclarationId id) {
        const Declaration& declaration = program_.declarations[id];
        SampledDeclaration& sampled = samples_.declarations.emplace_back();
        sampled.name =
            fmt::format("{}.{}", own_[declaration.module], program_.name(declaration.name));
        std::vector<std::vector<std::string>> values; // by parameter
        std::vector<std::size_t> middle;
        std::vector<std::string> names;
        for (const Parameter& parameter : program_.parameters_of(declaration)) {
            std::vector<std::string> of_it = values_for(declaration, parameter);
            const bool has_default = parameter.default_value != none;
            if (of_it.empty() && !has_default) {
                sampled.untried =
                    fmt::format("there is nothing to try `{}` with", program_.name(parameter.name));
                return;
            }
            middle.push_back(of_it.size() / 2);
            if (has_default) { // an empty one stands for the default
                middle.back() = 0;
                of_it.insert(of_it.begin(), "");
            }
            values.push_back(std::move(of_it));
            names.emplace_back(program_.name(parameter.name));
        }
        for (const std::vector<std::size_t>& choice : choices(values, middle)) {
            std::string arguments;
            for (std::size_t i = 0; i < names.size(); ++i) {
                const std::string& value = values[i][choice[i]];
                if (!value.empty())
                    arguments +=
                        fmt::format("{}{}: {}", arguments.empty() ? "" : ", ", names[i], value);
            }
            write(declaration, arguments, sampled);
        }
    }

    Samples take() {
        std::string head;
        for (ModuleId id = 0; id < uses_.size(); ++id) {
            if (uses_[id])
                head +=
                    fmt::format("use {} as {}\n",
                                own_[id].empty() ? program_.modules[id].name : own_[id], alias(id));
        }
        samples_.source = head + body_;
        return std::move(samples_);
    }

  private:
    static std::string alias(ModuleId id) { return fmt::format("module_{}", id); }

    std::string used(ModuleId id, std::string_view name) {
        uses_[id] = true;
        return fmt::format("{}.{}", alias(id), name);
    }

    std::vector<std::string> values_for(const Declaration& declaration,
                                        const Parameter& parameter) {
        const Module& module = program_.modules[declaration.module];
        const NodeId type = module.child(parameter.node, 1);
        std::vector<std::string> found;
        if (module.tree.is(type, NodeKind::type_choice)) {
            for (std::uint32_t i = 0; i < module.tree.count(type); ++i)
                found.emplace_back(module.tree.source(module.child(type, i)));
            return found;
        }
        const std::string_view word = module.tree.source(type);
        for (const Values& values : values_of_types()) {
            if (values.type == word)
                return {values.values.begin(), values.values.end()};
        }
        for (const Profiles& profiles : profile_types()) {
            if (profiles.type == word)
                return profiles_for(profiles);
        }
        return found; // lists and ranges: their default alone
    }

    std::vector<std::string> profiles_for(const Profiles& profiles) {
        std::vector<std::string> found;
        for (const Profile& profile : program_.profiles) {
            const Declaration& declaration = program_.declarations[profile.declaration];
            if (profile.kind == profiles.kind && !own_[declaration.module].empty() &&
                !declaration.is_private && declaration.usable && found.size() < most_profiles)
                found.push_back(used(declaration.module, program_.name(declaration.name)));
        }
        for (ModuleId id = 0; found.empty() && id < program_.modules.size(); ++id) {
            if (program_.modules[id].name == profiles.module) {
                for (const std::string_view name : profiles.standard)
                    found.push_back(used(id, name));
            }
        }
        if (found.empty() && !profiles.standard.empty()) {
            for (const std::string_view name : profiles.standard)
                found.push_back(fmt::format("{}.{}", profiles.module.substr(4), name));
            const std::string line = fmt::format("use {}\n", profiles.module);
            if (body_.find(line) == std::string::npos)
                body_ = line + body_;
        }
        return found;
    }

    // For each sample, which value of each parameter.
    static std::vector<std::vector<std::size_t>>
    choices(const std::vector<std::vector<std::string>>& values,
            const std::vector<std::size_t>& middle) {
        std::vector<std::vector<std::size_t>> found = {middle};
        std::vector<std::size_t> low(middle.size());
        std::vector<std::size_t> high(middle.size());
        for (std::size_t i = 0; i < values.size(); ++i) {
            for (std::size_t k = 0; k < values[i].size(); ++k) {
                std::vector<std::size_t> choice = middle;
                choice[i] = k;
                if (k != middle[i] && found.size() < most_samples - 2)
                    found.push_back(std::move(choice));
            }
            low[i] = values[i].size() > 1 && values[i].front().empty() ? 1 : 0;
            high[i] = values[i].size() - 1;
        }
        if (values.size() > 1) {
            found.push_back(std::move(low));
            found.push_back(std::move(high));
        }
        return found;
    }

    void write(const Declaration& declaration, const std::string& arguments,
               SampledDeclaration& sampled) {
        const std::string call = fmt::format(
            "{}({})", used(declaration.module, program_.name(declaration.name)), arguments);
        const auto add = [&](const std::string& text, std::string_view more) {
            const std::string name = fmt::format("sample_{}", number_++);
            body_ += fmt::format("firing {} {}\n", name, text);
            sampled.samples.push_back({name, readable(arguments) + std::string(more)});
        };
        if (declaration.kind == DeclarationKind::template_) {
            add("= " + call, "");
            return;
        }
        // A phase starts where the firing then is: from cold, and from the top.
        add(fmt::format("{{ phase tried {{ follow {} }} }}", call), " from 20C");
        add(fmt::format("{{ start at 1220C; phase tried {{ follow {} }} }}", call), " from 1220C");
    }

    // Without the names of modules: "body: module_3.heron_grey" is "body: heron_grey".
    static std::string readable(std::string text) {
        for (std::size_t at = text.find("module_"); at != std::string::npos;
             at = text.find("module_", at))
            text.erase(at, text.find('.', at) + 1 - at);
        for (const std::string_view module : {"bodies.", "kilns."}) {
            for (std::size_t at = text.find(module); at != std::string::npos;
                 at = text.find(module))
                text.erase(at, module.size());
        }
        return text;
    }

    const Program& program_;
    std::span<const std::string> own_;
    std::vector<bool> uses_;
    std::string body_;
    Samples samples_;
    std::size_t number_ = 0;
};

} // namespace

std::vector<std::string> stated_samples() {
    std::vector<std::string> lines;
    for (const Values& values : values_of_types())
        lines.push_back(fmt::format("{}: {}", values.type, fmt::join(values.values, ", ")));
    for (const Profiles& profiles : profile_types()) {
        lines.push_back(fmt::format(
            "{}: the library's own{}", profiles.type,
            profiles.standard.empty()
                ? ""
                : fmt::format("; where it has none, {}", fmt::join(profiles.standard, ", "))));
    }
    return lines;
}

Samples make_samples(const Program& program, std::span<const std::string> own,
                     std::span<const DeclarationId> declarations) {
    Maker maker(program, own);
    for (const DeclarationId id : declarations)
        maker.add(id);
    return maker.take();
}

} // namespace fettle
