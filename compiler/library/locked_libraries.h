// Gives the compiler the modules of libraries that are needed: from the folder, or the cache, that
// `library.lock` names, and nothing that differs from the hashes in it by a single byte.
#pragma once

#include "compiler/library/cache.h"
#include "compiler/library/lock.h"
#include "compiler/meaning/modules.h"

#include <map>
#include <span>

namespace fettle {

class LockedLibraries : public SourceProvider, public LibraryFinder {
  public:
    // `asked`: the files that are compiled. Libraries whose `library.fettle` is among them are a
    // workspace: they are taken as they lie there, and need no lock between them.
    LockedLibraries(SourceProvider& files, const Cache& cache, std::span<const std::string> asked);

    std::optional<std::string> read(const std::string& path, std::string& problem) override;
    std::optional<std::string> find(const std::string& root, const LibraryNeed& need,
                                    std::string& problem) override;
    // Of the library in the folder `root`, in the place of the file there.
    void give_lock(const std::string& root, Lock lock) { locks_[root] = std::move(lock); }
    // In the place of whatever is locked, the library of that name is the one in `folder` (with a
    // '/' at its end), as it lies there; for comparing versions.
    void replace(std::string name, std::string folder);

  private:
    struct Given {
        std::string real;  // where it lies; with '/' at its end
        std::string owner; // folder of the lock that it stands in
        std::map<std::string, std::string, std::less<>> hashes; // path → SHA-256
    };
    std::string owner_of(const std::string& root) const;
    const Lock* lock_of(const std::string& root, std::string& problem);
    std::optional<std::string> find_in_workspace(const LibraryNeed& need, std::string& problem);

    SourceProvider& files_;
    const Cache& cache_;
    std::vector<std::string> workspace_;                 // folders, with '/' at the end or ""
    std::map<std::string, std::string> workspace_names_; // library → folder; made when first asked
    bool workspace_read_ = false;
    std::map<std::string, std::string> replaced_;
    std::map<std::string, std::optional<Lock>> locks_; // folder → its lock
    std::map<std::string, std::string> lock_problems_;
    std::map<std::string, Given> given_; // folder as it is shown → where it is
};

} // namespace fettle
