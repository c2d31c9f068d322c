// What has to be true before a version is given to others.
#pragma once

#include "compiler/library/difference.h"

#include <optional>
#include <string>
#include <vector>

namespace fettle {

struct Publishing {
    std::vector<std::string> wrong;   // lines; empty: it may be published
    std::optional<Difference> change; // since the last version, where there is one
    std::size_t firings = 0, tests = 0;
};

// `last`: the version before, if any.
Publishing check_for_publishing(const LibraryVersion& version,
                                const std::optional<LibraryVersion>& last, const Cache& cache,
                                unsigned threads);

// The newest archive of that library in a folder, older than `version`; empty: there is none.
std::string last_archive(const std::string& folder, std::string_view name, const Version& version);

} // namespace fettle
