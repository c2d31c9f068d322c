// What has to be keyed again when a firing was edited after its program had been stored.
#pragma once

#include "compiler/target/steps.h"

#include <string>
#include <vector>

namespace fettle {

// A table of steps as it was, from the JSON of a firing.
struct EarlierTable {
    std::string firing, controller;
    double delay_s = 0;
    bool has_steps = false;
    Steps steps; // only what is keyed; its texts are empty
};
// `problem` says why it can't be used; empty: it can.
EarlierTable read_earlier(std::string_view json, std::string& problem);

struct KeyChanges {
    // All must be keyed afresh: no earlier table, or one that was keyed in another way. Says why.
    std::string all_because;
    bool delay = false; // is another one
    struct Program {
        std::vector<std::uint32_t> again; // steps of the new table, from 1
        std::uint32_t cleared = 0;        // steps at the end of the old one that are to go
    };
    std::vector<Program> programs; // one for each of the new table
    std::size_t dropped_programs = 0;

    bool none() const;
};

// Step by step, by their numbers: a step that was put in shifts all that follow.
KeyChanges key_changes(const EarlierTable& before, const Steps& now, double delay_s,
                       std::string_view controller);

} // namespace fettle
