// Where libraries from archives and repositories are kept on this machine, each version once, under
// the SHA-256 of its contents. Several processes may use it at once: a version is written under
// another name and renamed when it is whole, under a lock that the system drops with the process.
// Nothing in it is trusted: what is read is compared with the hashes of a lock.
#pragma once

#include "compiler/library/contents.h"

namespace fettle {

class Cache {
  public:
    explicit Cache(std::string folder) : folder_(std::move(folder)) {}

    const std::string& folder() const { return folder_; }
    // With a '/' at the end, whether or not it is there.
    std::string folder_of(std::string_view digest) const;
    // Is it there and as it should be? The first file that is not goes into `problem`.
    bool holds(std::string_view digest, const std::vector<FileHash>& files,
               std::string& problem) const;
    // Puts it there, or in the place of one that was damaged.
    bool put(const Contents& contents, std::string& problem) const;

  private:
    std::string folder_;
};

} // namespace fettle
