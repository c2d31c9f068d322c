// The texts that a compilation reads. Takes bytes, gives `SourceFile`s; touches no disk itself.
#pragma once

#include "compiler/source/span.h"

#include <cstdint>
#include <deque>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// Line and column as people count them: both from 1, the column in characters (code points).
struct Place {
    std::uint32_t line = 1;
    std::uint32_t column = 1;
};

class SourceFile {
  public:
    SourceFile(std::string path, std::string text);

    // As it is shown in messages and outputs: relative, with forward slashes.
    const std::string& path() const { return path_; }
    // The whole text. A byte-order mark, if any, is part of it; the parser skips it.
    std::string_view text() const { return text_; }

    // Safe to call from several threads; the index of lines is made at the first call.
    Place place(std::uint32_t offset) const;
    // The column from 1 in UTF-16 code units, as editors and SARIF count.
    std::uint32_t utf16_column(std::uint32_t offset) const;
    std::uint32_t line_count() const;
    // The line, from 1, that holds `offset`.
    std::uint32_t line_of(std::uint32_t offset) const;
    // Line `number` (from 1) without its line end.
    std::string_view line(std::uint32_t number) const;
    // Offset of the first byte of line `number`.
    std::uint32_t line_start(std::uint32_t number) const;

  private:
    struct Length {
        std::uint32_t characters = 0;
        std::uint32_t utf16_units = 0;
    };
    static Length length_of(std::string_view text);
    const std::vector<std::uint32_t>& line_starts() const;
    // From the start of its line to `offset`.
    Length length_before(std::uint32_t offset) const;
    // From the start of the text to `offset`.
    Length length_from_start(std::uint32_t offset) const;

    std::string path_;
    std::string text_;
    mutable std::once_flag indexed_;
    mutable std::vector<std::uint32_t> line_starts_;
    // Of every block of 4 KiB, the length before it: places in a very long line stay quick.
    mutable std::once_flag measured_;
    mutable std::vector<Length> blocks_;
};

// All files of one compilation. References stay valid as more are added.
class Sources {
  public:
    FileId add(std::string path, std::string text);
    const SourceFile& operator[](FileId file) const { return files_[file]; }
    std::size_t size() const { return files_.size(); }
    std::string_view text(Span span) const;

  private:
    std::deque<SourceFile> files_;
};

// Where texts come from: the disk, memory in tests, the open files of an editor, a web page.
class SourceProvider {
  public:
    virtual ~SourceProvider() = default;
    // The text at `path`, or nothing where there is no such file. Any other trouble (a directory,
    // no permission, too large) is put into `problem` in plain words.
    virtual std::optional<std::string> read(const std::string& path, std::string& problem) = 0;
};

} // namespace fettle
