#include "compiler/library/lock.h"

#include "compiler/units/version.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace fettle {
namespace {

constexpr std::string_view head = "fettle lock 1";
constexpr std::string_view remark =
    "# What this library stands on, exactly. Written by `fettle library resolve`; keep it with "
    "the\n# library, and change nothing in it by hand.\n";
constexpr std::array<std::string_view, 3> kind_words = {"folder", "archive", "git"};

bool is_sha256(std::string_view text) {
    return text.size() == 64 &&
           text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

std::string_view take_word(std::string_view& line) {
    while (!line.empty() && line.front() == ' ')
        line.remove_prefix(1);
    const std::size_t end = std::min(line.find(' '), line.size());
    const std::string_view word = line.substr(0, end);
    line.remove_prefix(end);
    while (!line.empty() && line.front() == ' ')
        line.remove_prefix(1);
    return word;
}

class LockReader {
  public:
    LockReader(std::string_view text, std::string& problem) : text_(text), problem_(problem) {}

    std::optional<Lock> read() {
        bool begun = false;
        while (!text_.empty()) {
            const std::size_t end = std::min(text_.find('\n'), text_.size());
            std::string_view line = text_.substr(0, end);
            text_.remove_prefix(std::min(end + 1, text_.size()));
            ++number_;
            if (line.ends_with('\r'))
                line.remove_suffix(1);
            if (line.empty() || line.front() == '#')
                continue;
            if (!begun && line != head)
                return fail(fmt::format("it does not begin with `{}`", head));
            if (begun && !take(line))
                return fail("this line does not belong there");
            begun = true;
        }
        if (!begun) {
            problem_ = "it is empty";
            return std::nullopt;
        }
        if (lock_.standard.empty()) {
            problem_ = "it does not say which `std` it stands on";
            return std::nullopt;
        }
        for (const LockedLibrary& library : lock_.libraries) {
            if (library.files.empty() || digest_of(library.files) != library.digest) {
                problem_ =
                    fmt::format("the list of files of `{}` does not fit its own sum", library.name);
                return std::nullopt;
            }
        }
        return std::move(lock_);
    }

  private:
    std::optional<Lock> fail(std::string_view what) {
        problem_ = fmt::format("line {}: {}", number_, what);
        return std::nullopt;
    }

    bool take(std::string_view line) {
        const std::string_view word = take_word(line);
        if (word == "library")
            return take_library(line);
        if (lock_.libraries.empty())
            return false;
        LockedLibrary& library = lock_.libraries.back();
        if (word == "from")
            return take_source(line, library.source);
        if (word == "tag" || word == "commit") {
            (word == "tag" ? library.source.tag : library.source.commit) = line;
            return library.source.kind == SourceKind::git;
        }
        if (word == "wanted") {
            const std::string_view version = take_word(line);
            const std::string_view by = take_word(line);
            library.wanted.push_back({std::string(version), std::string(line)});
            return by == "by" && !line.empty();
        }
        if (word == "contents") {
            library.digest = line;
            return is_sha256(line);
        }
        if (word != "file")
            return false;
        const std::string_view sha256 = take_word(line);
        std::string why;
        library.files.push_back({std::string(line), std::string(sha256)});
        return is_sha256(sha256) && is_safe_path(line, why);
    }

    bool take_library(std::string_view line) {
        const std::string_view name = take_word(line);
        if (name.empty() || !parse_version(line))
            return false;
        if (name == "std" && lock_.libraries.empty()) {
            lock_.standard = line;
            return true;
        }
        if (!lock_.libraries.empty() && !(lock_.libraries.back().name < name))
            return false;
        lock_.libraries.emplace_back();
        lock_.libraries.back().name = name;
        lock_.libraries.back().version = line;
        return true;
    }

    static bool take_source(std::string_view line, LockedSource& source) {
        const std::string_view word = take_word(line);
        const auto* const kind = std::find(kind_words.begin(), kind_words.end(), word);
        if (kind == kind_words.end() || line.empty())
            return false;
        source.kind = static_cast<SourceKind>(kind - kind_words.begin());
        source.place = line;
        return true;
    }

    std::string_view text_;
    std::string& problem_;
    Lock lock_;
    int number_ = 0;
};

} // namespace

const LockedLibrary* find_library(const Lock& lock, std::string_view name) {
    const auto found =
        std::find_if(lock.libraries.begin(), lock.libraries.end(),
                     [&](const LockedLibrary& library) { return library.name == name; });
    return found == lock.libraries.end() ? nullptr : &*found;
}

std::string print(const Lock& lock) {
    std::string text = fmt::format("{}{}\n\nlibrary std {}\n", remark, head, lock.standard);
    for (const LockedLibrary& library : lock.libraries) {
        text += fmt::format("\nlibrary {} {}\n", library.name, library.version);
        text += fmt::format("    from     {} {}\n",
                            kind_words[static_cast<std::size_t>(library.source.kind)],
                            library.source.place);
        if (library.source.kind == SourceKind::git) {
            text += fmt::format("    tag      {}\n    commit   {}\n", library.source.tag,
                                library.source.commit);
        }
        for (const Wanted& wanted : library.wanted)
            text += fmt::format("    wanted   {} by {}\n", wanted.version, wanted.by);
        text += fmt::format("    contents {}\n", library.digest);
        for (const FileHash& file : library.files)
            text += fmt::format("    file     {} {}\n", file.sha256, file.path);
    }
    return text;
}

std::optional<Lock> parse_lock(std::string_view text, std::string& problem) {
    return LockReader(text, problem).read();
}

} // namespace fettle
