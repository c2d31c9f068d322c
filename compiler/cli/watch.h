// `--watch`: does the work again whenever one of the files that it read changes.
#pragma once

#include "compiler/cli/arguments.h"
#include "compiler/cli/exit_code.h"

#include <functional>
#include <string>
#include <vector>

namespace fettle {

struct WatchOptions {
    bool on = false;
    unsigned runs = 0; // ends after so many; 0: goes on until Ctrl-C
};
void declare(Arguments& arguments, WatchOptions& options);

// `work` puts the paths that it read, or looked for in vain, into its argument. `inputs` are the
// arguments of the command: files and folders (in which files may come and go). Without `on`, the
// work is done once. Gives what the last run came to.
ExitCode watched(const WatchOptions& options, const std::vector<std::string>& inputs,
                 const std::function<ExitCode(std::vector<std::string>&)>& work);

} // namespace fettle
