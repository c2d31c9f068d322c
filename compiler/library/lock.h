// `library.lock`: which versions a library stands on, exactly, with the SHA-256 of every file. Text
// that is read, compared and kept with the library; written by resolving, never by hand.
#pragma once

#include "compiler/library/contents.h"

namespace fettle {

inline constexpr std::string_view lock_name = "library.lock";

enum class SourceKind : std::uint8_t { folder, archive, git };

// Where a version was taken from.
struct LockedSource {
    SourceKind kind = SourceKind::folder;
    // A folder or archive: its path from the folder of the lock, or an absolute one. Git: what
    // `git fetch` takes.
    std::string place;
    std::string tag;    // git
    std::string commit; // git
    bool operator==(const LockedSource&) const = default;
};

struct Wanted {
    std::string version; // as it is written: "0.3"
    std::string by;      // "harbour_row.common"; "tidewater.kilns 0.2.0"
    bool operator==(const Wanted&) const = default;
};

struct LockedLibrary {
    std::string name;
    std::string version;
    LockedSource source;
    std::vector<Wanted> wanted;
    std::string digest; // digest_of(files)
    std::vector<FileHash> files;
    bool operator==(const LockedLibrary&) const = default;
};

struct Lock {
    std::string standard;                 // version of `std`
    std::vector<LockedLibrary> libraries; // by name
    bool operator==(const Lock&) const = default;
};

const LockedLibrary* find_library(const Lock& lock, std::string_view name);

std::string print(const Lock& lock);
// Nothing: `problem` says what is wrong in which line.
std::optional<Lock> parse_lock(std::string_view text, std::string& problem);

} // namespace fettle
