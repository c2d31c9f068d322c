// What the compiler has to say about a source text. A `Diagnostic` keeps its structure to the last
// moment; compiler/source/render.h turns the same value into text, JSON or SARIF.
#pragma once

#include "compiler/source/source_file.h"
#include "compiler/source/span.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace fettle {

enum class Level : std::uint8_t { error, caution, advice };

// One entry for each row of diagnostic_kinds.def; the name as printed has '-' for '_'.
enum class DiagnosticKind : std::uint16_t {
#define FETTLE_DIAGNOSTIC(name, level, summary) name,
#include "compiler/source/diagnostic_kinds.def"
#undef FETTLE_DIAGNOSTIC
};

struct DiagnosticEntry {
    std::string_view name; // "temperature-plus-temperature"
    Level level;
    std::string_view summary; // one sentence: what this kind of fault is
};

const std::vector<DiagnosticEntry>& diagnostic_table();
const DiagnosticEntry& entry(DiagnosticKind kind);
std::string_view to_string(Level level);

// A second place that the message points to ("the firing is at 900C since here").
struct Note {
    Span span;
    std::string text;
    bool has_span = true;
};

// Replace the text at `span` by `replacement`.
struct Edit {
    Span span;
    std::string replacement;
};

// What to write instead: words for the reader, edits that an editor can apply (may be none).
struct Mend {
    std::string text; // "write `600C + 20dC`"
    std::vector<Edit> edits;
};

struct Diagnostic {
    DiagnosticKind kind{};
    Level level = Level::error;
    Span span;
    std::string message; // one sentence, no full stop, what was found first
    std::vector<Note> notes;
    std::vector<Mend> mends;
    bool has_span = true;
    // Tells faults of one kind at one place apart (the rule, the group of ware); not printed.
    std::string subject = {};

    Diagnostic& note(Span where, std::string text);
    Diagnostic& note(std::string text); // a remark without a place
    Diagnostic& mend(std::string text);
    Diagnostic& mend(std::string text, Span where, std::string replacement);
};

// Where passes report to. Keeps order of arrival; `sorted` orders by file and place.
class Diagnostics {
  public:
    // The level is that of the table.
    Diagnostic& report(DiagnosticKind kind, Span span, std::string message);
    Diagnostic& report(DiagnosticKind kind, std::string message); // of no one place
    void add(Diagnostic diagnostic) { all_.push_back(std::move(diagnostic)); }
    void take(Diagnostics&& other);

    const std::vector<Diagnostic>& all() const { return all_; }
    bool has_errors() const;
    std::size_t count(Level level) const;
    // By file, place, then arrival; exact repeats (same kind, span and message) once.
    std::vector<Diagnostic> sorted() const;

  private:
    std::vector<Diagnostic> all_;
};

} // namespace fettle
