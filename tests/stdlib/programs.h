// Helpers of these tests: programs of a folder, read from disk and compiled.
#pragma once

#include "compiler/compiler.h"

#include <functional>
#include <string>
#include <vector>

namespace fettle {

// Reads files below the root of the sources.
class SourceTree : public SourceProvider {
  public:
    std::optional<std::string> read(const std::string& path, std::string& problem) override;
};

// Files that can be checked as they lie in memory.
class OneText : public SourceProvider {
  public:
    explicit OneText(std::string text) : text_(std::move(text)) {}
    std::optional<std::string> read(const std::string& path, std::string& problem) override;

  private:
    std::string text_;
};

// Paths of the programs in a folder of tests/stdlib, sorted; at least one.
std::vector<std::string> programs_in(const std::string& folder);

// What stands after "# KEY: " in one of the first comment lines of a program; empty: nothing.
std::string mark_of(const std::string& path, const std::string& key);

// Compiles every firing of a program, broken or not.
void for_each_firing(const Compilation& compilation,
                     const std::function<void(const CompiledFiring&)>& use,
                     Diagnostics& diagnostics);

std::string rendered(const Compilation& compilation, const Diagnostics& diagnostics);

} // namespace fettle
