#include "compiler/cli/compared.h"

#include "compiler/output/compare.h"
#include "compiler/source/characters.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace fettle {
namespace {

std::string_view name_of(const Program& program, const Profile& profile) {
    return program.name(program.declarations[profile.declaration].name);
}

// By name, in all modules that were read. `none`: there is no such controller, or there are
// several; said.
std::uint32_t find_controller(const Program& program, std::string_view name) {
    std::uint32_t found = none;
    std::vector<std::string_view> names;
    for (std::uint32_t i = 0; i < program.profiles.size(); ++i) {
        const Profile& profile = program.profiles[i];
        if (profile.kind != ProfileKind::controller)
            continue;
        names.push_back(name_of(program, profile));
        if (names.back() != name)
            continue;
        if (found != none) {
            say(fmt::format("error: there are several controllers `{}` in the files that belong "
                            "together; give one of them another name",
                            visible(name)));
            return none;
        }
        found = i;
    }
    if (found != none)
        return found;
    std::string text = fmt::format("error: there is no controller `{}` in the files that belong "
                                   "together",
                                   visible(name));
    if (const auto near = nearest(name, names)) {
        text += fmt::format("\n  did you mean `{}`?", *near);
    } else if (!names.empty() && names.size() <= 20) {
        text += fmt::format("\n  the controllers are: {}", fmt::join(names, ", "));
    } else if (names.empty()) {
        text += "\n  declare one, or take it from std.controllers with `use`";
    }
    say(text);
    return none;
}

bool is_named(const Compilation& compilation, DeclarationId firing, const Inputs::Named& named) {
    const Program& program = compilation.program();
    const Declaration& declaration = program.declarations[firing];
    const std::string& path =
        compilation.sources()[program.modules[declaration.module].file].path();
    return program.name(declaration.name) == named.name && path.starts_with(named.path);
}

// Firings come in the order of the files; two that were named, in that of the names.
void order_as_named(Reading& reading) {
    const auto& named = reading.inputs.named;
    if (named.size() == 2 && reading.firings.size() == 2 &&
        !is_named(*reading.compilation, reading.firings[0], named[0]) &&
        is_named(*reading.compilation, reading.firings[0], named[1])) {
        std::swap(reading.firings[0], reading.firings[1]);
    }
}

// What is wrong with both is said once.
void add_new(Diagnostics& into, Diagnostics&& from) {
    const std::size_t before = into.all().size();
    for (const Diagnostic& diagnostic : from.all()) {
        const auto end = into.all().begin() + static_cast<std::ptrdiff_t>(before);
        const bool known = std::any_of(into.all().begin(), end, [&](const Diagnostic& other) {
            return other.kind == diagnostic.kind && other.span == diagnostic.span &&
                   other.message == diagnostic.message;
        });
        if (!known)
            into.add(diagnostic);
    }
}

} // namespace

std::optional<std::vector<std::uint32_t>> find_controllers(const Compilation& compilation,
                                                           std::string_view names) {
    std::vector<std::uint32_t> found;
    while (!names.empty()) {
        const std::size_t end = std::min(names.find(','), names.size());
        const std::string_view name = names.substr(0, end);
        names.remove_prefix(std::min(end + 1, names.size()));
        if (found.size() == 2) {
            say("error: two controllers at most are held against each other, and more were named");
            return std::nullopt;
        }
        found.push_back(find_controller(compilation.program(), name));
        if (found.back() == none)
            return std::nullopt;
    }
    return found;
}

ExitCode show_compared(Reading& reading, const std::vector<std::uint32_t>& controllers,
                       const ReadingOptions& options, const ShowOptions& shown) {
    const bool of_controllers = controllers.size() == 2;
    const std::size_t wanted = of_controllers ? 1 : 2;
    if (reading.firings.size() != wanted) {
        say(fmt::format(
            "error: {} is compared, and {} named; write {}",
            of_controllers ? "one firing on two controllers" : "one firing with another",
            reading.firings.empty()       ? "no firing is"
            : reading.firings.size() == 1 ? "one firing is"
                                          : fmt::format("{} firings are", reading.firings.size()),
            of_controllers ? "FILE:NAME" : "FILE:NAME FILE:NAME"));
        return ExitCode::usage;
    }
    order_as_named(reading);
    std::array<CompiledFiring, 2> compiled;
    for (std::size_t i = 0; i < 2; ++i) {
        CompileContext context = reading.compilation->context();
        context.what_to_expect = true;
        if (!controllers.empty())
            context.controller = controllers[of_controllers ? i : 0];
        Diagnostics diagnostics;
        compile_firing(context, reading.firings[of_controllers ? 0 : i], compiled[i], diagnostics);
        add_new(reading.diagnostics, std::move(diagnostics));
        if (!compiled[i].fault.empty())
            found_fault(reading, compiled[i].firing.name, compiled[i].fault);
    }
    ExitCode printed = ExitCode::well;
    if (compiled[0].ok && compiled[1].ok) {
        const auto& both = of_controllers ? compare_controllers : compare_firings;
        printed = print(both(compiled[0].document, compiled[1].document, shown));
    }
    report(reading, options);
    return worse(printed, exit_code(reading));
}

} // namespace fettle
