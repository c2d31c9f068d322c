// The part of `fettle glaze` that works backwards: --make, --from, --replace, --by.
#pragma once

#include "compiler/cli/arguments.h"
#include "compiler/cli/reading.h"

#include <string>

namespace fettle {

struct BackwardsArguments {
    std::string make;    // a unity formula
    std::string from;    // materials, with commas
    std::string replace; // one material of the glaze's recipe
    std::string by;      // materials to take in its place
};
void declare(Arguments& arguments, BackwardsArguments& backwards);
bool asked_backwards(const BackwardsArguments& backwards);

// Prints the recipe, as Fettle that can be pasted into a file, and what is left over. `form` is
// text or json. Says what is wrong with the arguments.
ExitCode work_backwards(const Reading& reading, const BackwardsArguments& backwards,
                        const std::string& form);

} // namespace fettle
