#include "compiler/source/edits.h"

#include <algorithm>
#include <tuple>

namespace fettle {

namespace {

bool before(const Edit& a, const Edit& b) {
    return std::tuple(a.span.file, a.span.begin, a.span.end) <
           std::tuple(b.span.file, b.span.begin, b.span.end);
}

bool overlap(const Edit& a, const Edit& b) {
    if (a.span.file != b.span.file) {
        return false;
    }
    if (a.span == b.span) {
        return a.span.begin != a.span.end || a.replacement == b.replacement;
    }
    return a.span.begin < b.span.end && b.span.begin < a.span.end;
}

} // namespace

namespace {

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\n";
    const std::size_t first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos)
        return {};
    return text.substr(first, text.find_last_not_of(blanks) + 1 - first);
}

} // namespace

std::optional<std::string> apply_edits(std::string_view text, FileId file,
                                       std::span<const Edit> edits) {
    std::vector<Edit> own;
    std::copy_if(edits.begin(), edits.end(), std::back_inserter(own),
                 [&](const Edit& edit) { return edit.span.file == file; });
    std::stable_sort(own.begin(), own.end(), before);
    std::string result;
    std::size_t done = 0;
    for (const Edit& edit : own) {
        if (edit.span.begin < done || edit.span.end < edit.span.begin ||
            edit.span.end > text.size()) {
            return std::nullopt;
        }
        result += text.substr(done, edit.span.begin - done);
        result += edit.replacement;
        done = edit.span.end;
    }
    result += text.substr(done);
    return result;
}

std::vector<Edit> compatible_edits(std::span<const Diagnostic> diagnostics) {
    std::vector<Edit> taken;
    for (const Diagnostic& diagnostic : diagnostics) {
        const auto mend =
            std::find_if(diagnostic.mends.begin(), diagnostic.mends.end(),
                         [](const Mend& candidate) { return !candidate.edits.empty(); });
        if (mend == diagnostic.mends.end()) {
            continue;
        }
        const bool clashes =
            std::any_of(mend->edits.begin(), mend->edits.end(), [&](const Edit& edit) {
                return std::any_of(taken.begin(), taken.end(),
                                   [&](const Edit& other) { return overlap(edit, other); });
            });
        if (!clashes) {
            taken.insert(taken.end(), mend->edits.begin(), mend->edits.end());
        }
    }
    return taken;
}

std::optional<Span> line_with_only(const SourceFile& file, Span span, std::string_view word) {
    const std::string_view text = file.text();
    const std::uint32_t number = file.line_of(span.begin);
    if (number != file.line_of(span.end))
        return std::nullopt;
    const std::uint32_t start = file.line_start(number);
    std::string_view before = trimmed(text.substr(start, span.begin - start));
    if (before.substr(0, word.size()) == word)
        before.remove_prefix(word.size());
    std::size_t end = text.find('\n', span.end);
    end = end == std::string_view::npos ? text.size() : end + 1;
    const std::string_view after = trimmed(text.substr(span.end, end - span.end));
    if (!before.empty() || !(after.empty() || after.front() == '#'))
        return std::nullopt;
    return Span{span.file, start, static_cast<std::uint32_t>(end)};
}

std::optional<Span> entry_and_comma(const SourceFile& file, Span entry) {
    const std::string_view text = file.text();
    std::size_t after = text.find_first_not_of(" \t\r\n", entry.end);
    if (after != std::string_view::npos && text[after] == ',') {
        after = std::min(text.find_first_not_of(" \t", after + 1), text.size());
        return Span{entry.file, entry.begin, static_cast<std::uint32_t>(after)};
    }
    const std::size_t before = text.substr(0, entry.begin).find_last_not_of(" \t\r\n");
    if (before == std::string_view::npos || text[before] != ',')
        return std::nullopt;
    return Span{entry.file, static_cast<std::uint32_t>(before), entry.end};
}

} // namespace fettle
