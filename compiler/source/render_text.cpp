#include "compiler/source/characters.h"
#include "compiler/source/edits.h"
#include "compiler/source/render.h"
#include "compiler/source/snippet.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <set>

namespace fettle {

namespace {

constexpr std::size_t longest_label = 56; // a longer note gets its own lines

Paint paint_of(Level level) {
    switch (level) {
    case Level::error: return Paint::error;
    case Level::caution: return Paint::caution;
    case Level::advice: return Paint::advice;
    }
    return Paint::error;
}

std::string one_line(std::string_view text) {
    std::string result = visible(text);
    std::replace(result.begin(), result.end(), '\n', ' ');
    return result;
}

// Text of several lines, the later ones below the first.
std::string hanging(std::string_view text, std::size_t indent) {
    std::string result;
    for (const char byte : visible(text)) {
        result += byte;
        if (byte == '\n') {
            result.append(indent, ' ');
        }
    }
    return result;
}

// Lines that an edit touches, and the edits of them.
struct Hunk {
    std::uint32_t first = 0;
    std::uint32_t last = 0;
    std::vector<Edit> edits;
};

std::vector<Hunk> hunks_of(const SourceFile& file, FileId id, const Mend& mend) {
    std::vector<Edit> edits;
    std::copy_if(mend.edits.begin(), mend.edits.end(), std::back_inserter(edits),
                 [&](const Edit& edit) { return edit.span.file == id; });
    std::stable_sort(edits.begin(), edits.end(), [](const Edit& a, const Edit& b) {
        return std::pair(a.span.begin, a.span.end) < std::pair(b.span.begin, b.span.end);
    });
    std::vector<Hunk> hunks;
    for (Edit& edit : edits) {
        const std::uint32_t first = file.line_of(edit.span.begin);
        const std::uint32_t last = file.line_of(edit.span.end);
        if (hunks.empty() || first > hunks.back().last + 1) {
            hunks.push_back({first, last, {}});
        }
        hunks.back().last = std::max(hunks.back().last, last);
        hunks.back().edits.push_back(std::move(edit));
    }
    return hunks;
}

class TextReport {
  public:
    TextReport(const Sources& sources, const TextOptions& options, std::string& out)
        : sources_(sources), options_(options), painter_(out, options.colour) {}

    void add(const Diagnostic& diagnostic);
    void close(std::string_view summary, bool errors, std::size_t shown, std::size_t total);

  private:
    bool known(FileId file) const { return file < sources_.size(); }
    SnippetFrame frame(std::uint32_t line_shift = 0) const {
        return {gutter_, options_.width, line_shift};
    }
    void choose_gutter(const Diagnostic& diagnostic);
    void add_place(Span span);
    // Whether a note is short and of the same file, so that it fits beside the source.
    bool is_beside(const Diagnostic& diagnostic, const Note& note) const;
    void add_source(const Diagnostic& diagnostic);
    void add_note(const Note& note);
    void add_mend(const Diagnostic& diagnostic, const Mend& mend);
    void add_hunk(const SourceFile& file, FileId id, const Hunk& hunk, std::int64_t& grown);

    const Sources& sources_;
    const TextOptions& options_;
    Painter painter_;
    std::size_t gutter_ = 2;
};

void TextReport::choose_gutter(const Diagnostic& diagnostic) {
    std::uint32_t largest = 1;
    const auto see = [&](Span span) {
        if (known(span.file)) {
            const std::uint32_t last = std::max(span.begin, span.end);
            largest = std::max(largest, sources_[span.file].line_of(last));
        }
    };
    if (diagnostic.has_span) {
        see(diagnostic.span);
    }
    for (const Note& note : diagnostic.notes) {
        if (note.has_span) {
            see(note.span);
        }
    }
    for (const Mend& mend : diagnostic.mends) {
        for (const Edit& edit : mend.edits) {
            see(edit.span);
        }
    }
    gutter_ = std::max<std::size_t>(2, fmt::formatted_size("{}", largest));
}

void TextReport::add_place(Span span) {
    const SourceFile& file = sources_[span.file];
    const Place place = file.place(span.begin);
    painter_.fill(gutter_, ' ')
        .put("-->", Paint::frame)
        .put(fmt::format(" {}:{}:{}", one_line(file.path()), place.line, place.column))
        .line();
}

bool TextReport::is_beside(const Diagnostic& diagnostic, const Note& note) const {
    return diagnostic.has_span && note.has_span && note.span.file == diagnostic.span.file &&
           display_width(note.text) <= longest_label && note.text.find('\n') == std::string::npos;
}

void TextReport::add_source(const Diagnostic& diagnostic) {
    std::vector<Mark> marks = {
        {diagnostic.span.begin, diagnostic.span.end, '^', paint_of(diagnostic.level), {}}};
    for (const Note& note : diagnostic.notes) {
        if (is_beside(diagnostic, note)) {
            marks.push_back(
                {note.span.begin, note.span.end, '-', Paint::aside, one_line(note.text)});
        }
    }
    add_place(diagnostic.span);
    append_bar(painter_, frame());
    append_snippet(painter_, sources_[diagnostic.span.file], marks, frame());
}

void TextReport::add_note(const Note& note) {
    painter_.put("note: ", Paint::aside).put(hanging(note.text, 6)).line();
    if (note.has_span && known(note.span.file)) {
        const Mark mark = {note.span.begin, note.span.end, '-', Paint::aside, {}};
        add_place(note.span);
        append_bar(painter_, frame());
        append_snippet(painter_, sources_[note.span.file], {&mark, 1}, frame());
    }
}

// Shows the lines as they would be.
void TextReport::add_hunk(const SourceFile& file, FileId id, const Hunk& hunk,
                          std::int64_t& grown) {
    const std::uint32_t start = file.line_start(hunk.first);
    const std::string_view last = file.line(hunk.last);
    const auto end = static_cast<std::uint32_t>(file.line_start(hunk.last) + last.size());
    std::vector<Edit> edits = hunk.edits;
    std::vector<Mark> marks;
    std::int64_t shift = -static_cast<std::int64_t>(start);
    for (Edit& edit : edits) {
        const auto begin = static_cast<std::uint32_t>(edit.span.begin + shift);
        const auto size = static_cast<std::uint32_t>(edit.replacement.size());
        shift += static_cast<std::int64_t>(size) - (edit.span.end - edit.span.begin);
        marks.push_back({begin, begin + size, size == 0 ? ' ' : '~', Paint::mend, {}});
        edit.span.begin = std::min(edit.span.begin, end) - start;
        edit.span.end = std::min(edit.span.end, end) - start;
    }
    const auto mended = apply_edits(file.text().substr(start, end - start), id, edits);
    if (!mended) {
        return;
    }
    const SourceFile after(file.path(), *mended);
    append_snippet(painter_, after, marks,
                   frame(static_cast<std::uint32_t>(hunk.first - 1 + grown)));
    grown += static_cast<std::int64_t>(after.line_count()) - (hunk.last - hunk.first + 1);
}

void TextReport::add_mend(const Diagnostic& diagnostic, const Mend& mend) {
    painter_.put("mend: ", Paint::mend).put(hanging(mend.text, 6)).line();
    std::set<FileId> files;
    for (const Edit& edit : mend.edits) {
        files.insert(edit.span.file);
    }
    for (const FileId id : files) {
        if (!known(id)) {
            continue;
        }
        const std::vector<Hunk> hunks = hunks_of(sources_[id], id, mend);
        if (!diagnostic.has_span || diagnostic.span.file != id) {
            add_place(hunks.front().edits.front().span);
        }
        append_bar(painter_, frame());
        std::int64_t grown = 0;
        for (const Hunk& hunk : hunks) {
            if (&hunk != &hunks.front()) {
                append_gap(painter_, frame());
            }
            add_hunk(sources_[id], id, hunk, grown);
        }
    }
}

void TextReport::add(const Diagnostic& diagnostic) {
    const Paint paint = paint_of(diagnostic.level);
    choose_gutter(diagnostic);
    painter_
        .put(fmt::format("{}[{}]", to_string(diagnostic.level), entry(diagnostic.kind).name), paint)
        .put(": " + hanging(diagnostic.message, 4), Paint::strong)
        .line();
    if (diagnostic.has_span && known(diagnostic.span.file)) {
        add_source(diagnostic);
    }
    for (const Note& note : diagnostic.notes) {
        if (!is_beside(diagnostic, note)) {
            add_note(note);
        }
    }
    for (const Mend& mend : diagnostic.mends) {
        add_mend(diagnostic, mend);
    }
    painter_.line();
}

void TextReport::close(std::string_view summary, bool errors, std::size_t shown,
                       std::size_t total) {
    painter_.put(summary, errors ? Paint::error : Paint::strong);
    if (shown < total) {
        painter_.put(fmt::format(" ({} of {} messages are shown: mend these, then check again)",
                                 shown, total));
    }
    painter_.line();
}

// At most `most`; advice is left out first, then cautions, then what stands last.
std::vector<Diagnostic> chosen(std::vector<Diagnostic> all, std::size_t most) {
    std::array<std::size_t, 3> room{};
    std::size_t left = most;
    for (const Level level : {Level::error, Level::caution, Level::advice}) {
        const auto count = static_cast<std::size_t>(std::count_if(
            all.begin(), all.end(), [&](const Diagnostic& one) { return one.level == level; }));
        room.at(static_cast<std::size_t>(level)) = std::min(count, left);
        left -= std::min(count, left);
    }
    std::erase_if(all, [&](const Diagnostic& one) {
        std::size_t& free = room.at(static_cast<std::size_t>(one.level));
        return free == 0 || free-- == 0;
    });
    return all;
}

std::string summary_of(const std::vector<Diagnostic>& all) {
    struct Word {
        Level level;
        std::string_view one;
        std::string_view many;
    };
    constexpr Word words[] = {{Level::error, "error", "errors"},
                              {Level::caution, "caution", "cautions"},
                              {Level::advice, "piece of advice", "pieces of advice"}};
    std::string line;
    for (const Word& word : words) {
        const auto count = std::count_if(
            all.begin(), all.end(), [&](const Diagnostic& one) { return one.level == word.level; });
        if (count != 0) {
            line += fmt::format("{}{} {}", line.empty() ? "" : ", ", count,
                                count == 1 ? word.one : word.many);
        }
    }
    return line.empty() ? "nothing to report" : line;
}

} // namespace

std::string render_text(const Sources& sources, const Diagnostics& diagnostics,
                        const TextOptions& options) {
    std::string out;
    std::vector<Diagnostic> all = diagnostics.sorted();
    if (all.empty()) {
        return out;
    }
    const std::string summary = summary_of(all);
    const std::size_t total = all.size();
    const std::vector<Diagnostic> shown = chosen(std::move(all), options.most);
    TextReport report(sources, options, out);
    for (const Diagnostic& diagnostic : shown) {
        report.add(diagnostic);
    }
    report.close(summary, diagnostics.has_errors(), shown.size(), total);
    return out;
}

std::string summary_line(const Diagnostics& diagnostics) {
    return summary_of(diagnostics.sorted());
}

} // namespace fettle
