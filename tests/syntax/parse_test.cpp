#include "compiler/syntax/parse.h"

#include "tests/syntax/syntax_testing.h"

#include <gtest/gtest.h>

namespace {

using namespace fettle;
using fettle::testing::Parsed;
using Messages = std::vector<std::string>;

// The dump of the expression in `let x = ...`, in one line.
std::string expression(const std::string& source) {
    const Parsed p("let x = " + source + "\n");
    EXPECT_TRUE(p.diagnostics.all().empty()) << source << "\n" << p.report();
    const Tree& t = p.tree;
    const NodeId let = t.child(t.root(), 0);
    std::string out;
    const auto print = [&](const auto& self, NodeId id) -> void {
        const Node& n = t[id];
        if (n.count == 0) {
            out += n.kind == NodeKind::absent ? "_" : std::string(t.source(id));
            return;
        }
        out += '(';
        out += n.kind == NodeKind::binary ? to_string(static_cast<BinaryOp>(n.flag))
                                          : to_string(n.kind);
        for (std::uint32_t i = 0; i < n.count; ++i) {
            out += ' ';
            self(self, t.child(id, i));
        }
        out += ')';
    };
    print(print, t.child(let, 1));
    return out;
}

TEST(Parse, Literals) {
    for (const char* literal :
         {"12",       "12.5", "0.5",   "0",     "600C", "600°C",         "100C/h",
          "2C/min",   "20m",  "1h30m", "8mm",   "1.2%", "2600kg/metre3", "0.31/kWh",
          "-5C",      "-5",   "22:30", "06:00", "7ft3", "0.3in",         "0.3W/metre/K",
          "5.5ppm/K", "20dC", "2½h",   "20µm"}) {
        EXPECT_EQ(expression(literal), literal);
    }
    EXPECT_EQ(expression("cone 6"), "cone 6");
    EXPECT_EQ(expression("cone 06"), "cone 06");
    EXPECT_EQ(expression("cone 5½"), "cone 5½");
    EXPECT_EQ(expression("cone 05.5"), "cone 05.5");
    EXPECT_EQ(expression("cone"), "cone");
    EXPECT_EQ(expression("yes"), "yes");
    const Parsed p("let x = [1, 1C, 1:00, 10:00, cone 1, yes, no, yesterday]\n");
    EXPECT_EQ(dump(p.tree), "file\n  let\n    word `x`\n    list_literal\n      number `1`\n"
                            "      quantity `1C`\n      clock `1:00`\n      clock `10:00`\n"
                            "      cone `cone 1`\n      yes\n      no\n      name `yesterday`\n");
}

TEST(Parse, MinusBelongsToALiteralOnlyWhereAnOperandIsExpected) {
    EXPECT_EQ(expression("a -5C"), "(- a 5C)");
    EXPECT_EQ(expression("a - -5C"), "(- a -5C)");
    EXPECT_EQ(expression("2*-3"), "(* 2 -3)");
    EXPECT_EQ(expression("- 5C"), "(negate 5C)");
    EXPECT_EQ(expression("-a.b"), "(negate (field_access a b))");
    EXPECT_EQ(expression("-(a)"), "(negate (paren a))");
    EXPECT_EQ(expression("600C-20dC"), "(- 600C 20dC)");
}

TEST(Parse, AUnitIsGluedLongestMatch) {
    EXPECT_EQ(expression("10C / h"), "(/ 10C h)");
    EXPECT_EQ(expression("10C/h/2"), "(/ 10C/h 2)");
    EXPECT_EQ(expression("(600C - 20C)/2h"), "(/ (paren (- 600C 20C)) 2h)");
    EXPECT_EQ(expression("5 * 3"), "(* 5 3)");
}

TEST(Parse, Precedence) {
    EXPECT_EQ(expression("a + b * c - d / e"), "(- (+ a (* b c)) (/ d e))");
    EXPECT_EQ(expression("a or b and not c is d + e"), "(or a (and b (not (is c (+ d e)))))");
    EXPECT_EQ(expression("a when b otherwise c when d otherwise e"),
              "(conditional a b (conditional c d e))");
    EXPECT_EQ(expression("a or b when c or d otherwise e or f"),
              "(conditional (or a b) (or c d) (or e f))");
    EXPECT_EQ(expression("a is not b"), "(is not a b)");
    EXPECT_EQ(expression("a < b and c >= d"), "(and (< a b) (>= c d))");
    EXPECT_EQ(expression("1C to 2C + 3dC"), "(range 1C (+ 2C 3dC))");
    EXPECT_EQ(expression("a within 1C to 2C or b"), "(or (within_range a (range 1C 2C)) b)");
    EXPECT_EQ(expression("a within 5dC of b + 1dC and c"), "(and (within_of a 5dC (+ b 1dC)) c)");
    EXPECT_EQ(expression("a within r"), "(within_range a r)");
    EXPECT_EQ(expression("f keeps every rule and g breaks r"),
              "(and (keeps_rules f) (breaks_rule g r))");
    EXPECT_EQ(expression("a.b(c, d: e).f"),
              "(field_access (call (field_access a b) (argument _ c) (argument d e)) f)");
    EXPECT_EQ(expression("f()"), "(call f)");
    EXPECT_EQ(expression("f (a)"), "(call f (argument _ a))");
    EXPECT_EQ(expression("f(at: 5, to: 6)"), "(call f (argument at 5) (argument to 6))");
    EXPECT_EQ(expression("[a, [b], ]"), "(list_literal a (list_literal b))");
}

TEST(Parse, Text) {
    EXPECT_EQ(expression("\"a {b + 1} c\""), "(text a  (+ b 1)  c)");
    EXPECT_EQ(expression("\"{a}{b}\""), "(text a b)");
    EXPECT_EQ(expression("\"a \\\"b\\\" \\{c} \\\\\""), "(text a \\\"b\\\" \\{c} \\\\)");
    EXPECT_EQ(expression("\"a {f(\"b {c}\")} d\""),
              "(text a  (call f (argument _ (text b  c)))  d)");
    EXPECT_EQ(expression("\"\"\"a\n\"b\" {c}\"\"\""), "(text a\n\"b\"  c)");
    const Parsed empty("let x = \"\"\n");
    const Node& text = empty.tree[empty.tree.child(empty.tree.child(empty.tree.root(), 0), 1)];
    EXPECT_EQ(text.kind, NodeKind::text);
    EXPECT_EQ(text.count, 0U);
    EXPECT_EQ(text.flag, 0U);
}

TEST(Parse, NewlinesEndAStatementWhereTheReferenceSaysSo) {
    EXPECT_EQ(expression("a +\n\n  # comment\n b"), "(+ a b)");
    EXPECT_EQ(expression("\n a"), "a");
    EXPECT_EQ(expression("(a\n + b\n)"), "(paren (+ a b))");
    EXPECT_EQ(expression("[a\n,\nb]"), "(list_literal a b)");
    EXPECT_EQ(expression("a when\n b\n otherwise\n c"), "(conditional a b c)");
    EXPECT_EQ(Parsed("let x = a\n+ b\n").messages(), Messages{"2:unknown-statement"});
    EXPECT_EQ(Parsed("phase a\n\n\"t\"\n{\nsoak\n5m\n}\n").messages(), Messages{});
    EXPECT_EQ(Parsed("let a = 5; let b = 6\n").messages(), Messages{});
    EXPECT_EQ(Parsed("phase a { soak 5m }\n").messages(), Messages{});
}

// A part that was left out is an `absent` node, so that child N always means the same.
TEST(Parse, ChildrenStandWhereTheTreeSaysSo) {
    const Parsed p(
        "phase a { ramp to 5C at 1C/h waiting within 2C; cool to 1C freely; soak 5m }\n");
    const Tree& t = p.tree;
    const NodeId phase = t.child(t.root(), 0);
    ASSERT_EQ(t.count(phase), 5U);
    EXPECT_TRUE(t.is(t.child(phase, 1), NodeKind::absent));
    EXPECT_TRUE(t.is(t.child(phase, 3), NodeKind::absent));
    const NodeId block = t.child(phase, 4);
    ASSERT_EQ(t.count(block), 3U);
    const NodeId ramp = t.child(block, 0);
    EXPECT_EQ(t.source(ramp), "ramp to 5C at 1C/h waiting within 2C");
    ASSERT_EQ(t.count(ramp), 4U);
    EXPECT_TRUE(t.is(t.child(ramp, 1), NodeKind::at_rate));
    EXPECT_EQ(t.source(t.child(ramp, 1)), "at 1C/h");
    EXPECT_TRUE(t.is(t.child(ramp, 2), NodeKind::absent));
    EXPECT_EQ(t.source(t.child(ramp, 3)), "2C");
    EXPECT_EQ(t.source(t.child(block, 1)), "cool to 1C freely");
    EXPECT_EQ(t.source(block),
              "{ ramp to 5C at 1C/h waiting within 2C; cool to 1C freely; soak 5m }");
    EXPECT_EQ(t.source(phase), t.text.substr(0, t.text.size() - 1));
}

TEST(Parse, EveryConstructHasItsPlace) {
    const Parsed p(fettle::testing::sample("every_construct.fettle"));
    EXPECT_EQ(p.messages(), Messages{});
    const std::string tree = dump(p.tree);
    for (int k = static_cast<int>(NodeKind::word); k <= static_cast<int>(NodeKind::expect); ++k) {
        const auto kind = static_cast<NodeKind>(k);
        bool found = false;
        for (const Node& n : p.tree.nodes)
            found = found || n.kind == kind;
        EXPECT_TRUE(found) << to_string(kind);
    }
    EXPECT_EQ(tree.find("error"), std::string::npos);
}

TEST(Parse, NamesInEveryScript) {
    EXPECT_EQ(Parsed("let größe = 5mm\nlet 高さ = größe\nlet температура_2 = 5C\nlet ऊँचाई = 5\n")
                  .messages(),
              Messages{});
    EXPECT_EQ(Parsed("let 😀 = 5\n").messages(), Messages{"1:missing-part"});
}

TEST(Parse, FilesThatAreOdd) {
    const auto tree_of = [](const Parsed& p) { return dump(p.tree); };
    const Parsed empty("");
    EXPECT_EQ(empty.messages(), Messages{});
    EXPECT_EQ(tree_of(empty), "file\n");
    EXPECT_EQ(Parsed("\n\n# only a comment").messages(), Messages{});
    const Parsed mark("\xEF\xBB\xBFlet a = 5");
    EXPECT_EQ(mark.messages(), Messages{});
    EXPECT_EQ(mark.tree[mark.tree.child(mark.tree.root(), 0)].begin, 3U);
    EXPECT_EQ(Parsed("phase a {\r\n\tsoak 5m\r\n\tramp to\r\n\t600C at full\r\n}\r\n").messages(),
              Messages{});
    EXPECT_EQ(Parsed("let a\xC2\xA0=\xC2\xA0"
                     "5\n")
                  .messages(),
              Messages{}); // no-break spaces
    const Parsed binary(std::string("\x7F"
                                    "ELF\0\1\2 let",
                                    12));
    EXPECT_EQ(binary.messages(), Messages{"1:not-text"});
    EXPECT_EQ(tree_of(binary), "file\n");
    // Latin-1
    EXPECT_EQ(Parsed("let gr\xF6\xDF"
                     "e = 5\nlet b = gr\xF6\xDF"
                     "e # \xE9\n")
                  .messages(),
              Messages{"1:invalid-utf8"});
}

TEST(Parse, RefusesLargeFiles) {
    std::string text(std::size_t{16} << 20U, '\n');
    const Parsed whole(text);
    EXPECT_EQ(whole.messages(), Messages{});
    const Parsed larger(text + "\n");
    EXPECT_EQ(larger.messages(), Messages{"1:file-too-large"});
    EXPECT_EQ(dump(larger.tree), "file\n");
}

std::string repeated(const std::string& what, int times) {
    std::string out;
    for (int i = 0; i < times; ++i)
        out += what;
    return out;
}

TEST(Parse, NestingHasALimit) {
    const auto brackets = [](int n) {
        return "let a = " + repeated("(", n) + "5" + repeated(")", n) + "\nlet b = 5\n";
    };
    EXPECT_EQ(Parsed(brackets(64)).messages(), Messages{});
    EXPECT_EQ(Parsed(brackets(65)).messages(), Messages{"1:too-deeply-nested"});
    const Parsed many(brackets(10000));
    EXPECT_EQ(many.messages(), Messages{"1:too-deeply-nested"});
    EXPECT_EQ(many.tree.count(many.tree.root()), 2U);
    EXPECT_NE(many.report().find("64"), std::string::npos);

    for (const std::string open :
         {"(", "[", "f(", "-", "not ", "\"{", "x when y otherwise ", "a.b(c: ", "[(", "x(1, "}) {
        const Parsed p("let a = " + repeated(open, 10000) + "\nlet b = 5\n");
        EXPECT_GE(p.diagnostics.all().size(), 1U) << open;
        EXPECT_LE(p.diagnostics.all().size(), 2U) << open << p.report();
        EXPECT_GE(p.tree.count(p.tree.root()), 2U) << open;
    }
    const Parsed blocks("phase a {\n" + repeated("when x {\n", 10000) + repeated("}\n", 10000) +
                        "}\nlet b = 5\n");
    EXPECT_EQ(blocks.messages(), Messages{"65:too-deeply-nested"});
    const Parsed open("phase a {\n" + repeated("when x {\n", 10000));
    EXPECT_EQ(open.messages(), Messages{"65:too-deeply-nested"});
    const Parsed chain("phase a {\nwhen x { soak 5m } " +
                       repeated("otherwise when x { soak 5m } ", 10000) + "\n}\nlet b = 5\n");
    EXPECT_EQ(chain.messages(), Messages{"2:too-deeply-nested"});
}

TEST(Parse, OperatorsInARowHaveALimit) {
    EXPECT_EQ(Parsed("let a = 1" + repeated(" + 1", 400) + "\n").messages(), Messages{});
    EXPECT_EQ(Parsed("let a = 1" + repeated(" + 1", 10000) + "\nlet b = 5\n").messages(),
              Messages{"1:too-many-operators"});
    EXPECT_EQ(Parsed("let a = b" + repeated(".c", 10000) + "\nlet b = 5\n").messages(),
              Messages{"1:too-many-operators"});
    // The entries of a list are not in a row.
    EXPECT_EQ(Parsed("let a = [" + repeated("b.c + 1, ", 10000) + "]\n").messages(), Messages{});
}

} // namespace
