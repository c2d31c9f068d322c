// Tells whether two versions of a declaration mean the same: a print of everything in it that can
// have an effect, together with that of all that it uses, and another of its words alone.
#pragma once

#include "compiler/meaning/program.h"

#include <string>
#include <vector>

namespace fettle {

class Prints {
  public:
    explicit Prints(const Program& program);

    // SHA-256 of the declaration without its words (titles, notes, reasons), comments and layout,
    // and of all that it names, however deep; of firings and templates, of the rules that hold for
    // them, too.
    const std::string& meaning(DeclarationId id);
    // What the declaration names, itself left out; rather one too many than one too few.
    std::vector<DeclarationId> uses(DeclarationId id) const;
    // The words of the declaration itself.
    std::string words(DeclarationId id) const;

  private:
    void write(const Module& module, NodeId node, std::string& text) const;
    void find_uses(ModuleId module, NodeId node, std::vector<DeclarationId>& uses) const;
    DeclarationId visible(ModuleId module, std::string_view name) const;

    const Program& program_;
    std::vector<std::string> known_;
    std::vector<bool> open_; // being worked out: on a circle, which only wrong programs have
    std::vector<std::vector<DeclarationId>> rules_; // by module, its own
};

} // namespace fettle
