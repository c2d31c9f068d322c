#include "compiler/library/licences.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(Licences, AreThoseOfTheList) {
    EXPECT_GT(known_licences().size(), 400u);
    for (const std::string_view name : known_licences())
        EXPECT_EQ(wrong_licence(name), "") << name;
}

TEST(Licences, MayBePutTogether) {
    for (const char* text :
         {"MIT OR Apache-2.0", "(MIT AND CC-BY-4.0) OR 0BSD", "LicenseRef-studio", "Apache-2.0+",
          "GPL-2.0-or-later WITH Classpath-exception-2.0"})
        EXPECT_EQ(wrong_licence(text), "") << text;
    for (const char* text :
         {"", "  ", "MIT OR", "OR MIT", "(MIT", "MIT)", "MIT MIT", "mit", "WITH", "MIT WITH",
          "MIT WITH MIT", "free for all", "MIT or Apache-2.0", "((((((((((((((((((((((MIT"})
        EXPECT_NE(wrong_licence(text), "") << text;
}

TEST(Licences, SaysWhatIsNearest) {
    EXPECT_EQ(wrong_licence("CC-BY-4"), "`CC-BY-4` is not on the list of SPDX; did you mean "
                                        "`CC-BY-4.0`?");
    EXPECT_EQ(wrong_licence("GPL-3.0"),
              "`GPL-3.0` is an old name; write `GPL-3.0-only` or the like");
}

} // namespace
} // namespace fettle
