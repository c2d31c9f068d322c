// What most commands begin with: reads the files that were named, checks them, picks the firings
// that were asked for, and says what is wrong.
#pragma once

#include "compiler/cli/arguments.h"
#include "compiler/cli/inputs.h"
#include "compiler/cli/report.h"
#include "compiler/compiler.h"

#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

namespace fettle {

// Arguments that these commands share.
struct ReadingOptions {
    std::vector<std::string> inputs;
    unsigned threads = 0; // 0: as many as there are cores
    bool quiet = false;   // says errors only
    bool verbose = false; // tells on stderr what is being done
    bool plain = false;   // no colours, even on a terminal
};
// `whole`: files and folders only, no single firings of theirs.
void declare(Arguments& arguments, ReadingOptions& options, std::string_view inputs_help,
             bool whole = false);

struct Reading {
    DiskFiles files;
    Inputs inputs;
    Diagnostics diagnostics;
    std::unique_ptr<Compilation> compilation;
    std::vector<DeclarationId> firings; // asked for and usable
    std::vector<DeclarationId> glazes;  // the same, where glazes are picked; with a recipe
    bool understood = true;             // false: something was named that is not there; it was said
    std::string fault;   // of Fettle itself: an output that is not what was asked for; empty: none
    std::string lacking; // what an output was asked for that a firing has not; empty: nothing
    std::unique_ptr<std::mutex> fault_lock = std::make_unique<std::mutex>();
};

// What FILE:NAME names.
enum class Picked : std::uint8_t { firings, glazes };
Reading read_program(const ReadingOptions& options, Picked picked = Picked::firings);

// Compiles `reading.firings`; what is wrong goes into `reading.diagnostics`. Shows the progress of
// long work on a terminal.
void compile_firings(Reading& reading, const ReadingOptions& options,
                     const std::function<void(std::size_t, const CompiledFiring&)>& use,
                     const std::function<void(std::size_t, std::size_t)>& deliver = {});

// For an output that differs from the firing. The first one is kept; from any thread.
void found_fault(Reading& reading, std::string_view firing, std::string_view what);
void say_fault(const Reading& reading); // on stderr, if there is one

// How many threads are worth their while for so many firings (or tests).
unsigned threads_for(const ReadingOptions& options, std::size_t firings);

// The diagnostics as text, as wide as that channel's terminal; only the errors with `quiet`.
std::string rendered_text(const Reading& reading, const ReadingOptions& options, Channel channel);
// The same on stderr, and the fault.
void report(const Reading& reading, const ReadingOptions& options);
// What the diagnostics come to; `errors` where something is lacking; `bug` where a fault was found;
// `usage` where a firing was named that is not there.
ExitCode exit_code(const Reading& reading);

} // namespace fettle
