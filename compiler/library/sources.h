// Where versions of a library can be had: a folder it is worked on in, archives in a folder or one
// archive, a git repository whose tags name versions ("0.3.1" or "v0.3.1").
#pragma once

#include "compiler/library/cache.h"
#include "compiler/library/library.h"

#include <map>
#include <memory>

namespace fettle {

// One version that is on offer.
struct Offer {
    Version version;
    LockedSource source; // `place` as from the folder of the library that is resolved
    // Known for a folder or archive at once, of a repository when it is fetched.
    std::optional<Library> library;
    std::string shelf; // of an archive: the folder it lies in
};

// Nothing: `problem` says why nothing is to be had there at all.
using Offers = std::vector<Offer>; // the newest first

class Places {
  public:
    // `root`: the folder of the library that is resolved, with '/' at its end, or "".
    Places(std::string root, const Cache& cache) : root_(std::move(root)), cache_(cache) {}

    // What `from` of a `needs` line means, seen from the folder `base` (as from `root`): asks the
    // disk or the repository the first time.
    Offers* offers(const std::string& base, const std::string& from, const std::string& name,
                   std::string& problem);
    // Archives of `name` beside the one that asks.
    Offers* offers_on_shelf(const std::string& shelf, const std::string& name,
                            std::string& problem);
    // Reads or fetches what an offer has not got yet.
    bool load(Offer& offer, const std::string& name, std::string& problem);

  private:
    std::optional<Offers> look(const std::string& place, const std::string& name,
                               std::string& problem) const;
    std::optional<Offers> look_on_shelf(const std::string& place, const std::string& name,
                                        std::string& problem) const;

    std::string root_;
    const Cache& cache_;
    std::map<std::string, std::unique_ptr<Offers>> known_;
};

// The version in "tidewater.glazes-0.3.1.tar".
std::optional<Version> version_in_archive_name(std::string_view file, std::string_view name);

// "git:https://…", or something that ends in ".git".
std::optional<std::string> git_address(std::string_view from);
// May stand in a published library: an address that means the same everywhere.
bool is_public_address(std::string_view from);

} // namespace fettle
