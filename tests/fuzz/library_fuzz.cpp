// What comes from other people's disks: archives and locks. Whatever the bytes, what is taken from
// them lies below a folder, has distinct names on any disk, and is within bounds; and what was
// written by us is read back as it was.
#include "compiler/library/contents.h"
#include "compiler/library/lock.h"
#include "compiler/library/tar.h"
#include "compiler/units/version.h"

#include <cstdlib>
#include <string>

using namespace fettle;

namespace {

void hold(bool condition) {
    if (!condition)
        std::abort();
}

void try_archive(const std::string& bytes, TarOf of) {
    std::string top;
    std::string problem;
    const std::optional<Contents> contents = read_tar(bytes, top, problem, of);
    hold(contents.has_value() || !problem.empty());
    if (!contents)
        return;
    std::string why;
    for (const ContentFile& file : *contents) {
        hold(is_safe_path(file.path, why));
        hold(file.path.find("..") == std::string::npos ||
             file.path.find("/../") == std::string::npos);
    }
    hold(are_distinct(*contents, why));
    const std::optional<Contents> again = read_tar(write_tar("top", *contents), top, problem);
    hold(again && again->size() == contents->size());
    for (std::size_t i = 0; i < again->size(); ++i)
        hold((*again)[i].path == (*contents)[i].path && (*again)[i].bytes == (*contents)[i].bytes);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string bytes(reinterpret_cast<const char*>(data), size);
    try_archive(bytes, TarOf::library);
    try_archive(bytes, TarOf::repository);
    std::string problem;
    if (const std::optional<Lock> lock = parse_lock(bytes, problem)) {
        const std::optional<Lock> again = parse_lock(print(*lock), problem);
        hold(again && again->libraries.size() == lock->libraries.size());
    }
    if (const auto version = parse_version(bytes)) {
        hold(to_string(*version) == bytes);
        hold(precedence(*version, *version) == std::strong_ordering::equal);
    }
    if (const auto needed = parse_needed_version(bytes))
        hold(satisfies(needed->least, *needed));
    return 0;
}
