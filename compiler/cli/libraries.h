// What the parts of `fettle library` share.
#pragma once

#include "compiler/cli/exit_code.h"

#include <string>
#include <vector>

namespace fettle {

struct LibraryOptions {
    std::string action;
    std::vector<std::string> given;
    bool update = false;
    bool sources = false;
    bool quiet = false;
};

ExitCode resolve_libraries(const LibraryOptions& options);
ExitCode verify_libraries(const LibraryOptions& options);

// The folder where libraries from elsewhere are kept: $FETTLE_CACHE, or `fettle` in the place that
// the system has for such things.
std::string cache_folder();

// The folders of the libraries that were named ("" or with '/' at the end): each folder itself, or,
// where it is none, all libraries below it. With no word, the folder at hand. What is no library is
// said, and makes `code` worse.
std::vector<std::string> library_folders(const std::vector<std::string>& given, ExitCode& code);

// "studio/common", for messages; the folder at hand is ".".
std::string shown_folder(const std::string& folder);

} // namespace fettle
