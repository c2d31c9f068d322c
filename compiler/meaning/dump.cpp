#include "compiler/meaning/dump.h"

#include "compiler/meaning/evaluate.h"
#include "compiler/meaning/prices.h"

#include <fmt/format.h>

namespace fettle {
namespace {

class Dumping {
  public:
    explicit Dumping(const Program& program) : program_(program) {}

    std::string all() {
        for (ModuleId id = 0; id < program_.modules.size(); ++id) {
            const Module& module = program_.modules[id];
            if (module.standard)
                continue;
            out_ += fmt::format("module {} ({})\n", module.name,
                                (*program_.sources)[module.file].path());
            for (const Import& import : module.imports) {
                if (import.module != none)
                    out_ += fmt::format("  use {}\n", program_.modules[import.module].name);
            }
            for (const Declaration& declaration : program_.declarations) {
                if (declaration.module == id)
                    add(declaration);
            }
        }
        return std::move(out_);
    }

  private:
    std::string type(TypeId id) const { return program_.types->describe(id); }
    std::string value(const Value& given, TypeId id = Types::poison) const {
        return print_value(program_, given, id);
    }

    void add(const Declaration& declaration) {
        out_ += fmt::format("  {}{}{}", declaration.is_private ? "private " : "",
                            to_string(declaration.kind), declaration.usable ? "" : " (unusable)");
        if (declaration.name != 0)
            out_ += fmt::format(" {}", program_.name(declaration.name));
        add_parameters(declaration);
        if (declaration.kind == DeclarationKind::function)
            out_ += fmt::format(" -> {}", type(declaration.type));
        if (declaration.kind == DeclarationKind::constant && declaration.usable) {
            out_ += fmt::format(": {} = {}", type(declaration.type),
                                value(declaration.value, declaration.type));
        }
        out_ += '\n';
        if (declaration.profile != none)
            add_profile(program_.profiles[declaration.profile]);
    }

    void add_parameters(const Declaration& declaration) {
        if (declaration.parameter_count == 0)
            return;
        std::string_view between = "(";
        for (const Parameter& parameter : program_.parameters_of(declaration)) {
            out_ += fmt::format("{}{}: {}", between, program_.name(parameter.name),
                                type(parameter.type));
            if (parameter.default_value != none) {
                out_ += fmt::format(" = {}", program_.modules[declaration.module].tree.source(
                                                 parameter.default_value));
            }
            between = ", ";
        }
        out_ += ')';
    }

    void add_profile(const Profile& profile) {
        out_ += fmt::format("    {}\n", to_string(holder_of(profile.kind)));
        const std::span<const Field> fields = fields_of(holder_of(profile.kind));
        for (std::size_t i = 0; i < profile.fields.size() && i < fields.size(); ++i) {
            if (profile.fields[i].known() && fields[i].shape != FieldShape::unity)
                out_ +=
                    fmt::format("    {} {}\n", fields[i].name,
                                value(profile.fields[i], field_type(fields[i], *program_.types)));
        }
        static constexpr std::string_view limits[] = {"rise", "fall", "peak"};
        for (const ProfileLimit& limit : profile.limits) {
            out_ += fmt::format(
                "    limit {} {}", limits[static_cast<std::size_t>(limit.kind)],
                value(limit.value, limit.kind == LimitKind::peak ? Types::target : Types::rate));
            if (limit.low.known()) {
                out_ += fmt::format(" between {} and {}", value(limit.low, Types::temperature),
                                    value(limit.high, Types::temperature));
            }
            out_ += '\n';
        }
        for (const ProfileLining& lining : profile.lining) {
            out_ += fmt::format("    lining {}mm of {}\n", lining.thickness_m * 1000,
                                profile_name(lining.insulation));
        }
        for (const ProfileShelf& shelf : profile.shelves) {
            out_ +=
                fmt::format("    shelf {} {}dC\n", program_.name(shelf.name), shelf.difference_k);
        }
        for (const ProfileControl& control : profile.controls) {
            out_ += fmt::format("    control {}: {}\n", program_.name(control.name),
                                type(control.type));
        }
        for (const ProfilePrice& price : profile.prices) {
            out_ += fmt::format("    price {}", value(price.price, Types::price));
            if (price.from.known()) {
                out_ += fmt::format(" between {} and {}", value(price.from, Types::clock),
                                    value(price.to, Types::clock));
            }
            if (price.days != every_day)
                out_ += fmt::format(" on {}", print_days(price.days));
            out_ += '\n';
        }
        add_shares("analysis", profile.analysis);
        add_shares("recipe", profile.recipe);
        add_shares("add", profile.additions);
    }

    void add_shares(std::string_view word, const std::vector<ProfileShare>& shares) {
        for (const ProfileShare& share : shares) {
            out_ += fmt::format("    {} {} {}\n", word,
                                share.material != none ? profile_name(share.material)
                                                       : program_.name(share.name),
                                share.amount);
        }
    }

    std::string_view profile_name(std::uint32_t profile) const {
        if (profile == none)
            return "?";
        return program_.name(program_.declarations[program_.profiles[profile].declaration].name);
    }

    const Program& program_;
    std::string out_;
};

} // namespace

std::string dump(const Program& program) {
    return Dumping(program).all();
}

} // namespace fettle
