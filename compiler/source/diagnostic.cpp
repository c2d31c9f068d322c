#include "compiler/source/diagnostic.h"

#include <algorithm>
#include <deque>
#include <iterator>
#include <tuple>

namespace fettle {

namespace {

struct Row {
    std::string_view identifier;
    Level level;
    std::string_view summary;
};

std::vector<Row> rows() {
    return {
#define FETTLE_DIAGNOSTIC(name, level, summary) Row{#name, Level::level, summary},
#include "compiler/source/diagnostic_kinds.def"
#undef FETTLE_DIAGNOSTIC
    };
}

std::vector<DiagnosticEntry> make_table(std::deque<std::string>& names) {
    std::vector<DiagnosticEntry> table;
    for (const Row& row : rows()) {
        std::string& name = names.emplace_back(row.identifier);
        std::replace(name.begin(), name.end(), '_', '-');
        table.push_back({name, row.level, row.summary});
    }
    return table;
}

auto order_key(const Diagnostic& diagnostic) {
    const Span& span = diagnostic.span;
    return std::tuple(diagnostic.has_span, span.file, span.begin, span.end);
}

bool repeats(const Diagnostic& a, const Diagnostic& b) {
    return a.kind == b.kind && a.has_span == b.has_span && a.span == b.span &&
           a.message == b.message;
}

} // namespace

const std::vector<DiagnosticEntry>& diagnostic_table() {
    static std::deque<std::string> names;
    static const std::vector<DiagnosticEntry> table = make_table(names);
    return table;
}

const DiagnosticEntry& entry(DiagnosticKind kind) {
    return diagnostic_table().at(static_cast<std::size_t>(kind));
}

std::string_view to_string(Level level) {
    switch (level) {
    case Level::error: return "error";
    case Level::caution: return "caution";
    case Level::advice: return "advice";
    }
    return "error";
}

Diagnostic& Diagnostic::note(Span where, std::string text) {
    notes.push_back({where, std::move(text), true});
    return *this;
}

Diagnostic& Diagnostic::note(std::string text) {
    notes.push_back({{}, std::move(text), false});
    return *this;
}

Diagnostic& Diagnostic::mend(std::string text) {
    mends.push_back({std::move(text), {}});
    return *this;
}

Diagnostic& Diagnostic::mend(std::string text, Span where, std::string replacement) {
    mends.push_back({std::move(text), {{where, std::move(replacement)}}});
    return *this;
}

Diagnostic& Diagnostics::report(DiagnosticKind kind, Span span, std::string message) {
    Diagnostic& added = all_.emplace_back();
    added.kind = kind;
    added.level = entry(kind).level;
    added.span = span;
    added.message = std::move(message);
    return added;
}

Diagnostic& Diagnostics::report(DiagnosticKind kind, std::string message) {
    Diagnostic& added = report(kind, Span{}, std::move(message));
    added.has_span = false;
    return added;
}

void Diagnostics::take(Diagnostics&& other) {
    all_.insert(all_.end(), std::make_move_iterator(other.all_.begin()),
                std::make_move_iterator(other.all_.end()));
    other.all_.clear();
}

bool Diagnostics::has_errors() const {
    return count(Level::error) != 0;
}

std::size_t Diagnostics::count(Level level) const {
    return static_cast<std::size_t>(std::count_if(
        all_.begin(), all_.end(), [&](const Diagnostic& one) { return one.level == level; }));
}

std::vector<Diagnostic> Diagnostics::sorted() const {
    std::vector<Diagnostic> result = all_;
    std::stable_sort(result.begin(), result.end(), [](const Diagnostic& a, const Diagnostic& b) {
        return order_key(a) < order_key(b);
    });
    // Repeats stand among those of the same place, though not always side by side.
    std::vector<Diagnostic> once;
    std::size_t group = 0;
    for (Diagnostic& one : result) {
        if (group < once.size() && order_key(once[group]) != order_key(one)) {
            group = once.size();
        }
        const auto known = std::find_if(once.begin() + static_cast<std::ptrdiff_t>(group),
                                        once.end(), [&](const auto& o) { return repeats(o, one); });
        if (known == once.end()) {
            once.push_back(std::move(one));
        }
    }
    return once;
}

} // namespace fettle
