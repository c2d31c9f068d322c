// The container of a published library: a plain tar file of the portable kind (POSIX.1-1988,
// "ustar"), which every `tar` opens. The same files give the same bytes on any machine: no times,
// no owners, no order of a disk in it. It is not compressed, since what packers make of the same
// bytes differs from one release of theirs to the next.
#pragma once

#include "compiler/library/contents.h"

namespace fettle {

inline constexpr std::uint64_t largest_archive = largest_library + (std::uint64_t{64} << 20U);

inline constexpr std::size_t longest_archive_top = 69; // "tidewater.glazes-0.3.1"

// All files below the folder `top`. Paths are safe.
std::string write_tar(std::string_view top, const Contents& contents);

// Files below the one folder `top` that everything lies in. Nothing: `problem` says what is wrong.
// Anything but plain files and folders, a path that is not safe, an entry cut short or a sum that
// does not fit is refused; nothing is ever written to the disk here.
// What `git archive` makes of a whole repository may hold anything: there, what can't belong to a
// library is passed over.
enum class TarOf : std::uint8_t { library, repository };
std::optional<Contents> read_tar(std::string_view bytes, std::string& top, std::string& problem,
                                 TarOf of = TarOf::library);

} // namespace fettle
