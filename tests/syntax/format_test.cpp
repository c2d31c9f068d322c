#include "compiler/syntax/format.h"

#include "tests/syntax/syntax_testing.h"

#include <gtest/gtest.h>
#include <random>

namespace {

using namespace fettle;
using fettle::testing::Parsed;

std::vector<std::string> comments_of(const std::string& text) {
    std::vector<std::string> out;
    std::size_t at = 0;
    bool in_text = false;
    while (at < text.size()) {
        if (text.compare(at, 3, "\"\"\"") == 0) {
            at = std::min(text.find("\"\"\"", at + 3), text.size() - 3) + 3;
            continue;
        }
        if (text[at] == '\\' && in_text) {
            at += 2;
            continue;
        }
        if (text[at] == '"')
            in_text = !in_text;
        if (text[at] == '#' && !in_text) {
            std::size_t end = std::min(text.find('\n', at), text.size());
            std::string comment = text.substr(at, end - at);
            while (std::isspace(static_cast<unsigned char>(comment.back())))
                comment.pop_back();
            out.push_back(comment);
            at = end;
            continue;
        }
        ++at;
    }
    return out;
}

// All that formatting must keep.
void check(const std::string& text, const std::string& what) {
    const Parsed before(text);
    ASSERT_TRUE(before.diagnostics.all().empty()) << what << "\n" << before.report();
    const std::string once = format(before.tree);
    const Parsed after(once);
    ASSERT_TRUE(after.diagnostics.all().empty()) << what << "\n" << after.report() << once;
    EXPECT_EQ(dump(before.tree), dump(after.tree)) << what << "\n" << once;
    EXPECT_EQ(format(after.tree), once) << what;
    EXPECT_EQ(comments_of(text), comments_of(once)) << what;
    if (once.find("\"\"\"") != std::string::npos)
        return; // blank lines of a text are kept
    for (std::size_t at = once.find('\n'); at != std::string::npos; at = once.find('\n', at + 1)) {
        EXPECT_NE(once.substr(at, 3), "\n\n\n") << what;
    }
}

TEST(Format, KeepsTreeAndCommentsOfEverySample) {
    for (const std::string& name : fettle::testing::sample_names()) {
        const std::string text = fettle::testing::sample(name);
        ASSERT_FALSE(text.empty()) << name;
        check(text, name);
    }
}

TEST(Format, AlignsFields) {
    const Parsed p("body heron_grey from stoneware {\n"
                   "matures cone 6 # when\n"
                   "   bisque cone   06 to cone 04\n"
                   "thickness 8mm # thin\n\n"
                   "moisture 1%; density 2600kg/metre3 }\n");
    EXPECT_EQ(format(p.tree), "body heron_grey from stoneware {\n"
                              "    matures   cone 6  # when\n"
                              "    bisque    cone 06 to cone 04\n"
                              "    thickness 8mm  # thin\n"
                              "\n"
                              "    moisture 1%\n"
                              "    density  2600kg/metre3\n"
                              "}\n");
}

TEST(Format, LaysOutFirings) {
    const Parsed p("template t(a:Length=5mm,\n b : Body)\n\"Title\" {\n\n\n"
                   "phase a{soak 20m}\n"
                   "phase b {\n ramp to 600C at( 100C/h when a<=10mm otherwise 60C/h ) # up\n"
                   "when a>3mm{soak 5m}\notherwise{soak -x-5m}\n"
                   "follow f ( a , at : 5C )\n\n}\n}\n");
    EXPECT_EQ(format(p.tree),
              "template t(a: Length = 5mm,\n"
              "    b: Body)\n"
              "    \"Title\"\n"
              "{\n"
              "    phase a { soak 20m }\n"
              "    phase b {\n"
              "        ramp to 600C at (100C/h when a <= 10mm otherwise 60C/h)  # up\n"
              "        when a > 3mm { soak 5m } otherwise { soak -x - 5m }\n"
              "        follow f(a, at: 5C)\n"
              "    }\n"
              "}\n");
}

TEST(Format, AlignsCommentsOfNeighbours) {
    const Parsed p("phase a {\nsoak 20m # one\nramp to 600C at full # two\n\nsoak 1m # three\n}\n");
    EXPECT_EQ(format(p.tree), "phase a {\n"
                              "    soak 20m              # one\n"
                              "    ramp to 600C at full  # two\n"
                              "\n"
                              "    soak 1m  # three\n"
                              "}\n");
}

TEST(Format, OpensBlocksThatAreTooLongForALine) {
    const std::string text = "firing a { load { ware mugs { body heron_grey; glaze ash_blue; "
                             "thickness 6.5mm; mass 12.5kg; shelf middle } } }\n";
    const Parsed p(text);
    EXPECT_EQ(format(p.tree),
              "firing a {\n"
              "    load {\n"
              "        ware mugs { body heron_grey; glaze ash_blue; thickness 6.5mm; mass 12.5kg; "
              "shelf middle }\n"
              "    }\n"
              "}\n");
}

TEST(Format, KeepsAnEmptyFileEmpty) {
    EXPECT_EQ(format(Parsed("").tree), "");
    EXPECT_EQ(format(Parsed("\n\n  \n").tree), "");
    EXPECT_EQ(format(Parsed("# only this").tree), "# only this\n");
}

// Blanks, line ends and comments are put in at random where they mean nothing; whatever still
// parses must survive. The seed is fixed, so that a failure comes back.
TEST(Format, SurvivesRandomLayouts) {
    std::mt19937 random(20240607);
    int tried = 0;
    for (int round = 0; round < 120; ++round) {
        for (const std::string& name : fettle::testing::sample_names()) {
            std::string text = fettle::testing::sample(name);
            const std::vector<std::string> pieces = {" ",  "\n", "\n\n\n", "  # c\n", "\n# c\n",
                                                     "\t", ";",  " ;\n",   "\r\n",    "\n    "};
            for (int edit = 0; edit < 1 + round % 5; ++edit) {
                const std::size_t at = random() % text.size();
                if (random() % 3 == 0) {
                    if (text[at] == ' ' || text[at] == '\n')
                        text.erase(at, 1);
                } else {
                    text.insert(at, pieces[random() % pieces.size()]);
                }
            }
            const Parsed p(text);
            if (!p.diagnostics.all().empty())
                continue;
            ++tried;
            check(text, fmt::format("{} in round {}\n{}", name, round, text));
            if (::testing::Test::HasFailure())
                return;
        }
    }
    EXPECT_GT(tried, 100);
}

} // namespace
