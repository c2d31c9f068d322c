#include "compiler/source/json_writer.h"
#include "compiler/source/render.h"

#include <algorithm>

namespace fettle {

namespace {

void write_place(JsonWriter& json, const Sources& sources, Span span, bool has_span) {
    if (!has_span || span.file >= sources.size()) {
        for (const JsonKey key :
             {JsonKey("file"), JsonKey("line"), JsonKey("column"), JsonKey("end_line"),
              JsonKey("end_column"), JsonKey("offset"), JsonKey("length")}) {
            json.field(key, nullptr);
        }
        return;
    }
    const SourceFile& file = sources[span.file];
    const Place begin = file.place(span.begin);
    const Place end = file.place(std::max(span.begin, span.end));
    json.field("file", file.path());
    json.field("line", begin.line);
    json.field("column", begin.column);
    json.field("end_line", end.line);
    json.field("end_column", end.column);
    json.field("offset", span.begin);
    json.field("length", span.end > span.begin ? span.end - span.begin : 0);
}

void write_notes(JsonWriter& json, const Sources& sources, const std::vector<Note>& notes) {
    json.key("notes");
    json.array();
    for (const Note& note : notes) {
        json.line_object();
        json.field("text", note.text);
        write_place(json, sources, note.span, note.has_span);
        json.end_object();
    }
    json.end_array();
}

void write_mends(JsonWriter& json, const Sources& sources, const std::vector<Mend>& mends) {
    json.key("mends");
    json.array();
    for (const Mend& mend : mends) {
        json.object();
        json.field("text", mend.text);
        json.key("edits");
        json.array();
        for (const Edit& edit : mend.edits) {
            json.line_object();
            write_place(json, sources, edit.span, true);
            json.field("replacement", edit.replacement);
            json.end_object();
        }
        json.end_array();
        json.end_object();
    }
    json.end_array();
}

std::size_t count(const std::vector<Diagnostic>& all, Level level) {
    return static_cast<std::size_t>(std::count_if(
        all.begin(), all.end(), [&](const Diagnostic& one) { return one.level == level; }));
}

} // namespace

std::string render_json(const Sources& sources, const Diagnostics& diagnostics) {
    const std::vector<Diagnostic> all = diagnostics.sorted();
    std::string out;
    JsonWriter json(out, JsonLayout::indented);
    json.object();
    json.field("format", "fettle.report");
    json.field("format_version", 1);
    json.key("diagnostics");
    json.array();
    for (const Diagnostic& diagnostic : all) {
        json.object();
        json.field("name", entry(diagnostic.kind).name);
        json.field("level", to_string(diagnostic.level));
        write_place(json, sources, diagnostic.span, diagnostic.has_span);
        json.field("message", diagnostic.message);
        write_notes(json, sources, diagnostic.notes);
        write_mends(json, sources, diagnostic.mends);
        json.end_object();
    }
    json.end_array();
    json.key("summary");
    json.line_object();
    json.field("errors", count(all, Level::error));
    json.field("cautions", count(all, Level::caution));
    json.field("advice", count(all, Level::advice));
    json.end_object();
    json.end_object();
    json.finish();
    out += '\n';
    return out;
}

} // namespace fettle
