// One mistake, one message, and a tree of the rest.
#include "tests/syntax/syntax_testing.h"

#include "compiler/syntax/format.h"
#include "compiler/syntax/lexical.h"

#include <algorithm>
#include <cstdio>
#include <gtest/gtest.h>

namespace {

using namespace fettle;
using fettle::testing::Parsed;

using Messages = std::vector<std::string>;

// What a tree has of a kind, wherever it stands.
int count_kind(const Tree& tree, NodeKind kind, NodeId id) {
    int found = tree.is(id, kind) ? 1 : 0;
    for (std::uint32_t i = 0; i < tree.count(id); ++i) {
        found += count_kind(tree, kind, tree.child(id, i));
    }
    return found;
}
int count_kind(const Parsed& p, NodeKind kind) {
    return count_kind(p.tree, kind, p.tree.root());
}

struct Case {
    const char* source;
    Messages messages;
};

void expect_messages(const std::vector<Case>& cases) {
    for (const Case& c : cases) {
        const Parsed p(c.source);
        EXPECT_EQ(p.messages(), c.messages) << c.source << "\n" << p.report();
    }
}

// A slip in a step of a phase, and the line as it should be.
struct Slip {
    const char* wrong;
    const char* kind;
    const char* right; // after the mend; null: there is none that can be applied
};

void expect_mended(const std::vector<Slip>& slips, const std::string& before,
                   const std::string& after) {
    for (const Slip& slip : slips) {
        // A right line on either side must not be lost.
        const Parsed p(before + slip.wrong + after);
        const auto line = 1 + std::count(before.begin(), before.end(), '\n');
        EXPECT_EQ(p.messages(), Messages{fmt::format("{}:{}", line, slip.kind)})
            << slip.wrong << "\n"
            << p.report();
        if (slip.right == nullptr)
            continue;
        EXPECT_EQ(p.mended(), before + slip.right + after);
        const Parsed mended(p.mended());
        EXPECT_EQ(mended.messages(), Messages{}) << p.mended();
    }
}

TEST(Recovery, FiveMistakesAreFiveMessages) {
    const Parsed p(R"(use std.bodies (stoneware)

body heron from stoneware {
    matures   cone 6
    thickness 8 mm
}

template bisque(body: Body, kiln: Kiln) "Bisque" {
    phase drying "Drive off the water" {
        sook 2h
        ramp to 120C at 60C/h
    }
    phase burnout {
        ramp 600C at 100C/h
        soak 20m
    }
    phase finish {
        ramp to 1000C at (100C/h when body.thickness < 10mm otherwise 60C/h
        soak 10m
    }
}

firing mugs bisque(body: heron, kiln: loft) "Mugs"

test "one" {
    expect mugs keeps every rule
}
)");
    EXPECT_EQ(p.messages(), (Messages{"5:space-before-unit", "10:unknown-statement",
                                      "14:missing-word", "18:missing-bracket", "23:missing-sign"}))
        << p.report();
    EXPECT_EQ(count_kind(p, NodeKind::phase), 3);
    EXPECT_EQ(count_kind(p, NodeKind::ramp), 3);
    EXPECT_EQ(count_kind(p, NodeKind::soak), 3);
    EXPECT_EQ(count_kind(p, NodeKind::call), 1);
    EXPECT_EQ(count_kind(p, NodeKind::keeps_rules), 1);
    EXPECT_EQ(count_kind(p, NodeKind::error), 1); // 8 mm
    const Parsed mended(p.mended());
    EXPECT_EQ(mended.messages(), Messages{}) << p.mended();
}

TEST(Recovery, SlipsInSteps) {
    expect_mended(
        {
            {"ramp 600C at 100C/h", "missing-word", "ramp to 600C at 100C/h"},
            {"ramp until 600C at 100C/h", "missing-word", "ramp to 600C at 100C/h"},
            {"ramp up to 600C at 100C/h", "missing-word", "ramp to 600C at 100C/h"},
            {"cool down to 600C freely", "missing-word", "cool to 600C freely"},
            {"ramp from 20C to 600C at 100C/h", "needless-word", nullptr},
            {"ramp to 600C", "missing-rate", nullptr},
            {"ramp to 600C freely", "missing-rate", nullptr},
            {"ramp to 600C fast", "missing-rate", nullptr},
            {"cool to 100C", "missing-rate", nullptr},
            {"cool to 100C at full", "missing-rate", nullptr},
            {"ramp to 600C 100C/h", "missing-word", "ramp to 600C at 100C/h"},
            {"ramp to 600C at", "missing-part", nullptr},
            {"ramp to at 100C/h", "missing-part", nullptr},
            {"ramp", "missing-part", nullptr},
            {"soak", "missing-part", nullptr},
            {"soak for 20m", "needless-word", "soak 20m"},
            {"sook 20m", "unknown-statement", "soak 20m"},
            {"hold 20m", "unknown-statement", "soak 20m"},
            {"Soak 20m", "capital-letters", "soak 20m"},
            {"RAMP to 600C at full", "capital-letters", "ramp to 600C at full"},
            {"ramp to 600 C at 100C/h", "space-before-unit", "ramp to 600C at 100C/h"},
            {"soak 20 min", "space-before-unit", "soak 20min"},
            {"ramp to 600C at 100 C/h", "space-before-unit", "ramp to 600C at 100C/h"},
            {"ramp to 600 degrees at full", "space-before-unit", "ramp to 600C at full"},
            {"ramp to 600 deg F at full", "space-before-unit", "ramp to 600F at full"},
            {"ramp to 600C at 100C per h", "space-before-unit", "ramp to 600C at 100C/h"},
            {"ramp to 12,5C at 100C/h", "decimal-comma", "ramp to 12.5C at 100C/h"},
            {"ramp to cone 5,5 at 100C/h", "decimal-comma", "ramp to cone 5.5 at 100C/h"},
            {"ramp to 600ºC at 100C/h", "unusual-sign", "ramp to 600°C at 100C/h"},
            {"ramp by –5dC at 100C/h", "unusual-sign", "ramp by -5dC at 100C/h"},
            {"ramp to 600C − 20dC at full", "unusual-sign", "ramp to 600C - 20dC at full"},
            {"ramp to cone6 at 100C/h", "cone-without-space", "ramp to cone 6 at 100C/h"},
            {"ramp to cone 6C at 100C/h", "cone-with-unit", "ramp to cone 6 at 100C/h"},
            {"ramp to 06 at 100C/h", "leading-zero", "ramp to cone 06 at 100C/h"},
            {"soak 1h 30m", "left-over", "soak 1h30m"},
            {"soak 1.5.2", "two-decimal-points", nullptr},
            {"soak 20m.", "left-over", "soak 20m"},
            {"note \"x\".", "left-over", "note \"x\""},
            {"ramp to 1,222C at full", "decimal-comma", "ramp to 1222C at full"},
            {"ramp to 1 222C at full", "space-before-unit", "ramp to 1222C at full"},
            {"soak 1 hour 30 minutes", "space-before-unit", "soak 1h30m"},
            {"ramp to ^6 at 100C/h", "unusual-sign", "ramp to cone 6 at 100C/h"},
            {"ramp to Cone 6 at 100C/h", "capital-letters", "ramp to cone 6 at 100C/h"},
            {"ramp to cone-6 at 100C/h", "cone-without-space", "ramp to cone 6 at 100C/h"},
            {"cool to 100C naturally", "missing-rate", "cool to 100C freely"},
            {"cool freely to 100C", "missing-word", nullptr},
            {"ramp 100C/h to 600C", "missing-word", nullptr},
            {"ramp ramp to 600C at full", "left-over", "ramp to 600C at full"},
            {"ramp to 600C in 2h", "missing-rate", "ramp to 600C over 2h"},
            {"ramp to 600C at full wth soak 5m", "left-over", "ramp to 600C at full with soak 5m"},
            {"soak 20m waiting witin 5dC", "missing-word", "soak 20m waiting within 5dC"},
            {"let rate = 5C/h when x else 6C/h", "unusual-sign",
             "let rate = 5C/h when x otherwise 6C/h"},
            {"when x > 3mm: soak 5m", "missing-opening-brace", nullptr},
            {"ramp to 600C at 100C/h when a > 3mm otherwise 20C/h", "needs-brackets",
             "ramp to 600C at (100C/h when a > 3mm otherwise 20C/h)"},
            {"ramp to 600C at 100C/h with 20m", "missing-word",
             "ramp to 600C at 100C/h with soak 20m"},
            {"ramp to 600C at 100C/h waiting 5C", "missing-word",
             "ramp to 600C at 100C/h waiting within 5C"},
            {"ramp to 600C at 100C/h for 20m", "left-over", "ramp to 600C at 100C/h with soak 20m"},
            {"soak 20m soak 30m", "two-on-one-line", "soak 20m; soak 30m"},
            {"repeat 3 { soak 5m }", "missing-word", "repeat 3 times { soak 5m }"},
            {"for x in [1C] { soak 5m }", "missing-word", "for each x in [1C] { soak 5m }"},
            {"for each x of [1C] { soak 5m }", "missing-word", "for each x in [1C] { soak 5m }"},
            {"if a > 3mm { soak 5m }", "unknown-statement", "when a > 3mm { soak 5m }"},
            {"when a > 3mm { soak 5m } else { soak 6m }", "unusual-sign",
             "when a > 3mm { soak 5m } otherwise { soak 6m }"},
            {"when a > { soak 5m }", "missing-part", nullptr},
            {"when { soak 5m }", "missing-part", nullptr},
            {"require a && b", "unusual-sign", "require a and b"},
            {"require a || b", "unusual-sign", "require a or b"},
            {"require a == b", "unusual-sign", "require a is b"},
            {"require a != b", "unusual-sign", "require a is not b"},
            {"require !a", "unusual-sign", "require not a"},
            {"require a ≤ b", "unusual-sign", "require a <= b"},
            {"require 1 < a < 3", "comparison-chain", "require 1 < a and a < 3"},
            {"// nothing", "unusual-comment", "# nothing"},
            {"soak 5m // nothing", "unusual-comment", "soak 5m # nothing"},
            {"/* nothing */", "unusual-comment", nullptr},
            {"note “curly”", "unusual-quotes", "note \"curly\""},
            {"note \"missing", "missing-quote", "note \"missing\""},
            {"note missing", "missing-text", "note \"missing\""},
            {"note 'single'", "missing-text", "note \"single\""},
            {"note \"bad \\q escape\"", "unknown-escape", "note \"bad \\\\q escape\""},
            {"note \"up to {top\"", "missing-bracket", "note \"up to {top}\""},
            {"vent = open", "needless-sign", "vent open"},
            {"vent", "missing-part", nullptr},
            {"set damper", "missing-part", nullptr},
            {"let x 5", "missing-sign", "let x = 5"},
            {"let x: 5", "missing-sign", "let x = 5"},
            {"let x := 5", "missing-sign", "let x = 5"},
            {"let to = 5", "reserved-name", nullptr},
            {"let x = .5", "missing-part", "let x = 0.5"},
            {"let x = 5 +", "missing-part", nullptr},
            {"let x = (5 + 3", "missing-bracket", "let x = (5 + 3)"},
            {"let x = ((5 + 3", "missing-bracket", nullptr},
            {"let x = 5)", "stray-bracket", "let x = 5"},
            {"let x = [1, 2", "missing-bracket", "let x = [1, 2]"},
            {"let x = a when b", "missing-word", nullptr},
            {"follow f(a b)", "missing-bracket", nullptr},
            {"follow f(a, , b)", "missing-part", nullptr},
            {"follow", "missing-part", nullptr},
            {"confirm \"no\"", "statement-elsewhere", nullptr},
            {"phase b { soak 5m }", "nested-phase", nullptr},
            {"gibberish with words 5C {", "unknown-statement", nullptr},
            {"$%&", "unknown-statement", nullptr},
        },
        "phase a {\n    soak 1m\n    ", "\n    soak 2m\n}\n");
}

TEST(Recovery, TheLineWithTheMistakeAloneIsLost) {
    for (const char* wrong : {"ramp to", "soak ((((", "vent )", "let x = [1, 2", "note \"open",
                              "follow f(a,", "when", "{", "5", "ramp to 600C at 5C/h {"}) {
        const Parsed p(fmt::format("phase a {{\n    soak 1m\n    {}\n    cool to 5C freely\n}}\n"
                                   "firing b = t()\n",
                                   wrong));
        EXPECT_EQ(count_kind(p, NodeKind::cool), 1) << wrong << "\n" << p.report();
        EXPECT_EQ(count_kind(p, NodeKind::firing), 1) << wrong << "\n" << p.report();
        EXPECT_EQ(p.diagnostics.all().size(), 1U) << wrong << "\n" << p.report();
    }
}

TEST(Recovery, SlipsInProfiles) {
    expect_mended(
        {
            {"thickness = 8mm", "needless-sign", "thickness 8mm"},
            {"thickness: 8mm", "needless-sign", "thickness 8mm"},
            {"thickness", "missing-part", nullptr},
            {"thickness 8 mm", "space-before-unit", "thickness 8mm"},
            {"moisture 1,5%", "decimal-comma", "moisture 1.5%"},
            {"moisture 1% density 2kg/metre3", "two-on-one-line",
             "moisture 1%; density 2kg/metre3"},
            {"moisture 1%, density 2kg/metre3", "left-over", "moisture 1%; density 2kg/metre3"},
            {"limit climb 5C/h", "missing-part", nullptr},
            {"Limit rise 5C/h", "capital-letters", "limit rise 5C/h"},
            {"limt rise 5C/h", "unknown-statement", "limit rise 5C/h"},
            {"limit rise 5C/h beteen 5C and 6C", "left-over", "limit rise 5C/h between 5C and 6C"},
            {"analysis SiO2 60% Al2O3 20%", "missing-sign", "analysis SiO2 60%, Al2O3 20%"},
            {"limit rise 5C/h between 5C to 6C", "missing-word",
             "limit rise 5C/h between 5C and 6C"},
            {"lining 5mm brick", "missing-word", "lining 5mm of brick"},
            {"start_delay 5h", "missing-word", nullptr},
            {"thickness 8mm when a otherwise 5mm", "needs-brackets",
             "thickness (8mm when a otherwise 5mm)"},
        },
        "body a {\n    matures cone 6\n    ", "\n    bisque cone 06 to cone 04\n}\n");
}

TEST(Recovery, SlipsInFirings) {
    expect_mended(
        {
            {"start 20C", "missing-part", nullptr},
            {"confirm Bone dry", "missing-text", "confirm \"Bone dry\""},
            {"allow quartz", "waiver-without-reason", "allow quartz because \"...\""},
            {"alow quartz because \"x\"", "unknown-statement", "allow quartz because \"x\""},
            {"accept { peak 6C }", "missing-word", "accept { peak within 6C }"},
            {"accept { peek within 6C }", "unknown-statement", "accept { peak within 6C }"},
            {"simplify 5C", "missing-word", "simplify within 5C"},
            {"ramp to 600C at full", "step-outside-phase", nullptr},
            {"ramp to 600C at full\n    soak 5m\n    cool to 5C freely", "step-outside-phase",
             nullptr},
            {"Phase b { soak 5m }", "capital-letters", "phase b { soak 5m }"},
            {"phase b soak 5m", "missing-opening-brace", nullptr},
            {"phase { soak 5m }", "missing-part", nullptr},
            {"phase b(x: Length) { soak 5m }", "missing-opening-brace", nullptr},
            {"ware mugs { thickness 6mm, mass 12kg }", "left-over",
             "ware mugs { thickness 6mm; mass 12kg }"},
            {"load { mugs { thickness 5mm } }", "unknown-statement", nullptr},
            {"rule x { check a }", "statement-elsewhere", nullptr},
        },
        "firing a {\n    start at 20C\n    ", "\n    phase z { soak 1m }\n}\n");
}

TEST(Recovery, SlipsInDeclarations) {
    expect_mended(
        {
            {"firing a t(body: x)", "missing-sign", "firing a = t(body: x)"},
            {"firing a = t(body: x", "missing-bracket", "firing a = t(body: x)"},
            {"firing a = t(body: )", "missing-part", nullptr},
            {"firing a =", "missing-part", nullptr},
            {"firng a = t()", "unknown-statement", "firing a = t()"},
            {"program a = t()", "unknown-statement", "firing a = t()"},
            {"Firing a = t()", "capital-letters", "firing a = t()"},
            {"bdy a { thickness 5mm }", "unknown-statement", "body a { thickness 5mm }"},
            {"body { thickness 5mm }", "missing-part", nullptr},
            {"body to { thickness 5mm }", "reserved-name", nullptr},
            {"body a", "missing-opening-brace", nullptr},
            {"use", "missing-part", nullptr},
            {"use a.", "missing-part", nullptr},
            {"use a (b", "missing-bracket", "use a (b)"},
            {"import a.b", "unknown-statement", "use a.b"},
            {"template t(body) { phase a { soak 5m } }", "missing-sign", nullptr},
            {"template t(a Length) { phase a { soak 5m } }", "missing-sign",
             "template t(a: Length) { phase a { soak 5m } }"},
            {"function f(a: Length) Rate = 5C/h", "missing-sign",
             "function f(a: Length) -> Rate = 5C/h"},
            {"function f(a: Length) -> Rate 5C/h", "missing-sign",
             "function f(a: Length) -> Rate = 5C/h"},
            {"memory m loft { 1 mugs }", "missing-word", "memory m for loft { 1 mugs }"},
            {"rule r { applies body.x > 5% }", "missing-word",
             "rule r { applies when body.x > 5% }"},
            {"test { expect a }", "missing-text", nullptr},
            {"test \"x\" { expct a keeps every rule }", "unknown-statement",
             "test \"x\" { expect a keeps every rule }"},
            {"glaze g { recipe { feldspar 40, silica 30, whiting 20 } }", "left-over",
             "glaze g { recipe { feldspar 40; silica 30; whiting 20 } }"},
            {"ramp to 600C at full", "outside-block", nullptr},
            {"gibberish", "unknown-statement", nullptr},
            {"{ soak 5m }", "stray-brace", nullptr},
            {"}", "stray-brace", ""},
        },
        "let first = 1\n", "\nlet last = 2\n");
}

TEST(Recovery, MissingBraces) {
    expect_messages({
        {"template t() {\n    phase a {\n        soak 1m\n    phase b {\n        soak 2m\n    "
         "}\n}\n"
         "firing x = t()\n",
         {"2:missing-brace"}},
        {"template t() {\n    phase a {\n        soak 1m\n    }\n    phase b {\n        soak 2m\n"
         "    }\nfiring x = t()\nfiring y = t()\n",
         {"1:missing-brace"}},
        {"template t() {\n    phase a {\n        when x {\n            soak 1m\n        soak 2m\n"
         "    }\n    phase b {\n        soak 2m\n    }\n}\nfiring x = t()\n",
         {"3:missing-brace"}},
        {"body a {\n    thickness 5mm\nkiln b {\n    power 9kW\n}\n", {"1:missing-brace"}},
        {"phase a {\n    soak 5m\n", {"1:missing-brace"}},
        {"firing a {\n    load {\n        ware b {\n            mass 5kg\n", {"3:missing-brace"}},
        // One too many
        {"template t() {\n    phase a {\n        soak 1m\n    }\n    }\n    require x\n"
         "    confirm \"a\"\n}\nfiring x = t()\n",
         {"6:outside-block"}},
        // The opening one
        {"template t()\n    phase a {\n        soak 5m\n    }\n}\nfiring x = t()\n",
         {"1:missing-opening-brace"}},
        {"template t() {\n    phase a\n        soak 5m\n        soak 6m\n    }\n}\n",
         {"2:missing-opening-brace"}},
        {"phase a {\n    when x > 3mm\n        soak 5m\n    }\n    soak 6m\n}\n",
         {"2:missing-opening-brace"}},
        // A quote takes the brace along
        {"phase a \"Drive off the water {\n    soak 5m\n}\nfiring x = t()\n", {"1:missing-quote"}},
    });
}

// Whatever the layout, what is right stays right.
TEST(Recovery, UnusualLayoutIsNoMistake) {
    expect_messages({
        {"template t() {\nrequire a\nphase a {\nsoak 5m\nlet b = 5\n}\nlet c = 5\n}\n", {}},
        {"firing t {\nbody heron\nkiln loft\nphase a { soak 5m } }\n", {}},
        {"template t() {\n    phase a {\n        soak 5m\n} }\nfiring x = t()\n", {}},
        {"template t() { require a\nphase a { soak 5m }\n}\n", {}},
        {"phase cool { soak 5m } ; phase soak { cool to 5C freely } phase phase { soak soak }\n",
         {}},
        {"kiln a { controller b\ncontrol damper one of shut,\n half\nvolume 5L }\n", {}},
        {"let a = 5 +\n\n# comment\n  6\nlet b = f(\n1\n,\n2\n)\nlet c =\n 5\n", {}},
        {"phase a\n\n# comment\n\"title\"\n\n{\nsoak\n5m\n}\n", {}},
        {"phase a {\nwhen b { soak 5m }\n\n\notherwise { soak 6m }\n}\n", {}},
        {"let a = b when c\notherwise d\n", {}},
        {"let cone6 = 5C\nlet b = cone6 + 5dC\n", {}},
        {"let in_use = 5\nlet yes_but = in_use\nlet is_on = not_off\n", {}},
        {"test \"x\" { expect a.to.at(to: 5, at: 6) is not or_else }\n", {}},
    });
}

TEST(Recovery, ManyMistakesManyMessages) {
    std::string text;
    for (int i = 0; i < 1000; ++i) {
        text += fmt::format("phase a{} {{\n    soak 5m\n    sook 6m\n    ramp to\n}}\n", i);
    }
    const Parsed p(text);
    EXPECT_EQ(p.diagnostics.all().size(), 2000U);
    EXPECT_EQ(count_kind(p, NodeKind::phase), 1000);
    EXPECT_EQ(count_kind(p, NodeKind::soak), 2000);
}

TEST(Recovery, MessagesHaveALimit) {
    std::string text;
    for (int i = 0; i < 10000; ++i)
        text += "gibberish\n";
    const Parsed p(text + "let a = 5\n");
    EXPECT_EQ(p.diagnostics.all().size(), 3001U);
    EXPECT_EQ(p.messages().back(), "3001:too-many-mistakes");
    EXPECT_EQ(count_kind(p, NodeKind::let), 1);
    const Parsed long_word("x " + std::string(100000, 'y') + "\n" + std::string(100000, 'z') +
                           "\n");
    for (const Diagnostic& d : long_word.diagnostics.all())
        EXPECT_LT(d.message.size(), 500U);
}

// The tokens of a text, comments left out: where they start, how long they are.
std::vector<std::pair<std::size_t, std::size_t>> tokens_of(const std::string& text) {
    std::vector<std::pair<std::size_t, std::size_t>> out;
    for (std::size_t at = 0; at < text.size();) {
        const char* const p = text.c_str() + at;
        std::size_t length = 1;
        if (*p == '#') {
            at = std::min(text.find('\n', at), text.size());
            continue;
        }
        if (std::isspace(static_cast<unsigned char>(*p))) {
            ++at;
            continue;
        }
        if (text.compare(at, 3, "\"\"\"") == 0) {
            length = text.find("\"\"\"", at + 3) + 3 - at;
        } else if (*p == '"') {
            while (p[length] != '"')
                length += p[length] == '\\' ? 2 : 1;
            ++length;
        } else if (!lexical::word_at(p).empty()) {
            length = lexical::word_at(p).size();
        } else if (lexical::literal_at(p).length != 0) {
            length = lexical::literal_at(p).length;
        }
        out.emplace_back(at, length);
        at += length;
    }
    return out;
}

// How many of the texts that `change` makes, one for each token, give more than one message.
template <typename Change> int echoes(const Change& change) {
    int count = 0;
    for (const char* name : {"every_construct.fettle", "dense.fettle", "comments.fettle"}) {
        // In the one layout, so that what is left out leaves no two words as one.
        const std::string text = format(Parsed(fettle::testing::sample(name)).tree);
        const auto tokens = tokens_of(text);
        EXPECT_GT(tokens.size(), 100U);
        for (const auto& [at, length] : tokens) {
            std::string changed = text;
            change(changed, at, length);
            const Parsed p(changed);
            if (p.diagnostics.all().size() <= 1)
                continue;
            ++count;
            const Place place = p.source.place(static_cast<std::uint32_t>(at));
            std::fprintf(stderr, "%s line %u, `%s`:\n%s", name, place.line,
                         text.substr(at, length).c_str(), p.report().c_str());
        }
    }
    return count;
}

TEST(Recovery, AnyTokenLeftOutIsOneMessageAtMost) {
    EXPECT_EQ(echoes([](std::string& text, std::size_t at, std::size_t length) {
                  text.erase(at, length);
              }),
              0);
}

TEST(Recovery, AnyWordMisspeltIsOneMessageAtMost) {
    EXPECT_LE(echoes([](std::string& text, std::size_t at, std::size_t length) {
                  const bool ascii = static_cast<unsigned char>(text[at + length / 2]) < 0x80;
                  if (length >= 3 && text[at] != '"' && ascii)
                      text.erase(at + length / 2, 1);
              }),
              1); // `becuse` at the start of a line
}

TEST(Recovery, AnyTokenWrittenTwiceIsSeldomMoreThanOneMessage) {
    EXPECT_LE(echoes([](std::string& text, std::size_t at, std::size_t length) {
                  text.insert(at + length, " " + text.substr(at, length));
              }),
              8);
}

} // namespace
