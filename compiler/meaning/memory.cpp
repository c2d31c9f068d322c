#include "compiler/meaning/memory.h"

#include "compiler/meaning/controller.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

class Gathering {
  public:
    Gathering(Program& program, Diagnostics& diagnostics, DeclarationId id)
        : program_(program), diagnostics_(diagnostics), declaration_(program.declarations[id]),
          module_(program.modules[declaration_.module]) {
        memory_.declaration = id;
    }

    void gather() {
        const std::size_t errors = diagnostics_.count(Level::error);
        if (!find_controller())
            return;
        const NodeId block = module_.child(declaration_.node, 2);
        for (std::uint32_t i = 0; i < module_.tree.count(block); ++i) {
            const NodeId item = module_.child(block, i);
            if (module_.tree[item].kind == NodeKind::memory_slot)
                add(item);
        }
        std::stable_sort(memory_.stored.begin(), memory_.stored.end(),
                         [](const auto& a, const auto& b) { return a.number < b.number; });
        if (diagnostics_.count(Level::error) == errors)
            program_.memories.push_back(std::move(memory_));
    }

  private:
    bool find_controller() {
        const NodeId path = module_.child(declaration_.node, 1);
        memory_.kiln = program_.declarations[module_.info[path].index].profile;
        const Profile& kiln = program_.profiles[memory_.kiln];
        const Value& value =
            kiln.fields[static_cast<std::size_t>(field::at(Holder::kiln, "controller"))];
        const std::string_view name = program_.name(program_.declarations[kiln.declaration].name);
        if (!value.is(ValueKind::profile)) {
            diagnostics_
                .report(
                    DiagnosticKind::no_stored_programs, module_.span(path),
                    fmt::format("the kiln {} names no controller that could keep programs", name))
                .mend("name its controller in the kiln, as `controller loft_pad`");
            return false;
        }
        memory_.controller = value.index;
        const Profile& controller = program_.profiles[value.index];
        controller_name_ = program_.name(program_.declarations[controller.declaration].name);
        const auto can = abilities_of(program_, controller);
        if (!can) {
            diagnostics_
                .report(DiagnosticKind::no_stored_programs, module_.span(path),
                        fmt::format("the controller {} of the kiln {} does not say its "
                                    "`step_form`, so there is nothing to store in it",
                                    controller_name_, name))
                .mend("write what one of its steps is, as `step_form rate_target_soak`");
            return false;
        }
        memory_.programs = can->programs;
        return true;
    }

    void add(NodeId item) {
        const NodeId number = module_.child(item, 0), firing = module_.child(item, 1);
        const NodeInfo& named = module_.info[firing];
        if (named.kind != RefKind::declaration ||
            program_.declarations[named.index].kind != DeclarationKind::firing) {
            diagnostics_
                .report(DiagnosticKind::wrong_type, module_.span(firing),
                        "a memory holds firings that are declared, not one made in place")
                .mend("declare it as `firing NAME = …`, and write that name here");
            return;
        }
        const double value = module_.literals[module_.info[number].index].number;
        if (value < 1 || value != std::floor(value) || value > memory_.programs.value_or(9999)) {
            say_none(number, value);
            return;
        }
        const auto index = static_cast<std::uint32_t>(value);
        for (const StoredFiring& other : memory_.stored) {
            if (other.number != index)
                continue;
            diagnostics_
                .report(DiagnosticKind::program_twice, module_.span(number),
                        fmt::format("program {} is to hold two firings", index))
                .note(module_.span(other.node), "the first one is here")
                .mend("give one of them a number that is free");
            return;
        }
        memory_.stored.push_back({index, named.index, item});
    }

    void say_none(NodeId number, double value) {
        const bool counts = value >= 1 && value == std::floor(value) && memory_.programs;
        const std::string_view written = module_.tree.source(number);
        diagnostics_
            .report(DiagnosticKind::no_such_program, module_.span(number),
                    counts
                        ? fmt::format("there is no program {}: the controller {} keeps {}", written,
                                      controller_name_, *memory_.programs)
                        : fmt::format("there is no program {}: they are counted 1, 2, 3", written))
            .mend(memory_.programs ? fmt::format("write a number from 1 to {}", *memory_.programs)
                                   : std::string("write a whole number from 1"));
    }

    Program& program_;
    Diagnostics& diagnostics_;
    const Declaration& declaration_;
    const Module& module_;
    std::string_view controller_name_;
    Memory memory_;
};

} // namespace

void gather_memories(Program& program, Diagnostics& diagnostics) {
    for (DeclarationId id = 0; id < program.declarations.size(); ++id) {
        const Declaration& declaration = program.declarations[id];
        if (declaration.kind == DeclarationKind::memory && declaration.usable)
            Gathering(program, diagnostics, id).gather();
    }
}

} // namespace fettle
