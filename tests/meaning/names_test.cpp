// Names: one meaning each, in any order, and no circles.
#include "tests/language/programs.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <regex>

namespace fettle {
namespace {

TEST(Names, the_order_of_declarations_does_not_count) {
    std::vector<std::string> parts = {
        "let top = base + 400dC\n",
        "let base = 600C\n",
        "function gentle(wall: Length) -> Rate = 100C/h when wall <= 10mm otherwise 60C/h\n",
        "body heron_grey from stoneware {\n    thickness 6mm\n}\n",
        "body stoneware {\n    moisture 1%\n}\n",
        "phase rise(wall: Length) {\n    ramp to top at gentle(wall)\n}\n",
        "template bisque(body: Body) {\n    phase climb {\n        follow rise(body.thickness)\n"
        "    }\n}\n",
        "firing mugs = bisque(body: heron_grey)\n"};
    std::sort(parts.begin(), parts.end());
    const std::regex lines("\"line\": *[0-9]+");
    const std::regex hashes("[0-9a-f]{64}");
    std::string first;
    int orders = 0;
    do { // every 211th of the 40 320 orders
        if (orders++ % 211 != 0)
            continue;
        std::string text;
        for (const std::string& part : parts)
            text += part;
        const Checked checked = check_text(text);
        ASSERT_EQ(checked.documents.size(), 1u) << said(checked) << text;
        std::string document = std::regex_replace(checked.documents[0], lines, "\"line\": 0");
        document = std::regex_replace(document, hashes, "");
        if (first.empty())
            first = document;
        ASSERT_EQ(document, first) << text;
    } while (std::next_permutation(parts.begin(), parts.end()));
    EXPECT_NE(first.find("\"mugs\""), std::string::npos);
}

TEST(Names, an_inner_name_ends_with_its_block) {
    EXPECT_EQ(said(check_text(R"(
firing mugs {
    phase one {
        when yes {
            let goal = 600C
            ramp to goal at 100C/h
        }
    }
    phase two {
        let goal = 900C
        ramp to goal at 100C/h
    }
}
)")),
              "");
    const std::string outside = said(check_text(R"(
firing mugs {
    phase one {
        when yes {
            let goal = 600C
            ramp to goal at 100C/h
        }
        ramp to goal at 100C/h
    }
}
)"));
    EXPECT_EQ(outside, "error[unknown-name]: nothing is called `goal` here\n");
}

TEST(Names, none_is_given_a_second_meaning) {
    const auto shadowed = [](const std::string& text) {
        const std::string all = said(check_text(text));
        return all.find("error[shadowed-name]") != std::string::npos;
    };
    EXPECT_TRUE(shadowed("let top = 1000C\nfunction f(top: Temperature) -> Temperature = top\n"));
    EXPECT_TRUE(shadowed("function f(a: Number, a: Number) -> Number = a\n"));
    EXPECT_TRUE(
        shadowed("firing mugs {\n    let top = 600C\n    phase p {\n        let top = 700C\n"
                 "        ramp to top at 100C/h\n    }\n}\n"));
    EXPECT_TRUE(shadowed("firing mugs {\n    let n = 1\n    phase p {\n"
                         "        for each n in [1, 2] { soak 1m * n }\n    }\n}\n"));
    EXPECT_FALSE(shadowed("firing mugs {\n    phase p {\n        for each n in [1, 2] {\n"
                          "            soak 1m * n\n        }\n        for each n in [1, 2] {\n"
                          "            soak 1m * n\n        }\n    }\n}\n"));
}

TEST(Names, words_of_the_language_may_be_names) {
    EXPECT_EQ(said(check_text(R"(
let soak = 20m
let ramp = 100C/h
firing cool {
    phase phase {
        ramp to 600C at ramp
        soak soak
    }
}
)")),
              "");
}

TEST(Names, circles_are_shown) {
    const Checked one = check_text("let a = a + 1\n");
    EXPECT_EQ(said(one), "error[cycle]: `a` needs itself, so it would never end\n");
    const Checked three = check_text("let a = b\nlet b = c + 1\nlet c = a\n");
    ASSERT_EQ(three.diagnostics.all().size(), 1u) << said(three);
    const Diagnostic& cycle = three.diagnostics.all()[0];
    EXPECT_EQ(cycle.message, "these need one another, so none would ever end: a → b → c → a");
    EXPECT_EQ(cycle.notes.size(), 2u);
    EXPECT_EQ(said(check_text("function f(x: Number) -> Number = g(x)\n"
                              "function g(x: Number) -> Number = f(x)\n")),
              "error[cycle]: these need one another, so none would ever end: f → g → f\n");
    EXPECT_EQ(said(check_text("phase a {\n    follow b\n}\nphase b {\n    follow a\n}\n")),
              "error[cycle]: these need one another, so none would ever end: a → b → a\n");
    EXPECT_EQ(said(check_text("body a from b {\n}\nbody b from a {\n}\n")),
              "error[cycle]: these need one another, so none would ever end: a → b → a\n");
}

TEST(Names, one_mistake_gives_one_message) {
    // A constant that is wrong does not make everything that uses it wrong too.
    EXPECT_EQ(said(check_text(R"(
let top = 600C + 20C
let higher = top + 10dC
firing mugs {
    phase bisque {
        ramp to higher at 100C/h
        ramp to top + 50dC at 60C/h
    }
}
)")),
              "error[temperature-plus-temperature]: two temperatures can't be added\n");
}

TEST(Names, unused_ones_are_named) {
    EXPECT_EQ(
        said(check_text("template t(wall: Length) {\n    phase p {\n        soak 1m\n    }\n}\n")),
        "advice[unused-name]: `wall` is not used\n");
    // What fills a slot of the firing is used by the rules.
    EXPECT_EQ(said(check_text("template t(thickness: Length, body: Body) {\n    phase p {\n"
                              "        soak 1m\n    }\n}\n")),
              "");
}

} // namespace
} // namespace fettle
