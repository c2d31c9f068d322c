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

} // namespace fettle
