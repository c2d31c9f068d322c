// What a command is to work on: FILE, FOLDER, FILE:NAME for one firing, `-` for standard input.
#pragma once

#include "compiler/cli/disk.h"
#include "compiler/source/diagnostic.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct Inputs {
    std::vector<std::string> paths; // of files, tidy, each once
    // The firings that were asked for by name, with the file they were asked of; empty: all.
    struct Named {
        std::string path;
        std::string name;
    };
    std::vector<Named> named;
    bool everything = false; // some file was asked for as a whole
};

// Finds the files; what is not there is reported. Standard input is read here, once.
Inputs find_inputs(const std::vector<std::string>& arguments, DiskFiles& files,
                   Diagnostics& diagnostics);

// "mugs.fettle", "mugs.fettle and 3 other files": for messages.
std::string describe(const Inputs& inputs);

} // namespace fettle
