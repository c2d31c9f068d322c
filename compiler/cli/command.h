// The commands of the program: one file each, one row each in the table of main.cpp.
#pragma once

#include "compiler/cli/arguments.h"
#include "compiler/cli/exit_code.h"

#include <functional>
#include <span>
#include <string_view>

namespace fettle {

struct Command {
    std::string_view name;
    std::string_view summary; // for the list of commands
    // Declares the arguments; gives what to run once they are read.
    std::function<ExitCode()> (*prepare)(Arguments& arguments);
};

std::span<const Command> all_commands();
const Command* find_command(std::string_view name); // nothing: there is none

std::function<ExitCode()> prepare_build(Arguments& arguments);
std::function<ExitCode()> prepare_calibrate(Arguments& arguments);
std::function<ExitCode()> prepare_check(Arguments& arguments);
std::function<ExitCode()> prepare_completion(Arguments& arguments);
std::function<ExitCode()> prepare_explain(Arguments& arguments);
std::function<ExitCode()> prepare_format(Arguments& arguments);
std::function<ExitCode()> prepare_judge(Arguments& arguments);
std::function<ExitCode()> prepare_library(Arguments& arguments);
std::function<ExitCode()> prepare_glaze(Arguments& arguments);
std::function<ExitCode()> prepare_new(Arguments& arguments);
std::function<ExitCode()> prepare_plan(Arguments& arguments);
std::function<ExitCode()> prepare_record(Arguments& arguments);
std::function<ExitCode()> prepare_show(Arguments& arguments);
std::function<ExitCode()> prepare_simulate(Arguments& arguments);
std::function<ExitCode()> prepare_test(Arguments& arguments);

} // namespace fettle
