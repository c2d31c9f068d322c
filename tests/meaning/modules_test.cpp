// Modules: where they are looked for, and which of their names can be seen.
#include "tests/language/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

constexpr std::string_view a_firing = R"(
    phase bisque {
        ramp to 600C at 100C/h
    }
}
)";

std::string uses(const std::string& use, const std::string& body, std::vector<ProgramFile> others) {
    others.insert(others.begin(), {"studio/mugs.fettle", use + "\nfiring mugs {\n    body " + body +
                                                             std::string(a_firing)});
    return said(Checked(others));
}

const ProgramFile clays{"studio/clays.fettle", "body heron_grey {\n    thickness 8mm\n}\n"};

TEST(Modules, names_are_reached_in_three_ways) {
    EXPECT_EQ(uses("use clays", "clays.heron_grey", {clays}), "");
    EXPECT_EQ(uses("use clays (heron_grey)", "heron_grey", {clays}), "");
    EXPECT_EQ(uses("use clays as shop", "shop.heron_grey", {clays}), "");
}

TEST(Modules, a_name_that_was_not_asked_for_is_not_there) {
    EXPECT_EQ(uses("use clays", "heron_grey", {clays}),
              "error[unknown-name]: nothing is called `heron_grey` here\n");
    EXPECT_EQ(uses("use clays (heron_gray)", "heron_gray", {clays}),
              "error[unknown-name]: module `clays` has no `heron_gray`\n");
}

TEST(Modules, an_alias_takes_the_place_of_the_name) {
    EXPECT_EQ(uses("use clays as shop", "clays.heron_grey", {clays}),
              "error[unknown-name]: nothing is called `clays` here\n");
}

TEST(Modules, a_module_in_a_folder_is_named_by_its_path) {
    const ProgramFile deep{"studio/shop/clays.fettle", clays.text};
    EXPECT_EQ(uses("use shop.clays", "clays.heron_grey", {deep}), "");
}

TEST(Modules, the_root_of_a_library_comes_before_the_folder) {
    const ProgramFile manifest{"library.fettle", R"(library harbour_row.common {
    version 0.1.0
    licence "CC-BY-4.0"
}
)"};
    const ProgramFile at_root{"clays.fettle", "body heron_grey {\n    thickness 5mm\n}\n"};
    // By its path below the root, and by its full name.
    EXPECT_EQ(uses("use clays", "clays.heron_grey", {manifest, at_root}), "");
    EXPECT_EQ(uses("use harbour_row.common.clays", "clays.heron_grey", {manifest, at_root}), "");
    const Checked both({{"studio/mugs.fettle", R"(use clays (heron_grey)
firing mugs {
    body heron_grey
    phase bisque {
        note "{heron_grey.thickness}"
        ramp to 600C at 100C/h
    }
}
)"},
                        manifest,
                        at_root,
                        clays});
    ASSERT_EQ(both.schedules.size(), 1u) << said(both);
    EXPECT_EQ(both.schedules[0].segments[0].notes[0], "5mm");
}

TEST(Modules, private_names_are_seen_in_their_library_only) {
    const ProgramFile secret{"clays.fettle", "private body heron_grey {\n}\n"};
    const ProgramFile manifest{"library.fettle", R"(library harbour_row.common {
    version 0.1.0
    licence "CC-BY-4.0"
}
)"};
    EXPECT_EQ(uses("use clays (heron_grey)", "heron_grey", {manifest, secret}), "");
    const ProgramFile stranger{"studio/clays.fettle", secret.text};
    EXPECT_EQ(uses("use clays (heron_grey)", "heron_grey", {stranger}),
              "error[private-name]: `heron_grey` is private to its library\n");
}

TEST(Modules, what_a_module_uses_itself_is_not_passed_on) {
    const ProgramFile middle{"studio/shelf.fettle", "use clays (heron_grey)\n"
                                                    "body pale from heron_grey {\n}\n"};
    EXPECT_EQ(uses("use shelf", "shelf.pale", {middle, clays}), "");
    EXPECT_EQ(uses("use shelf", "shelf.heron_grey", {middle, clays}),
              "error[unknown-name]: module `shelf` has no `heron_grey`\n");
}

TEST(Modules, modules_may_use_one_another) {
    const Checked checked({{"a.fettle", "use b\nlet low = 900C\nlet top = b.middle + 50dC\n"},
                           {"b.fettle", "use a\nlet middle = a.low + 50dC\n"}});
    EXPECT_EQ(said(checked), "");
}

TEST(Modules, an_error_elsewhere_is_reported_there) {
    const Checked checked(
        {{"mugs.fettle", "use clays (heron_grey)\nbody pale from heron_grey {\n}\n"},
         {"clays.fettle", "body heron_grey {\n    thicknes 8mm\n}\n"}});
    ASSERT_EQ(checked.diagnostics.all().size(), 1u) << said(checked);
    const Diagnostic& only = checked.diagnostics.all()[0];
    EXPECT_EQ(only.kind, DiagnosticKind::unknown_field);
    EXPECT_EQ(checked.compilation->sources()[only.span.file].path(), "clays.fettle");
}

TEST(Modules, there_is_nothing_under_std_but_the_standard_library) {
    EXPECT_EQ(said(check_text("use std.no_such_thing\n")),
              "error[unknown-module]: the standard library has no module `std.no_such_thing`\n");
}

} // namespace
} // namespace fettle
