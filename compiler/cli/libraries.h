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
    std::string form = "text"; // difference: or json
    std::string into;          // folder for files; empty: none
    std::string shelf;         // folder with archives, for what says nothing of its place
    std::string last;          // publish: the version before
    std::string key;           // publish: the secret key; verify: the public one
    std::string mine;          // difference: the library that it is asked for
    unsigned threads = 0;      // 0: as many as there are cores
};
unsigned threads_of(const LibraryOptions& options);

ExitCode resolve_libraries(const LibraryOptions& options);
ExitCode verify_libraries(const LibraryOptions& options);
ExitCode publish_libraries(const LibraryOptions& options);
ExitCode verify_archive(const std::string& path, const LibraryOptions& options);
ExitCode make_catalogues(const LibraryOptions& options);
ExitCode tell_difference(const LibraryOptions& options);

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
