// A place in a source text: file and byte offsets. Lines and columns are worked out only when a
// message is printed (SourceFile::place).
#pragma once

#include <cstdint>

namespace fettle {

using FileId = std::uint32_t;

// Half-open range of bytes [begin, end) of one file.
struct Span {
    FileId file = 0;
    std::uint32_t begin = 0;
    std::uint32_t end = 0;

    bool operator==(const Span&) const = default;
};

// The smallest span that covers both; both must be of one file.
constexpr Span cover(Span a, Span b) {
    return {a.file, a.begin < b.begin ? a.begin : b.begin, a.end > b.end ? a.end : b.end};
}

} // namespace fettle
