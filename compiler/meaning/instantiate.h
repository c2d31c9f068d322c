// Takes a checked firing, or a template with its arguments; gives a `Firing`.
#pragma once

#include "compiler/meaning/firing.h"

namespace fettle {

// The declaration must be a usable firing. `firing` is filled afresh; what it held before is lost.
// Trouble is reported and leaves `Firing::ok` false.
void instantiate(const Program& program, const Ceramics& ceramics, DeclarationId declaration,
                 Firing& firing, Diagnostics& diagnostics);

// A firing made in place in a test. `arguments` in the order of the parameters.
void instantiate_template(const Program& program, const Ceramics& ceramics, DeclarationId template_,
                          std::span<const Value> arguments, std::string_view name, Firing& firing,
                          Diagnostics& diagnostics);

} // namespace fettle
