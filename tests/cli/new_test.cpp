// `fettle new`: what it makes is sound, laid out, and never in the place of anything.
#include "tests/cli/program.h"

#include <gtest/gtest.h>

namespace fettle::cli_test {
namespace {

using Names = std::vector<std::string>;

void expect_without_a_message(const Folder& folder, const std::string& what) {
    const Ended report = run(folder, {"check", what, "--report", "json"});
    EXPECT_EQ(report.code, 0);
    EXPECT_TRUE(has(report.out, "\"diagnostics\": []"));
    const Ended layout = run(folder, {"format", "--check", what});
    EXPECT_EQ(layout.code, 0) << layout.out;
}

TEST(new_firing, compiles_without_a_message_and_is_laid_out) {
    const Folder folder;
    const Ended ended = run(folder, {"new", "firing", "mugs"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(folder.list(), Names{"mugs.fettle"});
    expect_without_a_message(folder, "mugs.fettle");
    EXPECT_EQ(run(folder, {"show", "mugs.fettle:mugs"}).code, 0);
    EXPECT_EQ(run(folder, {"build", "mugs.fettle"}).code, 0);
}

TEST(new_firing, is_commented) {
    const Folder folder;
    run(folder, {"new", "firing", "tall_jars"});
    const std::string text = folder.read("tall_jars.fettle");
    EXPECT_TRUE(has(text, "# Tall jars: a bisque"));
    EXPECT_TRUE(has(text, "fettle show tall_jars.fettle"));
    EXPECT_TRUE(has(text, "firing tall_jars \"Tall jars\""));
    EXPECT_TRUE(lacks(text, "my_firing"));
}

TEST(new_firing, names_of_all_lengths_and_scripts_stay_laid_out) {
    const Folder folder;
    for (const std::string name : {"a", "Schüsseln", "素焼き", "my_firing_2",
                                   "a_very_long_name_of_a_firing_for_the_tuesday_class_of_june"}) {
        EXPECT_EQ(run(folder, {"new", "firing", name}).code, 0) << name;
        expect_without_a_message(folder, name + ".fettle");
    }
}

TEST(new_library, compiles_without_a_message_and_proves_its_tests) {
    const Folder folder;
    const Ended ended = run(folder, {"new", "library", "studio"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_EQ(folder.list("studio"),
              (Names{"bodies.fettle", "firings.fettle", "kilns.fettle", "library.fettle",
                     "phases.fettle", "templates.fettle"}));
    expect_without_a_message(folder, "studio");
    const Ended tests = run(folder, {"test", "studio"});
    EXPECT_EQ(tests.code, 0) << tests.out << tests.err;
    EXPECT_TRUE(has(tests.out, "1 of 1 test passed"));
    EXPECT_EQ(run(folder, {"build", "studio"}).code, 0);
    // From inside as well.
    EXPECT_EQ(run(folder, {"check", "studio/firings.fettle"}).code, 0);
}

TEST(new_library, can_be_used_from_a_file_of_it) {
    const Folder folder;
    run(folder, {"new", "library", "studio"});
    folder.write("studio/june.fettle",
                 "use studio.bodies (our_clay)\nuse studio.kilns (our_kiln)\n"
                 "use studio.templates (studio_bisque)\n"
                 "firing june = studio_bisque(body: our_clay, kiln: our_kiln)\n");
    const Ended ended = run(folder, {"check", "studio/june.fettle"});
    EXPECT_EQ(ended.code, 0) << ended.out;
}

TEST(new_anything, what_is_there_is_never_replaced) {
    const Folder folder;
    folder.write("mugs.fettle", "precious");
    folder.write("studio/notes.txt", "precious");
    std::filesystem::create_symlink("nowhere", folder.path("jars.fettle"));
    for (const Words& words : std::vector<Words>{
             {"new", "firing", "mugs"}, {"new", "library", "studio"}, {"new", "firing", "jars"}}) {
        const Ended ended = run(folder, words);
        EXPECT_EQ(ended.code, 3);
        EXPECT_TRUE(has(ended.err, "left alone"));
    }
    EXPECT_EQ(folder.read("mugs.fettle"), "precious");
    EXPECT_EQ(folder.list("studio"), Names{"notes.txt"});
    EXPECT_TRUE(std::filesystem::is_symlink(folder.path("jars.fettle")));
}

TEST(new_anything, a_bad_name_is_refused_with_one_that_works) {
    const Folder folder;
    for (const char* name : {"Mugs, Tuesday", "to", "3_mugs", "../mugs", "mugs.fettle", "a-b", "",
                             "stoneware_mid", "our_clay", "."}) {
        const Ended ended = run(folder, {"new", "firing", name});
        EXPECT_EQ(ended.code, 2) << name;
        const std::string mark = "try `fettle new firing ";
        const std::size_t begin = ended.err.find(mark);
        ASSERT_NE(begin, std::string::npos) << ended.err;
        const std::size_t from = begin + mark.size();
        const std::string instead = ended.err.substr(from, ended.err.find('`', from) - from);
        const Folder another;
        EXPECT_EQ(run(another, {"new", "firing", instead}).code, 0) << instead;
    }
    EXPECT_EQ(folder.list(), Names{});
}

} // namespace
} // namespace fettle::cli_test
