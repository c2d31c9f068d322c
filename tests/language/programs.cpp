#include "tests/language/programs.h"

#include "compiler/lowering/prove.h"
#include "compiler/output/json.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>

namespace fettle {
namespace {

constexpr std::string_view file_mark = "#--- ";

std::vector<std::string> lines_of(std::string_view text) {
    std::vector<std::string> lines;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        lines.emplace_back(text.substr(0, end == std::string_view::npos ? end : end + 1));
        text.remove_prefix(std::min(text.size(), lines.back().size()));
    }
    return lines;
}

std::string_view without_indent(std::string_view line) {
    const std::size_t first = line.find_first_not_of(" \t");
    return first == std::string_view::npos ? std::string_view{} : line.substr(first);
}

bool is_expectation(std::string_view line) {
    line = without_indent(line);
    for (std::string_view start : {"# error[", "# caution[", "# advice[", "#   mend", "#   note"}) {
        if (line.substr(0, start.size()) == start)
            return true;
    }
    return false;
}

std::string columns(const SourceFile& file, Span span, bool with_line) {
    const Place begin = file.place(span.begin);
    const Place last = file.place(span.end > span.begin ? span.end - 1 : span.end);
    std::string text = with_line ? fmt::format("{}:{}", begin.line, begin.column)
                                 : fmt::format("{}", begin.column);
    if (span.begin == span.end)
        return text + "-"; // the place before that column
    if (last.line != begin.line)
        return text + fmt::format("-{}:{}", last.line, last.column);
    if (last.column != begin.column)
        text += fmt::format("-{}", last.column);
    return text;
}

std::string on_one_line(std::string_view text) {
    std::string plain;
    for (char c : text) {
        if (c == '\n') {
            plain += "\\n";
        } else {
            plain += c;
        }
    }
    return plain;
}

// The lines that stand below line `line` of file `path` for one diagnostic.
void write_expectation(const Diagnostic& diagnostic, const Sources& sources,
                       std::string_view indent, std::string& out) {
    const std::uint32_t line =
        diagnostic.has_span ? sources[diagnostic.span.file].line_of(diagnostic.span.begin) : 0;
    const auto place = [&](Span span) {
        const SourceFile& file = sources[span.file];
        const bool same = span.file == diagnostic.span.file && file.line_of(span.begin) == line;
        std::string text = columns(file, span, !same);
        if (span.file != diagnostic.span.file)
            text = fmt::format("{} {}", file.path(), text);
        return text;
    };
    out += fmt::format(
        "{}# {}[{}]{}: {}\n", indent, to_string(diagnostic.level), entry(diagnostic.kind).name,
        diagnostic.has_span ? " " + place(diagnostic.span) : "", on_one_line(diagnostic.message));
    for (const Note& note : diagnostic.notes) {
        out += fmt::format("{}#   note{}: {}\n", indent,
                           note.has_span ? " " + place(note.span) : "", on_one_line(note.text));
    }
    for (const Mend& mend : diagnostic.mends) {
        std::string edits;
        for (const Edit& edit : mend.edits)
            edits += fmt::format(" {} `{}`", place(edit.span), on_one_line(edit.replacement));
        out += fmt::format("{}#   mend{}: {}\n", indent, edits, on_one_line(mend.text));
    }
}

} // namespace

std::vector<ProgramFile> split_files(std::string_view text, std::string_view first_path) {
    std::vector<ProgramFile> files;
    for (std::string& line : lines_of(text)) {
        if (line.substr(0, file_mark.size()) == file_mark) {
            std::string path = line.substr(file_mark.size());
            path.erase(path.find_last_not_of(" \r\n") + 1);
            files.push_back({path, ""});
            continue;
        }
        if (files.empty())
            files.push_back({std::string(first_path), ""});
        files.back().text += line;
    }
    if (files.empty())
        files.push_back({std::string(first_path), ""});
    return files;
}

std::string join_files(const std::vector<ProgramFile>& files, std::string_view first_path) {
    std::string text;
    for (const ProgramFile& file : files) {
        if (&file != &files.front() || file.path != first_path)
            text += fmt::format("{}{}\n", file_mark, file.path);
        text += file.text;
    }
    return text;
}

MemoryFiles::MemoryFiles(const std::vector<ProgramFile>& files) {
    for (const ProgramFile& file : files)
        texts[file.path] = file.text;
}

std::optional<std::string> MemoryFiles::read(const std::string& path, std::string& problem) {
    if (const auto trouble = problems.find(path); trouble != problems.end()) {
        problem = trouble->second;
        return std::nullopt;
    }
    const auto found = texts.find(path);
    if (found == texts.end())
        return std::nullopt;
    return found->second;
}

Checked::Checked(const std::vector<ProgramFile>& from, unsigned threads) : files(from) {
    compilation = std::make_unique<Compilation>(std::vector<std::string>{from.front().path}, files,
                                                diagnostics, RulesAlwaysOn::off);
    const auto firings = compilation->firings();
    std::vector<std::string> written(firings.size());
    std::vector<Schedule> made(firings.size());
    compilation->compile_all(
        firings, threads, diagnostics,
        [&](std::size_t i, const CompiledFiring& compiled) {
            if (!compiled.ok)
                return;
            written[i] = json(compiled.document);
            made[i] = compiled.schedule;
        },
        [](std::size_t, std::size_t) {});
    for (std::size_t i = 0; i < firings.size(); ++i) {
        if (written[i].empty())
            continue;
        documents.push_back(std::move(written[i]));
        schedules.push_back(std::move(made[i]));
    }
    for (DeclarationId test : compilation->tests())
        run_test(compilation->context(), test, diagnostics);
}

Checked check_text(std::string text) {
    return Checked({{"example.fettle", std::move(text)}});
}

std::string said(const Checked& checked) {
    std::string text;
    for (const Diagnostic& each : checked.diagnostics.sorted()) {
        text +=
            fmt::format("{}[{}]: {}\n", to_string(each.level), entry(each.kind).name, each.message);
    }
    return text;
}

std::string value_of(std::string_view expression, std::string_view declarations) {
    const Checked checked = check_text(fmt::format(R"({}
firing example_of_a_value {{
    phase only {{
        note "{{{}}}"
        ramp to 100C at 100C/h
    }}
}}
)",
                                                   declarations, expression));
    if (checked.diagnostics.has_errors() || checked.schedules.empty())
        return said(checked);
    return checked.schedules.back().segments[0].notes[0];
}

std::vector<ProgramFile> annotated(const std::vector<ProgramFile>& files, const Checked& checked) {
    const Sources& sources = checked.compilation->sources();
    const std::vector<Diagnostic> all = checked.diagnostics.sorted();
    std::vector<ProgramFile> result;
    for (const ProgramFile& file : files) {
        std::string text;
        const auto write = [&](std::uint32_t line, std::string_view indent) {
            for (const Diagnostic& diagnostic : all) {
                const bool here =
                    diagnostic.has_span
                        ? sources[diagnostic.span.file].path() == file.path &&
                              sources[diagnostic.span.file].line_of(diagnostic.span.begin) == line
                        : line == 0 && &file == &files.front();
                if (here)
                    write_expectation(diagnostic, sources, indent, text);
            }
        };
        write(0, "");
        std::uint32_t number = 0;
        for (const std::string& line : lines_of(file.text)) {
            ++number;
            if (!is_expectation(line)) {
                text += line;
                if (line.back() != '\n' && number > 0)
                    text += '\n';
            }
            const std::size_t indent = line.size() - without_indent(line).size();
            write(number, std::string_view(line).substr(0, indent));
        }
        write(number + 1, "");
        result.push_back({file.path, text});
    }
    return result;
}

std::vector<Example> examples_of(std::string_view page) {
    std::vector<Example> examples;
    std::string heading;
    bool inside = false;
    for (const std::string& line : lines_of(page)) {
        const std::string_view plain =
            std::string_view(line).substr(0, line.find_last_not_of("\r\n") + 1);
        if (plain.substr(0, 3) == "```") {
            inside = plain == "```fettle";
            if (inside)
                examples.push_back({heading, ""});
        } else if (inside) {
            examples.back().text += line;
        } else if (!plain.empty()) {
            heading = plain;
        }
    }
    return examples;
}

std::string read_text(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

} // namespace fettle
