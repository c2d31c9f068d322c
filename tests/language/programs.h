// Small programs of the language with what the compiler says about them written inside:
//
//             ramp to 600 at 100C/h
//             # error[missing-unit] 17-19: 600 what? the target of `ramp` needs a unit
//             #   mend 17-19 `600C`: write `600C`
//             #   note 3:5-8: it is at 900C since here
//
// below the line that it is about: level, name, columns (first and last), message, notes and mends.
// What belongs to no line stands at the top. A line `#--- other.fettle` starts another file.
#pragma once

#include "compiler/compiler.h"

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct ProgramFile {
    std::string path;
    std::string text;
};

// The files of a program, the first is the one that is asked for.
std::vector<ProgramFile> split_files(std::string_view text, std::string_view first_path);
std::string join_files(const std::vector<ProgramFile>& files, std::string_view first_path);

class MemoryFiles : public SourceProvider {
  public:
    MemoryFiles() = default;
    explicit MemoryFiles(const std::vector<ProgramFile>& files);
    std::optional<std::string> read(const std::string& path, std::string& problem) override;

    std::map<std::string, std::string> texts;
    std::map<std::string, std::string> problems; // paths that can't be read, and why
};

// A program all the way: checked, its firings compiled, its tests run. The rules of the standard
// library are left out, so that a test says only what it is about.
struct Checked {
    explicit Checked(const std::vector<ProgramFile>& files, unsigned threads = 1);

    MemoryFiles files;
    Diagnostics diagnostics;
    std::unique_ptr<Compilation> compilation;
    // Of each firing that may be written, in the order of the file:
    std::vector<std::string> documents; // JSON
    std::vector<Schedule> schedules;
};

// One file.
Checked check_text(std::string text);
// What is said, a line each: "error[missing-unit]: 600 what? …"; notes and mends are left out.
std::string said(const Checked& checked);
// How the value of an expression prints, after declarations that it may use; or what is said.
std::string value_of(std::string_view expression, std::string_view declarations = "");

// The files with what is expected taken out and `checked`'s diagnostics written in.
std::vector<ProgramFile> annotated(const std::vector<ProgramFile>& files, const Checked& checked);

// The texts between ```fettle and ``` in a page, each with the heading line before it ("Wrong:").
struct Example {
    std::string heading;
    std::string text;
};
std::vector<Example> examples_of(std::string_view page);

std::string read_text(const std::string& path);

} // namespace fettle
