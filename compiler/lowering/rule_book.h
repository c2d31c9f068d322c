// Which rules are in force for a firing, and where their parts stand. Worked out once for a
// program.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/meaning/firing.h"

#include <map>
#include <utility>
#include <vector>

namespace fettle {

// A `let` of a rule.
struct PreparedLet {
    std::uint32_t slot = 0; // of the frame
    NodeId value = none;
    // Rules of one module that say the same thing have it worked out once for a firing: an index
    // below RuleBook::shared_lets; `none`: it needs another `let`, and stands alone.
    std::uint32_t shared = none;
};

// A declared rule; a part that it does not have is `none`.
struct PreparedRule {
    DeclarationId declaration = none;
    CheckLevel level = CheckLevel::caution;
    NodeId applies = none, check = none, because = none, remedy = none, source = none,
           waivable = none, title = none;
    std::vector<PreparedLet> lets;
};

class RuleBook {
  public:
    explicit RuleBook(const Program& program);

    // Those of the standard library, of the firing's file, of its template's file, and of the
    // modules that these two use.
    const std::vector<PreparedRule>& rules_for(const Firing& firing) const;
    std::size_t shared_lets() const { return shared_lets_.size(); }

  private:
    using Modules = std::pair<ModuleId, ModuleId>; // of the firing, of its template; `none`: none
    std::vector<PreparedRule> rules_of(Modules modules) const;
    PreparedRule prepare(DeclarationId id);
    PreparedLet prepare_let(ModuleId id, NodeId let);

    const Program& program_;
    std::vector<std::vector<DeclarationId>> by_module_;
    std::vector<PreparedRule> prepared_; // by DeclarationId of a rule, through index_
    std::map<DeclarationId, std::size_t> index_;
    std::map<Modules, std::vector<PreparedRule>> in_force_;
    std::map<std::pair<ModuleId, std::string_view>, std::uint32_t> shared_lets_; // by their words
};

} // namespace fettle
