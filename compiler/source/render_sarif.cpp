#include "compiler/source/json_writer.h"
#include "compiler/source/render.h"

#include <algorithm>
#include <set>

namespace fettle {

namespace {

constexpr std::string_view schema =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";
constexpr std::string_view base_id = "SRCROOT";

std::string_view sarif_level(Level level) {
    switch (level) {
    case Level::error: return "error";
    case Level::caution: return "warning";
    case Level::advice: return "note";
    }
    return "error";
}

bool is_unreserved(unsigned char byte) {
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') ||
           (byte >= '0' && byte <= '9') || byte == '-' || byte == '.' || byte == '_' ||
           byte == '~' || byte == '/';
}

// A path with forward slashes as a URI reference (RFC 3986).
std::string uri_of(std::string_view path) {
    constexpr std::string_view hex = "0123456789ABCDEF";
    std::string uri = path.starts_with('/') ? "file://" : "";
    for (const char each : path) {
        const auto byte = static_cast<unsigned char>(each);
        if (is_unreserved(byte)) {
            uri += each;
        } else {
            uri += {'%', hex[byte >> 4U], hex[byte & 15U]};
        }
    }
    return uri;
}

void write_text(JsonWriter& json, JsonKey key, std::string_view text) {
    json.key(key);
    json.line_object();
    json.field("text", text);
    json.end_object();
}

// Braces stand for arguments in a message and are doubled (section 3.11.5 of the standard).
std::string message_string(std::string_view text) {
    std::string result;
    for (const char byte : text) {
        result.append(byte == '{' || byte == '}' ? 2 : 1, byte);
    }
    return result;
}

void write_message(JsonWriter& json, JsonKey key, std::string_view text) {
    write_text(json, key, message_string(text));
}

void write_artifact(JsonWriter& json, const SourceFile& file) {
    json.key("artifactLocation");
    json.line_object();
    json.field("uri", uri_of(file.path()));
    if (!file.path().starts_with('/')) {
        json.field("uriBaseId", base_id);
    }
    json.end_object();
}

void write_region(JsonWriter& json, JsonKey key, const SourceFile& file, Span span) {
    const std::uint32_t end = std::max(span.begin, span.end);
    json.key(key);
    json.line_object();
    json.field("startLine", file.line_of(span.begin));
    json.field("startColumn", file.utf16_column(span.begin));
    json.field("endLine", file.line_of(end));
    json.field("endColumn", file.utf16_column(end));
    json.end_object();
}

void write_physical(JsonWriter& json, const SourceFile& file, Span span) {
    json.key("physicalLocation");
    json.object();
    write_artifact(json, file);
    write_region(json, "region", file, span);
    json.end_object();
}

class SarifReport {
  public:
    SarifReport(const Sources& sources, const SarifOptions& options, std::string& out)
        : sources_(sources), options_(options), json_(out, JsonLayout::indented) {}

    void write(const std::vector<Diagnostic>& all);

  private:
    bool known(Span span) const { return span.file < sources_.size(); }
    void write_driver();
    void write_rule(const DiagnosticEntry& rule);
    void write_artifacts();
    void write_result(const Diagnostic& diagnostic);
    void write_locations(const Diagnostic& diagnostic);
    void write_related(const Diagnostic& diagnostic);
    void write_fixes(const Diagnostic& diagnostic);
    void write_fix(const Mend& mend);

    const Sources& sources_;
    const SarifOptions& options_;
    JsonWriter json_;
};

void SarifReport::write_rule(const DiagnosticEntry& rule) {
    json_.object();
    json_.field("id", rule.name);
    write_message(json_, "shortDescription", rule.summary);
    const std::string page =
        message_string(options_.explain ? options_.explain(rule.name) : std::string_view());
    if (!page.empty()) {
        json_.key("help");
        json_.object();
        json_.field("text", page);
        json_.field("markdown", page);
        json_.end_object();
    }
    json_.key("defaultConfiguration");
    json_.line_object();
    json_.field("level", sarif_level(rule.level));
    json_.end_object();
    json_.end_object();
}

void SarifReport::write_driver() {
    json_.key("tool");
    json_.object();
    json_.key("driver");
    json_.object();
    json_.field("name", "fettle");
    if (!options_.version.empty()) {
        json_.field("semanticVersion", options_.version);
    }
    json_.key("rules");
    json_.array();
    for (const DiagnosticEntry& rule : diagnostic_table()) {
        write_rule(rule);
    }
    json_.end_array();
    json_.end_object();
    json_.end_object();
}

// Every file that was read, once.
void SarifReport::write_artifacts() {
    json_.key("artifacts");
    json_.array();
    std::set<std::string_view> seen;
    for (FileId file = 0; file < sources_.size(); ++file) {
        if (!seen.insert(sources_[file].path()).second) {
            continue;
        }
        json_.object();
        json_.key("location");
        json_.line_object();
        json_.field("uri", uri_of(sources_[file].path()));
        if (!sources_[file].path().starts_with('/')) {
            json_.field("uriBaseId", base_id);
        }
        json_.end_object();
        json_.field("length", sources_[file].text().size());
        json_.field("encoding", "UTF-8");
        json_.end_object();
    }
    json_.end_array();
}

// Notes without a place and mends without edits have no field of their own in a result.
std::string message_of(const Diagnostic& diagnostic) {
    std::string text = diagnostic.message;
    for (const Note& note : diagnostic.notes) {
        if (!note.has_span) {
            text += "\nnote: " + note.text;
        }
    }
    for (const Mend& mend : diagnostic.mends) {
        if (mend.edits.empty()) {
            text += "\nmend: " + mend.text;
        }
    }
    return text;
}

void SarifReport::write_locations(const Diagnostic& diagnostic) {
    json_.key("locations");
    json_.array();
    if (diagnostic.has_span && known(diagnostic.span)) {
        json_.object();
        write_physical(json_, sources_[diagnostic.span.file], diagnostic.span);
        json_.end_object();
    }
    json_.end_array();
}

void SarifReport::write_related(const Diagnostic& diagnostic) {
    json_.key("relatedLocations");
    json_.array();
    int id = 0;
    for (const Note& note : diagnostic.notes) {
        if (note.has_span && known(note.span)) {
            json_.object();
            json_.field("id", ++id);
            write_physical(json_, sources_[note.span.file], note.span);
            write_message(json_, "message", note.text);
            json_.end_object();
        }
    }
    json_.end_array();
}

void SarifReport::write_fix(const Mend& mend) {
    json_.object();
    write_message(json_, "description", mend.text);
    json_.key("artifactChanges");
    json_.array();
    std::set<FileId> files;
    for (const Edit& edit : mend.edits) {
        files.insert(edit.span.file);
    }
    for (const FileId file : files) {
        json_.object();
        write_artifact(json_, sources_[file]);
        json_.key("replacements");
        json_.array();
        for (const Edit& edit : mend.edits) {
            if (edit.span.file == file) {
                json_.object();
                write_region(json_, "deletedRegion", sources_[file], edit.span);
                write_text(json_, "insertedContent", edit.replacement);
                json_.end_object();
            }
        }
        json_.end_array();
        json_.end_object();
    }
    json_.end_array();
    json_.end_object();
}

void SarifReport::write_fixes(const Diagnostic& diagnostic) {
    json_.key("fixes");
    json_.array();
    for (const Mend& mend : diagnostic.mends) {
        const bool whole = std::all_of(mend.edits.begin(), mend.edits.end(),
                                       [&](const Edit& edit) { return known(edit.span); });
        if (!mend.edits.empty() && whole) {
            write_fix(mend);
        }
    }
    json_.end_array();
}

void SarifReport::write_result(const Diagnostic& diagnostic) {
    json_.object();
    json_.field("ruleId", entry(diagnostic.kind).name);
    json_.field("ruleIndex", static_cast<int>(diagnostic.kind));
    json_.field("level", sarif_level(diagnostic.level));
    write_message(json_, "message", message_of(diagnostic));
    write_locations(diagnostic);
    write_related(diagnostic);
    write_fixes(diagnostic);
    json_.end_object();
}

void SarifReport::write(const std::vector<Diagnostic>& all) {
    json_.object();
    json_.field("$schema", schema);
    json_.field("version", "2.1.0");
    json_.key("runs");
    json_.array();
    json_.object();
    write_driver();
    json_.key("originalUriBaseIds");
    json_.object();
    json_.key_of(base_id);
    json_.object();
    write_text(json_, "description", "The folder that fettle was started in");
    json_.end_object();
    json_.end_object();
    write_artifacts();
    json_.field("columnKind", "utf16CodeUnits");
    json_.key("results");
    json_.array();
    for (const Diagnostic& diagnostic : all) {
        write_result(diagnostic);
    }
    json_.end_array();
    json_.end_object();
    json_.end_array();
    json_.end_object();
    json_.finish();
}

} // namespace

std::string render_sarif(const Sources& sources, const Diagnostics& diagnostics,
                         const SarifOptions& options) {
    std::string out;
    SarifReport(sources, options, out).write(diagnostics.sorted());
    out += '\n';
    return out;
}

} // namespace fettle
