// The system's `git`, run without a shell, for libraries that are kept in repositories.
#pragma once

#include "compiler/library/contents.h"

namespace fettle {

struct GitTag {
    std::string name;   // "v0.3.1"
    std::string commit; // what it stands at
};

// The tags of a repository, wherever it is; asks it.
std::optional<std::vector<GitTag>> git_tags(const std::string& repository, std::string& problem);

// The contents at one tag; `store` is a folder of ours where it is fetched
// into; one process does so at a time.
std::optional<Contents> git_contents_at_tag(const std::string& repository, const GitTag& tag,
                                            const std::string& store, std::string& problem);

// The contents of the folder at hand, or one below it, as they were at a revision ("HEAD~1",
// "v1.0.0"). Nothing and no problem: this is no revision of a repository.
std::optional<Contents> git_contents_at(const std::string& folder, const std::string& revision,
                                        std::string& problem);

} // namespace fettle
