#include "compiler/cli/libraries.h"

#include "compiler/cli/disk.h"
#include "compiler/cli/terminal.h"
#include "compiler/library/files.h"
#include "compiler/meaning/manifest.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <thread>

namespace fettle {
namespace {

std::string variable(const char* name) {
    const char* const value = std::getenv(name); // NOLINT: before there are threads
    return value == nullptr ? "" : value;
}

} // namespace

unsigned threads_of(const LibraryOptions& options) {
    return options.threads != 0 ? options.threads
                                : std::max(1u, std::thread::hardware_concurrency());
}

std::string cache_folder() {
    if (std::string own = variable("FETTLE_CACHE"); !own.empty())
        return own;
    if (const std::string caches = variable("XDG_CACHE_HOME"); caches.starts_with('/'))
        return caches + "/fettle";
    if (const std::string home = variable("HOME"); !home.empty())
        return home + "/.cache/fettle";
    return "/tmp/fettle-cache";
}

std::vector<std::string> library_folders(const std::vector<std::string>& given, ExitCode& code) {
    std::vector<std::string> folders;
    for (const std::string& typed : given.empty() ? std::vector<std::string>{"."} : given) {
        const std::string folder = folder_from("", tidy_path(typed));
        if (is_there(folder + std::string(manifest_name))) {
            folders.push_back(folder);
            continue;
        }
        std::vector<std::string> problems;
        const std::size_t before = folders.size();
        for (const std::string& file : fettle_files_below(tidy_path(typed), problems)) {
            if (file.ends_with("/library.fettle"))
                folders.push_back(file.substr(0, file.size() - manifest_name.size()));
        }
        if (folders.size() > before)
            continue;
        say(fmt::format("error: there is no library in {}: a library is a folder with a file "
                        "`library.fettle`",
                        visible(typed)));
        code = worse(code, is_folder(tidy_path(typed)) ? ExitCode::errors : ExitCode::unreadable);
    }
    return folders;
}

std::string shown_folder(const std::string& folder) {
    return folder.empty() ? "." : visible(folder.substr(0, folder.size() - 1));
}

} // namespace fettle
