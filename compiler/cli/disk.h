// The disk as a place where sources come from: paths as they are typed, bytes as they are.
#pragma once

#include "compiler/source/source_file.h"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// The name under which text from standard input is shown.
inline constexpr std::string_view standard_input = "<stdin>";

class DiskFiles : public SourceProvider {
  public:
    DiskFiles();
    // Regular files only: a folder, a pipe or a device is a problem, and never waited for. A file
    // that is too large for the language comes cut just past the limit, so that the parser says so.
    std::optional<std::string> read(const std::string& path, std::string& problem) override;

    // From now on `standard_input` is this text.
    void give_standard_input(std::string text) { standard_input_ = std::move(text); }

    // Every path that was asked for, found or not, in the order of the alphabet.
    std::vector<std::string> asked_for() const;

  private:
    std::map<std::string, int> asked_for_;
    std::size_t depth_ = 0; // how many folders lie above the one at hand
    std::optional<std::string> standard_input_;
};

// All that comes from standard input, up to just past the limit of a file; `problem` as above.
std::optional<std::string> read_standard_input(std::string& problem);

// The path as it is shown and as outputs carry it: relative to the folder at hand, without "./" and
// the like, with forward slashes.
std::string tidy_path(std::string_view path);

bool is_folder(const std::string& path);
bool is_there(const std::string& path); // anything of that name, a broken link too

// All `.fettle` files below a folder, in the order of their paths. Hidden folders and links to
// folders are passed over. What can't be listed goes into `problems`, a line each.
std::vector<std::string> fettle_files_below(const std::string& folder,
                                            std::vector<std::string>& problems);

} // namespace fettle
