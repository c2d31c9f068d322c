// Every program of tests/language/wrong and tests/language/right says exactly what is written in
// it. FETTLE_ACCEPT=1 writes what the compiler says into the programs; then read the difference.
#include "compiler/source/edits.h"
#include "tests/language/programs.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>

namespace fettle {
namespace {

const std::string root = FETTLE_SOURCE_DIR "/tests/language/";

std::vector<std::string> programs_in(const std::string& folder) {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(root + folder)) {
        if (entry.path().extension() == ".fettle")
            names.push_back(entry.path().filename().string());
    }
    std::sort(names.begin(), names.end());
    return names;
}

// "missing-unit" of "missing-unit.2.fettle".
std::string diagnostic_of(const std::string& file_name) {
    return file_name.substr(0, file_name.find('.'));
}

// What the compiler says, written in; the lines that this adds move other lines, so twice or more.
std::string settled(std::string text, const std::string& name) {
    for (int round = 0; round < 4; ++round) {
        const auto files = split_files(text, name);
        std::string next = join_files(annotated(files, Checked(files)), name);
        if (next == text)
            return text;
        text = std::move(next);
    }
    return text;
}

std::size_t how_many(const Diagnostics& all, const Diagnostic& like) {
    const auto sorted = all.sorted();
    return static_cast<std::size_t>(std::count_if(sorted.begin(), sorted.end(), [&](const auto& d) {
        return d.kind == like.kind && d.message == like.message;
    }));
}

// The first mend that has edits, carried out: the diagnostic is gone, and no new error came.
void try_mends(const std::vector<ProgramFile>& files, const Checked& checked,
               const std::string& name) {
    const Sources& sources = checked.compilation->sources();
    for (const Diagnostic& diagnostic : checked.diagnostics.sorted()) {
        const auto mend = std::find_if(diagnostic.mends.begin(), diagnostic.mends.end(),
                                       [](const Mend& each) { return !each.edits.empty(); });
        if (mend == diagnostic.mends.end())
            continue;
        std::vector<ProgramFile> mended = files;
        for (ProgramFile& file : mended) {
            for (FileId id = 0; id < sources.size(); ++id) {
                if (sources[id].path() != file.path)
                    continue;
                const auto edited = apply_edits(file.text, id, mend->edits);
                ASSERT_TRUE(edited) << name << ": the edits of `" << mend->text << "` don't fit";
                file.text = *edited;
            }
        }
        const Checked after(mended);
        EXPECT_LT(how_many(after.diagnostics, diagnostic),
                  how_many(checked.diagnostics, diagnostic))
            << name << ": `" << mend->text << "` does not mend: " << diagnostic.message;
        EXPECT_LE(after.diagnostics.count(Level::error), checked.diagnostics.count(Level::error))
            << name << ": `" << mend->text << "` brings new errors:\n"
            << join_files(annotated(mended, after), name);
    }
}

// One line, lower case, no full stop. (What a rule or a `require` says is its author's.)
void check_manner(const Diagnostic& diagnostic) {
    const std::string& message = diagnostic.message;
    EXPECT_EQ(message.find('\n'), std::string::npos) << message;
    if (diagnostic.kind != DiagnosticKind::requirement_failed) {
        EXPECT_NE(message.back(), '.') << message;
    }
    EXPECT_FALSE(message[0] >= 'A' && message[0] <= 'Z') << message;
    for (const Note& note : diagnostic.notes)
        EXPECT_FALSE(note.text.empty());
    for (const Mend& mend : diagnostic.mends) {
        if (diagnostic.kind != DiagnosticKind::broken_rule) {
            EXPECT_NE(mend.text.back(), '.') << mend.text;
        }
    }
}

void check_program_file(const std::string& folder, const std::string& name) {
    const std::string path = root + folder + "/" + name;
    const std::string text = read_text(path);
    const std::string said = settled(text, name);
    if (std::getenv("FETTLE_ACCEPT") != nullptr) {
        if (said != text)
            std::ofstream(path, std::ios::binary) << said;
    } else {
        EXPECT_EQ(text, said) << "to accept: FETTLE_ACCEPT=1 language_test, then review " << path;
    }
    const auto files = split_files(said, name);
    const Checked checked(files);
    const auto all = checked.diagnostics.sorted();
    for (const Diagnostic& each : all)
        check_manner(each);
    if (folder == "wrong") {
        EXPECT_TRUE(std::any_of(
            all.begin(), all.end(),
            [&](const Diagnostic& each) { return entry(each.kind).name == diagnostic_of(name); }))
            << name << " does not report what it is named after";
    } else {
        EXPECT_FALSE(checked.diagnostics.has_errors()) << said;
    }
    try_mends(files, checked, name);
}

class Wrong : public testing::TestWithParam<std::string> {};
class Right : public testing::TestWithParam<std::string> {};

TEST_P(Wrong, program) {
    check_program_file("wrong", GetParam());
}

TEST_P(Right, program) {
    check_program_file("right", GetParam());
}

std::string test_name(const testing::TestParamInfo<std::string>& info) {
    std::string name = info.param.substr(0, info.param.rfind('.'));
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c == '-' || c == '.'; }, '_');
    return name;
}

INSTANTIATE_TEST_SUITE_P(Language, Wrong, testing::ValuesIn(programs_in("wrong")), test_name);
INSTANTIATE_TEST_SUITE_P(Language, Right, testing::ValuesIn(programs_in("right")), test_name);

// What no file of this folder can show: it is made below.
const std::set<std::string_view> made_below = {"file-not-found",   "file-unreadable", "not-text",
                                               "invalid-utf8",     "file-too-large",  "too-deep",
                                               "too-many-mistakes"};

TEST(Language, every_diagnostic_has_a_program) {
    std::set<std::string> have;
    for (const std::string& name : programs_in("wrong"))
        have.insert(diagnostic_of(name));
    for (const DiagnosticEntry& row : diagnostic_table()) {
        EXPECT_TRUE(have.count(std::string(row.name)) != 0 || made_below.count(row.name) != 0)
            << "no tests/language/wrong/" << row.name << ".fettle";
        have.erase(std::string(row.name));
    }
    for (const std::string& name : have)
        ADD_FAILURE() << "tests/language/wrong/" << name << ".fettle is named after no diagnostic";
}

// --- programs that can't stand in a file of text ---

std::string_view only_error(const Checked& checked) {
    if (checked.diagnostics.count(Level::error) != 1)
        return "";
    for (const Diagnostic& each : checked.diagnostics.all()) {
        if (each.level == Level::error)
            return entry(each.kind).name;
    }
    return "";
}

TEST(Language, a_file_that_is_not_there) {
    MemoryFiles files;
    Diagnostics diagnostics;
    const Compilation compilation({"studio/mugs.fettle"}, files, diagnostics, RulesAlwaysOn::off);
    ASSERT_EQ(diagnostics.all().size(), 1u);
    EXPECT_EQ(diagnostics.all()[0].kind, DiagnosticKind::file_not_found);
    EXPECT_EQ(diagnostics.all()[0].message, "there is no file `studio/mugs.fettle`");
}

TEST(Language, a_file_that_cannot_be_read) {
    MemoryFiles files;
    files.problems["mugs.fettle"] = "it is a folder";
    Diagnostics diagnostics;
    const Compilation compilation({"mugs.fettle"}, files, diagnostics, RulesAlwaysOn::off);
    ASSERT_EQ(diagnostics.all().size(), 1u);
    EXPECT_EQ(diagnostics.all()[0].kind, DiagnosticKind::file_unreadable);
    EXPECT_EQ(diagnostics.all()[0].message, "`mugs.fettle` can't be read: it is a folder");
}

TEST(Language, bytes_that_are_no_text) {
    const std::string start = "let top = 1000C\nlet ";
    EXPECT_EQ(only_error(Checked({{"a.fettle", start + std::string(1, '\0') + " = 1\n"}})),
              "not-text");
    EXPECT_EQ(only_error(Checked({{"a.fettle", start + "caf\xE9 = 1\n"}})), "invalid-utf8");
}

TEST(Language, a_file_larger_than_16_MiB) {
    std::string text(16 * 1024 * 1024, '\n');
    EXPECT_FALSE(Checked({{"a.fettle", text}}).diagnostics.has_errors());
    text += '\n';
    EXPECT_EQ(only_error(Checked({{"a.fettle", text}})), "file-too-large");
}

std::string chain(int length) {
    std::string text;
    for (int i = 1; i < length; ++i)
        text += fmt::format("let step_{} = step_{}\n", i, i + 1);
    return text + fmt::format("let step_{} = 20dC\n", length);
}

TEST(Language, constants_that_need_one_another) {
    EXPECT_EQ(said(check_text(chain(400))), "");
    EXPECT_EQ(only_error(check_text(chain(600))), "too-deep");
}

TEST(Language, more_mistakes_than_are_listed) {
    std::string text;
    for (int i = 0; i < 5000; ++i)
        text += "rmap to 600C at 100C/h\n";
    const Checked checked = check_text(text);
    ASSERT_EQ(checked.diagnostics.all().size(), 3001u);
    EXPECT_EQ(entry(checked.diagnostics.all().back().kind).name, "too-many-mistakes");
}

// --- the pages of `fettle explain` ---

const std::string pages = FETTLE_SOURCE_DIR "/compiler/source/explanations/";

class Explanation : public testing::TestWithParam<std::string> {};

TEST_P(Explanation, examples_are_as_said) {
    const std::string name = GetParam();
    const std::string page = read_text(pages + name + ".md");
    ASSERT_FALSE(page.empty()) << "there is no " << pages << name << ".md";
    EXPECT_EQ(page.find('\t'), std::string::npos);
    std::size_t words_before = page.find("Wrong:");
    ASSERT_NE(words_before, std::string::npos) << "a page shows what is wrong below `Wrong:`";
    EXPECT_GT(words_before, 150u) << "a page says what is meant, why, and what to do";
    if (made_below.count(name) != 0)
        return;
    const auto examples = examples_of(page);
    ASSERT_EQ(examples.size(), 2u);
    EXPECT_EQ(examples[0].heading, "Wrong:");
    EXPECT_EQ(examples[1].heading, "Right:");
    const auto wrong_files = split_files(examples[0].text, "example.fettle");
    const Checked wrong(wrong_files);
    bool found = false;
    for (const Diagnostic& each : wrong.diagnostics.sorted()) {
        const bool this_one = entry(each.kind).name == name;
        found = found || this_one;
        EXPECT_TRUE(this_one || each.level != Level::error)
            << join_files(annotated(wrong_files, wrong), "example.fettle");
    }
    EXPECT_TRUE(found) << "the wrong example is not wrong:\n"
                       << join_files(annotated(wrong_files, wrong), "example.fettle");
    const auto right_files = split_files(examples[1].text, "example.fettle");
    const Checked right(right_files);
    for (const Diagnostic& each : right.diagnostics.sorted()) {
        EXPECT_TRUE(each.level != Level::error && entry(each.kind).name != name)
            << "the right example is not right:\n"
            << join_files(annotated(right_files, right), "example.fettle");
    }
}

std::vector<std::string> all_names() {
    std::vector<std::string> names;
    for (const DiagnosticEntry& row : diagnostic_table())
        names.emplace_back(row.name);
    return names;
}

INSTANTIATE_TEST_SUITE_P(Language, Explanation, testing::ValuesIn(all_names()), test_name);

TEST(Language, every_page_is_about_a_diagnostic) {
    const auto names = all_names();
    for (const auto& page : std::filesystem::directory_iterator(pages)) {
        EXPECT_NE(std::find(names.begin(), names.end(), page.path().stem().string()), names.end())
            << page.path() << " is about nothing";
    }
}

} // namespace
} // namespace fettle
