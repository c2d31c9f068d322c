// Checks a schedule against the rules that apply to its firing, for each group of ware.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/meaning/firing.h"
#include "runtime/schedule/curve.h"

#include <vector>

namespace fettle {

// The rules in force for firings of each module: its own, those of the modules that it uses, and
// those of the standard library. Worked out once for a program.
class RuleBook {
  public:
    explicit RuleBook(const Program& program);
    // For a firing: the rules of its file and of the file of its template.
    std::vector<DeclarationId> rules_for(const Firing& firing) const;

  private:
    const Program& program_;
    std::vector<std::vector<DeclarationId>> by_module_;
};

// One check for each rule and group of ware. Broken and unknown ones are reported too, and so are
// waivers that nothing needs. Texts are kept in `kept`.
std::vector<Check> check_rules(const Program& program, const Ceramics& ceramics,
                               const RuleBook& book, const Firing& firing, const Schedule& schedule,
                               KeptTexts& kept, Diagnostics& diagnostics);

} // namespace fettle
