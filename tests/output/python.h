// Runs the readers that are not ours: small Python programs beside these tests.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// A folder for one test, removed at its end.
class Folder {
  public:
    Folder();
    ~Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    const std::string& path() const { return path_; }
    std::string write(std::string_view name, const std::string& text) const;
    std::string read(std::string_view name) const;

  private:
    std::string path_;
};

// The exit status of tests/output/SCRIPT; -1 where it could not be run.
int run_python(std::string_view script, const std::vector<std::string>& arguments);

} // namespace fettle
