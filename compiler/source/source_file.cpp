#include "compiler/source/source_file.h"

#include <algorithm>
#include <cstring>

namespace fettle {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

constexpr std::uint32_t block_size = 4096;

std::vector<std::uint32_t> index_lines(std::string_view text) {
    std::vector<std::uint32_t> starts;
    starts.reserve(text.size() / 32 + 1);
    starts.push_back(0);
    const char* const begin = text.data();
    const char* const end = begin + text.size();
    const char* at = begin;
    while (at != end) {
        const void* found = std::memchr(at, '\n', static_cast<std::size_t>(end - at));
        if (found == nullptr) {
            break;
        }
        at = static_cast<const char*>(found) + 1;
        starts.push_back(static_cast<std::uint32_t>(at - begin));
    }
    return starts;
}

} // namespace

SourceFile::SourceFile(std::string path, std::string text)
    : path_(std::move(path)), text_(std::move(text)) {}

const std::vector<std::uint32_t>& SourceFile::line_starts() const {
    std::call_once(indexed_, [this] { line_starts_ = index_lines(text_); });
    return line_starts_;
}

SourceFile::Length SourceFile::length_of(std::string_view text) {
    Length length;
    for (const char each : text) {
        const auto byte = static_cast<unsigned char>(each);
        const std::uint32_t starts = (byte & 0xC0U) != 0x80U ? 1 : 0;
        length.characters += starts;
        length.utf16_units += starts + (byte >= 0xF0U ? 1 : 0);
    }
    return length;
}

SourceFile::Length SourceFile::length_from_start(std::uint32_t offset) const {
    std::call_once(measured_, [this] {
        Length sum;
        for (std::size_t at = 0; at <= text_.size(); at += block_size) {
            blocks_.push_back(sum);
            const Length more = length_of(std::string_view(text_).substr(at, block_size));
            sum = {sum.characters + more.characters, sum.utf16_units + more.utf16_units};
        }
    });
    const std::uint32_t block = offset / block_size;
    const std::uint32_t start = block * block_size;
    const Length rest = length_of(std::string_view(text_).substr(start, offset - start));
    return {blocks_[block].characters + rest.characters,
            blocks_[block].utf16_units + rest.utf16_units};
}

SourceFile::Length SourceFile::length_before(std::uint32_t offset) const {
    offset = std::min(offset, static_cast<std::uint32_t>(text_.size()));
    std::uint32_t start = line_start(line_of(offset));
    if (start == 0 && text_.starts_with(byte_order_mark)) {
        start = std::min(offset, static_cast<std::uint32_t>(byte_order_mark.size()));
    }
    if (offset - start <= 2 * block_size) {
        return length_of(std::string_view(text_).substr(start, offset - start));
    }
    const Length far = length_from_start(offset);
    const Length near = length_from_start(start);
    return {far.characters - near.characters, far.utf16_units - near.utf16_units};
}

std::uint32_t SourceFile::line_of(std::uint32_t offset) const {
    const auto& starts = line_starts();
    const auto after = std::upper_bound(starts.begin(), starts.end(), offset);
    return static_cast<std::uint32_t>(after - starts.begin());
}

Place SourceFile::place(std::uint32_t offset) const {
    return {line_of(offset), length_before(offset).characters + 1};
}

std::uint32_t SourceFile::utf16_column(std::uint32_t offset) const {
    return length_before(offset).utf16_units + 1;
}

std::uint32_t SourceFile::line_count() const {
    return static_cast<std::uint32_t>(line_starts().size());
}

std::uint32_t SourceFile::line_start(std::uint32_t number) const {
    const auto& starts = line_starts();
    if (number == 0) {
        return 0;
    }
    return number <= starts.size() ? starts[number - 1] : static_cast<std::uint32_t>(text_.size());
}

std::string_view SourceFile::line(std::uint32_t number) const {
    const std::uint32_t begin = line_start(number);
    std::string_view rest = std::string_view(text_).substr(begin, line_start(number + 1) - begin);
    if (rest.ends_with('\n')) {
        rest.remove_suffix(1);
    }
    if (rest.ends_with('\r')) {
        rest.remove_suffix(1);
    }
    return rest;
}

FileId Sources::add(std::string path, std::string text) {
    files_.emplace_back(std::move(path), std::move(text));
    return static_cast<FileId>(files_.size() - 1);
}

std::string_view Sources::text(Span span) const {
    if (span.file >= files_.size()) {
        return {};
    }
    const std::string_view whole = files_[span.file].text();
    const std::size_t begin = std::min<std::size_t>(span.begin, whole.size());
    const std::size_t end = std::clamp<std::size_t>(span.end, begin, whole.size());
    return whole.substr(begin, end - begin);
}

} // namespace fettle
