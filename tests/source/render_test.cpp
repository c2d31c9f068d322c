#include "compiler/source/render.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <sstream>

namespace fettle {
namespace {

using nlohmann::json;

constexpr DiagnosticKind kind = DiagnosticKind::file_not_found;

// A text whose parts are found by what stands in them.
struct Page {
    Sources sources;
    Diagnostics diagnostics;
    FileId file;
    std::string text;

    explicit Page(std::string content, const std::string& path = "mugs.fettle")
        : file(sources.add(path, content)), text(std::move(content)) {}

    Span at(std::string_view part) const {
        const auto begin = static_cast<std::uint32_t>(text.find(part));
        return {file, begin, begin + static_cast<std::uint32_t>(part.size())};
    }
    std::string rendered(const TextOptions& options = {}) const {
        return render_text(sources, diagnostics, options);
    }
    json report() const { return json::parse(render_json(sources, diagnostics)); }
    json sarif_run() const { return json::parse(render_sarif(sources, diagnostics))["runs"][0]; }
};

TEST(RenderText, NothingToSayIsEmpty) {
    const Page page("x");
    EXPECT_EQ(page.rendered(), "");
    EXPECT_EQ(summary_line(page.diagnostics), "nothing to report");
}

TEST(RenderText, MessagePlaceNoteAndMend) {
    Page page("let top = 600C\nramp to 600C + 20C at 100C/h\n");
    page.diagnostics.report(kind, page.at("600C + 20C"), "two temperatures can't be added")
        .note(page.at("600C"), "the firing is at 600C since here")
        .note("a difference is written dC")
        .mend("write `600C + 20dC`", page.at("20C"), "20dC");
    EXPECT_EQ(page.rendered(), R"(error[file-not-found]: two temperatures can't be added
  --> mugs.fettle:2:9
   |
 1 | let top = 600C
   |           ---- the firing is at 600C since here
 2 | ramp to 600C + 20C at 100C/h
   |         ^^^^^^^^^^
note: a difference is written dC
mend: write `600C + 20dC`
   |
 2 | ramp to 600C + 20dC at 100C/h
   |                ~~~~

1 error
)");
}

TEST(RenderText, SeveralLabelsOnOneLine) {
    Page page("soak 20C + 30mm\n");
    page.diagnostics.report(kind, page.at("+"), "these can't be added")
        .note(page.at("20C"), "a temperature")
        .note(page.at("30mm"), "a length");
    EXPECT_EQ(page.rendered(), R"(error[file-not-found]: these can't be added
  --> mugs.fettle:1:10
   |
 1 | soak 20C + 30mm
   |      --- ^ ---- a length
   |      |
   |      a temperature

1 error
)");
}

TEST(RenderText, LinesBetweenAreLeftOut) {
    Page page("a\nb\nc\nd\ne\n");
    page.diagnostics.report(kind, page.at("e"), "here").note(page.at("a"), "there");
    EXPECT_EQ(page.rendered(), R"(error[file-not-found]: here
  --> mugs.fettle:5:1
   |
 1 | a
   | - there
 ...
 5 | e
   | ^

1 error
)");
}

TEST(RenderText, SpanOverSeveralLinesLeavesOutIndentation) {
    Page page("phase a {\n    soak 1h\n}\n");
    page.diagnostics.report(kind, page.at("a {\n    soak 1h\n}"), "whole");
    EXPECT_EQ(page.rendered(), R"(error[file-not-found]: whole
  --> mugs.fettle:1:7
   |
 1 | phase a {
   |       ^^^
 2 |     soak 1h
   |     ^^^^^^^
 3 | }
   | ^

1 error
)");
}

TEST(RenderText, LongSpansShowBothEnds) {
    std::string text = "begin\n";
    for (int i = 0; i < 1000; ++i) {
        text += "line\n";
    }
    Page page(text + "end\n");
    page.diagnostics.report(kind, Span{0, 0, static_cast<std::uint32_t>(text.size() + 3)}, "all");
    const std::string out = page.rendered();
    EXPECT_NE(out.find("   1 | begin\n     | ^^^^^\n   2 | line\n     | ^^^^\n"), std::string::npos)
        << out;
    EXPECT_NE(out.find("  ...\n1002 | end\n     | ^^^\n"), std::string::npos) << out;
}

TEST(RenderText, EmptySpanAtTheEndOfALine) {
    Page page("soak\nramp\n");
    page.diagnostics.report(kind, Span{0, 4, 4}, "how long");
    EXPECT_NE(page.rendered().find(" 1 | soak\n   |     ^\n"), std::string::npos)
        << page.rendered();
}

TEST(RenderText, TheLineEndItselfIsMarkedOnItsLine) {
    Page page("soak\r\nramp\r\n");
    page.diagnostics.report(kind, Span{0, 4, 6}, "how long");
    EXPECT_NE(page.rendered().find(" 1 | soak\n   |     ^\n\n"), std::string::npos)
        << page.rendered();
}

TEST(RenderText, EndOfFileAndPlacesOutsideOfIt) {
    for (const std::uint32_t offset : {5U, 6U, 4000U}) {
        Page page("soak\n");
        page.diagnostics.report(kind, Span{0, offset, offset + 1}, "more");
        EXPECT_NE(page.rendered().find("mugs.fettle:2:1\n   |\n 2 |\n   | ^\n"), std::string::npos)
            << page.rendered();
    }
    Page empty("");
    empty.diagnostics.report(kind, Span{0, 0, 0}, "empty");
    EXPECT_NE(empty.rendered().find(" 1 |\n   | ^\n"), std::string::npos) << empty.rendered();
    Page reversed("soak");
    reversed.diagnostics.report(kind, Span{0, 3, 1}, "reversed");
    EXPECT_NE(reversed.rendered().find(" 1 | soak\n   |    ^\n"), std::string::npos)
        << reversed.rendered();
    Page unknown("soak");
    unknown.diagnostics.report(kind, Span{9, 0, 1}, "of no file");
    EXPECT_EQ(unknown.rendered(), "error[file-not-found]: of no file\n\n1 error\n");
}

TEST(RenderText, MarksStandBelowWideCombiningAndTabbedText) {
    // A tab, two wide letters, e with a combining accent, then the fault.
    Page page("\t\xE6\x97\xA5\xE6\x9C\xAC e\xCC\x81 20C\n");
    page.diagnostics.report(kind, page.at("20C"), "here");
    EXPECT_NE(page.rendered().find("   |            ^^^\n"), std::string::npos) << page.rendered();
    Page wide("\xE6\x97\xA5\xE6\x9C\xAC\n");
    wide.diagnostics.report(kind, Span{0, 3, 6}, "the second");
    EXPECT_NE(wide.rendered().find("   |   ^^\n"), std::string::npos) << wide.rendered();
}

TEST(RenderText, NothingFromASourceReachesTheTerminalRaw) {
    Page page("a\x1b[2J \xC2\x9B \xE2\x80\xAE \xFF \r b\n", "bad\x1b[31mname.fettle");
    page.diagnostics.report(kind, page.at("b"), "message \x1b]0;x\x07")
        .note(page.at("a"), "note \x1b[1m")
        .note("long \x1b[1m")
        .mend("mend \x1b[1m", page.at("b"), "\x1b[1m");
    const std::string out = page.rendered();
    EXPECT_EQ(out.find_first_of("\x1b\x07\r\xFF"), std::string::npos) << out;
    EXPECT_EQ(out.find("\xC2\x9B"), std::string::npos);
    EXPECT_EQ(out.find("\xE2\x80\xAE"), std::string::npos);
    EXPECT_NE(out.find("a<U+001B>[2J <U+009B> <U+202E> <0xFF> <U+000D> b"), std::string::npos)
        << out;
}

TEST(RenderText, LongLinesAreCutAroundTheFault) {
    Page page(std::string(300, 'a') + " 20C " + std::string(300, 'b') + "\n");
    page.diagnostics.report(kind, page.at("20C"), "here");
    const std::string out = page.rendered({.width = 60});
    std::size_t longest = 0;
    std::string source_line;
    std::string mark_line;
    std::istringstream lines(out);
    for (std::string line; std::getline(lines, line);) {
        longest = std::max(longest, line.size());
        if (line.find("20C") != std::string::npos) {
            source_line = line;
        }
        if (line.find("^^^") != std::string::npos) {
            mark_line = line;
        }
    }
    EXPECT_LE(longest, 60U) << out;
    EXPECT_EQ(source_line.find("20C"), mark_line.find("^^^")) << out;
    EXPECT_NE(source_line.find("| ...aa"), std::string::npos) << out;
    EXPECT_TRUE(source_line.ends_with("bb...")) << out;
}

TEST(RenderText, HugeLinesAreQuick) {
    Page page(std::string(8U << 20U, 'x'));
    for (std::uint32_t i = 0; i < 100; ++i) {
        page.diagnostics.report(kind, Span{0, i * 80000, i * 80000 + 5}, "here");
    }
    const std::string out = page.rendered();
    EXPECT_LT(out.size(), 40000U);
    EXPECT_NE(out.find("mugs.fettle:1:7920001"), std::string::npos);
}

TEST(RenderText, NotesInOtherFiles) {
    Page page("use std.bodies\n");
    const FileId other = page.sources.add("std/bodies.fettle", "\nbody stoneware {\n");
    page.diagnostics.report(kind, page.at("std"), "here").note({other, 6, 15}, "declared here");
    EXPECT_NE(page.rendered().find(R"(
note: declared here
  --> std/bodies.fettle:2:6
   |
 2 | body stoneware {
   |      ---------
)"),
              std::string::npos)
        << page.rendered();
}

TEST(RenderText, MendsThatAddAndRemoveLines) {
    Page page("one\ntwo\nthree\n");
    page.diagnostics.report(kind, page.at("one"), "x")
        .mend("put a line in", Span{0, 4, 4}, "new\n")
        .mend("take it away", Span{0, 0, 4}, "");
    EXPECT_NE(page.rendered().find("mend: put a line in\n   |\n 2 | new\n   | ~~~\n"),
              std::string::npos)
        << page.rendered();
    EXPECT_NE(page.rendered().find("mend: take it away\n   |\n 1 | two\n"), std::string::npos)
        << page.rendered();
}

TEST(RenderText, MendsWithSeveralEditsShowEachLine) {
    Page page("a 1\nb\nc\nd\na 2\n");
    Diagnostic& one = page.diagnostics.report(kind, page.at("1"), "x");
    one.mends.push_back({"rename", {{{0, 10, 11}, "zz"}, {{0, 0, 1}, "zz"}}});
    EXPECT_NE(
        page.rendered().find("mend: rename\n   |\n 1 | zz 1\n   | ~~\n ...\n 5 | zz 2\n   | ~~\n"),
        std::string::npos)
        << page.rendered();
}

TEST(RenderText, ColourAddsNothingButEscapes) {
    Page page("let top = 600C\nramp to 600C + 20C at 100C/h\n");
    page.diagnostics.report(kind, page.at("600C + 20C"), "two temperatures can't be added")
        .note(page.at("600C"), "since here")
        .mend("write `600C + 20dC`", page.at("20C"), "20dC");
    std::string coloured = page.rendered({.colour = true});
    EXPECT_NE(coloured.find("\x1b[1;31merror[file-not-found]\x1b[0m"), std::string::npos);
    for (auto begin = coloured.find('\x1b'); begin != std::string::npos;
         begin = coloured.find('\x1b')) {
        coloured.erase(begin, coloured.find('m', begin) + 1 - begin);
    }
    EXPECT_EQ(coloured, page.rendered());
}

Diagnostic& add(Page& page, Level level, std::uint32_t offset) {
    Diagnostic& one = page.diagnostics.report(kind, Span{0, offset, offset + 1}, "m");
    one.level = level;
    return one;
}

TEST(RenderText, SummaryCountsEachLevel) {
    Page page(std::string(50, 'x'));
    add(page, Level::error, 1);
    add(page, Level::error, 2);
    add(page, Level::error, 2); // a repeat is not counted
    add(page, Level::caution, 3);
    add(page, Level::advice, 4);
    EXPECT_EQ(summary_line(page.diagnostics), "2 errors, 1 caution, 1 piece of advice");
    EXPECT_TRUE(page.rendered().ends_with("\n2 errors, 1 caution, 1 piece of advice\n"));
    EXPECT_NE(page.rendered().find("caution[file-not-found]: m"), std::string::npos);
}

TEST(RenderText, TheCapKeepsErrorsAndSaysWhatIsMissing) {
    Page page(std::string(50, 'x'));
    add(page, Level::advice, 1);
    add(page, Level::caution, 2);
    add(page, Level::error, 3);
    add(page, Level::error, 4);
    const std::string out = page.rendered({.most = 2});
    EXPECT_EQ(out.find("advice["), std::string::npos);
    EXPECT_EQ(out.find("caution["), std::string::npos);
    EXPECT_NE(out.find(":1:4\n"), std::string::npos);
    EXPECT_NE(out.find(":1:5\n"), std::string::npos);
    EXPECT_TRUE(out.ends_with("2 errors, 1 caution, 1 piece of advice (2 of 4 messages are shown: "
                              "mend these, then check again)\n"))
        << out;
}

TEST(RenderJson, CarriesEverything) {
    Page page("let top = 600C\n\xC3\xA9 ramp to 600C + 20C\n");
    page.diagnostics.report(kind, page.at("600C + 20C"), "say \"no\"")
        .note(page.at("600C"), "since here")
        .note("no place")
        .mend("write it so", page.at("20C"), "20dC")
        .mend("words");
    page.diagnostics.report(kind, "of no place");
    const json report = page.report();
    EXPECT_EQ(report["format"], "fettle.report");
    EXPECT_EQ(report["format_version"], 1);
    ASSERT_EQ(report["diagnostics"].size(), 2U);
    const json& placeless = report["diagnostics"][0];
    EXPECT_EQ(placeless["file"], nullptr);
    EXPECT_EQ(placeless["line"], nullptr);
    const json& one = report["diagnostics"][1];
    EXPECT_EQ(one["name"], "file-not-found");
    EXPECT_EQ(one["level"], "error");
    EXPECT_EQ(one["message"], "say \"no\"");
    EXPECT_EQ(one["line"], 2);
    EXPECT_EQ(one["column"], 11); // characters
    EXPECT_EQ(one["end_column"], 21);
    EXPECT_EQ(one["offset"], 26); // bytes
    EXPECT_EQ(one["length"], 10);
    EXPECT_EQ(one["notes"][0]["line"], 1);
    EXPECT_EQ(one["notes"][1]["file"], nullptr);
    EXPECT_EQ(one["mends"][0]["edits"][0]["replacement"], "20dC");
    EXPECT_EQ(one["mends"][0]["edits"][0]["column"], 18);
    EXPECT_TRUE(one["mends"][1]["edits"].empty());
    EXPECT_EQ(report["summary"]["errors"], 2);
    EXPECT_EQ(report["summary"]["cautions"], 0);
}

TEST(RenderSarif, ResultsPointIntoTheRules) {
    Page page("x\n");
    page.diagnostics.report(DiagnosticKind::file_unreadable, page.at("x"), "m");
    const json run = page.sarif_run();
    const json& result = run["results"][0];
    const json& rules = run["tool"]["driver"]["rules"];
    EXPECT_EQ(rules.size(), diagnostic_table().size());
    EXPECT_EQ(rules[result["ruleIndex"].get<std::size_t>()]["id"], result["ruleId"]);
    EXPECT_EQ(result["ruleId"], "file-unreadable");
}

TEST(RenderSarif, ColumnsAreUtf16AndLevelsAreItsOwn) {
    Page page("\xF0\x9F\x8F\xBA\xC3\xA9 20C\n");
    page.diagnostics.report(kind, page.at("20C"), "m").level = Level::caution;
    const json run = page.sarif_run();
    EXPECT_EQ(run["columnKind"], "utf16CodeUnits");
    const json& result = run["results"][0];
    EXPECT_EQ(result["level"], "warning");
    const json& region = result["locations"][0]["physicalLocation"]["region"];
    EXPECT_EQ(region["startColumn"], 5);
    EXPECT_EQ(region["endColumn"], 8);
    EXPECT_EQ(region["startLine"], 1);
}

TEST(RenderSarif, PathsBecomeUris) {
    Page page("x\n", "my kiln/a:b%\xC3\xA9.fettle");
    const FileId absolute = page.sources.add("/home/x y.fettle", "y");
    page.diagnostics.report(kind, page.at("x"), "m").note({absolute, 0, 1}, "n");
    const json result = page.sarif_run()["results"][0];
    const json& place = result["locations"][0]["physicalLocation"]["artifactLocation"];
    EXPECT_EQ(place["uri"], "my%20kiln/a%3Ab%25%C3%A9.fettle");
    EXPECT_EQ(place["uriBaseId"], "SRCROOT");
    const json& other = result["relatedLocations"][0]["physicalLocation"]["artifactLocation"];
    EXPECT_EQ(other["uri"], "file:///home/x%20y.fettle");
    EXPECT_FALSE(other.contains("uriBaseId"));
}

TEST(RenderSarif, MendsBecomeFixesAndBracesAreDoubled) {
    Page page("ab\n");
    page.diagnostics.report(kind, page.at("a"), "no {name}")
        .mend("put it in", Span{0, 1, 1}, "{")
        .mend("words only")
        .note("a remark");
    const json result = page.sarif_run()["results"][0];
    EXPECT_EQ(result["message"]["text"], "no {{name}}\nnote: a remark\nmend: words only");
    ASSERT_EQ(result["fixes"].size(), 1U);
    const json& replacement = result["fixes"][0]["artifactChanges"][0]["replacements"][0];
    EXPECT_EQ(replacement["insertedContent"]["text"], "{");
    EXPECT_EQ(replacement["deletedRegion"]["startColumn"], 2);
    EXPECT_EQ(replacement["deletedRegion"]["endColumn"], 2);
}

TEST(RenderSarif, ExplanationsBecomeHelp) {
    const Page page("x");
    const SarifOptions options = {.version = "0.1.0",
                                  .explain = [](std::string_view name) -> std::string_view {
                                      return name == "file-not-found" ? "# Not there" : "";
                                  }};
    const json driver = json::parse(
        render_sarif(page.sources, page.diagnostics, options))["runs"][0]["tool"]["driver"];
    EXPECT_EQ(driver["rules"][0]["help"]["markdown"], "# Not there");
    EXPECT_FALSE(driver["rules"][1].contains("help"));
    EXPECT_EQ(driver["semanticVersion"], "0.1.0");
}

} // namespace
} // namespace fettle
