#include "compiler/cli/zone_files.h"

#include "compiler/cli/disk.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

namespace fettle {
namespace {

// "Europe/London", "Etc/GMT+3": never a way out of the folder.
bool is_zone_name(std::string_view name) {
    const auto allowed = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
               c == '/' || c == '_' || c == '-' || c == '+';
    };
    return !name.empty() && name.size() < 100 && name.front() != '/' && name.back() != '/' &&
           std::all_of(name.begin(), name.end(), allowed);
}

} // namespace

std::optional<Zone> find_zone(const std::string& name, std::string& problem) {
    const char* const given = std::getenv("TZDIR");
    const std::string folder = given != nullptr && *given != '\0' ? given : "/usr/share/zoneinfo";
    if (!is_folder(folder)) {
        problem = fmt::format("the time zones of the system are not in {}; install the package "
                              "tzdata, or plan without a zone",
                              visible(folder));
        return std::nullopt;
    }
    std::string why;
    DiskFiles files;
    const std::string path = folder + "/" + name;
    const auto bytes =
        is_zone_name(name) && !is_folder(path) ? files.read(path, why) : std::nullopt;
    if (!bytes) {
        problem = fmt::format("there is no time zone `{}`; write one such as Europe/London or "
                              "America/New_York",
                              visible(name));
        return std::nullopt;
    }
    auto zone = read_zone(*bytes, name);
    if (!zone)
        problem = fmt::format("{} is no time zone data, or it is damaged", visible(path));
    return zone;
}

} // namespace fettle
