// A library as it lies somewhere: its manifest and its files.
#pragma once

#include "compiler/library/contents.h"
#include "compiler/library/lock.h"
#include "compiler/meaning/manifest.h"
#include "compiler/units/version.h"

namespace fettle {

struct Library {
    Manifest manifest;
    Version version;
    Contents contents;
};

// From its files. Nothing: `problem` says what the manifest lacks (a name, a version).
std::optional<Library> library_of(Contents contents, std::string& problem);
std::optional<Library> read_library_folder(const std::string& folder, std::string& problem);
// The file of a published version; the hashes in it are compared.
std::optional<Library> read_library_archive(const std::string& path, std::string& problem);

// What an archive carries besides the files of the library, made from them.
inline constexpr std::string_view hashes_name = "library.sha256"; // for `sha256sum --check`
inline constexpr std::string_view facts_name = "library.json";    // for other programs

// "tidewater.glazes-0.3.1"; with ".tar" the name of its file.
std::string archive_name(std::string_view name, const Version& version);
// The bytes of the published file.
std::string archive_of(const Library& library);

} // namespace fettle
