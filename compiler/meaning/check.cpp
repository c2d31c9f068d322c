#include "compiler/meaning/check.h"

#include "compiler/meaning/checker.h"
#include "compiler/meaning/evaluate.h"
#include "compiler/meaning/memory.h"

namespace fettle {

std::unique_ptr<Program> check_program(const std::vector<std::string>& paths,
                                       const std::vector<std::string_view>& always,
                                       const ModuleSources& from, const Ceramics& ceramics,
                                       Diagnostics& diagnostics) {
    auto program = std::make_unique<Program>(from.sources);
    load_modules(*program, paths, always, from, diagnostics);
    Checker checker(*program, ceramics.chemistry(), diagnostics);
    checker.collect();
    checker.set_aside_what_did_not_parse();
    checker.check_declarations();
    const std::vector<DeclarationId> order = checker.in_order_of_dependence();
    evaluate_declarations(*program, order, ceramics, diagnostics);
    // What needs a constant or profile that failed can't be used either.
    for (DeclarationId id : order) {
        for (DeclarationId needed : checker.needs(id)) {
            if (!program->declarations[needed].usable)
                program->declarations[id].usable = false;
        }
    }
    gather_memories(*program, diagnostics);
    return program;
}

} // namespace fettle
