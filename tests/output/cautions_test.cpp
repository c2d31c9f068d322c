#include "compiler/output/cautions.h"

#include "compiler/output/csv.h"
#include "compiler/output/json.h"
#include "compiler/output/show.h"
#include "tests/output/sample.h"

#include <algorithm>
#include <gtest/gtest.h>

namespace fettle {
namespace {

bool warns_of(const FiringDocument& document, std::string_view words) {
    const auto all = cautions(document);
    return std::any_of(all.begin(), all.end(), [&](std::string_view caution) {
        return caution.find(words) != std::string_view::npos;
    });
}

TEST(Cautions, SomeAlwaysApply) {
    for (const auto& firing : {sample::empty(), sample::bisque(), sample::reduction_glaze()}) {
        for (const char* words : {"unattended", "Ventilate", "carbon monoxide", "clearances",
                                  "local codes", "over-temperature"}) {
            EXPECT_TRUE(warns_of(firing->document, words)) << words;
        }
    }
}

TEST(Cautions, ByWhatApplies) {
    auto firing = sample::reduction_glaze();
    EXPECT_TRUE(warns_of(firing->document, "Burning fuel"));
    EXPECT_TRUE(warns_of(firing->document, "below 800C"));
    EXPECT_TRUE(warns_of(firing->document, "Opening a hot kiln"));
    EXPECT_FALSE(warns_of(firing->document, "electric elements"));
    firing->document.fuel = Fuel::unknown;
    EXPECT_TRUE(warns_of(firing->document, "electric elements"));
    firing->document.fuel = Fuel::wood;
    EXPECT_FALSE(warns_of(firing->document, "over-temperature"));

    const auto bisque = sample::bisque();
    EXPECT_TRUE(warns_of(bisque->document, "Damp ware"));
    EXPECT_FALSE(warns_of(bisque->document, "Burning fuel"));
    EXPECT_FALSE(warns_of(bisque->document, "Opening"));
    EXPECT_FALSE(warns_of(sample::empty()->document, "Damp ware"));
}

TEST(Cautions, FitOnALineOfATerminal) {
    for (std::string_view caution : cautions(sample::reduction_glaze()->document)) {
        EXPECT_LE(caution.size(), 90u) << caution;
    }
}

TEST(Cautions, AreInTheOutputs) {
    const auto firing = sample::reduction_glaze();
    const std::string document = json(firing->document);
    const std::string shown = show(firing->document, {.width = 200});
    for (std::string_view caution : cautions(firing->document)) {
        EXPECT_NE(document.find(caution), std::string::npos);
        EXPECT_NE(shown.find(caution), std::string::npos);
    }
}

} // namespace
} // namespace fettle
