// The same bytes whatever the number of threads and however often.
#include "tests/language/programs.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

std::string many_firings() {
    std::string text = R"(
kiln loft {
    ceiling 1280C
}
body heron_grey {
    matures cone 6
    thickness 8mm
    limit rise 150C/h between 540C and 630C
}
template glaze_firing(body: Body, kiln: Kiln, thickness: Length, top: Cone, rate: Rate)
    "For {thickness}"
{
    phase climb {
        ramp to 600C at (rate when thickness <= 10mm otherwise rate / 2)
        ramp to top at 60C/h with soak 10m
    }
    phase fall {
        cool to 700C at 100C/h
        cool to 100C freely
    }
}
)";
    const char* cones[] = {"cone 4", "cone 5", "cone 06", "cone 6", "cone 10"};
    const char* rates[] = {"100C/h", "140C/h", "160C/h", "180F/h"};
    for (int i = 0; i < 120; ++i) {
        text += "firing f" + std::to_string(i) +
                " = glaze_firing(heron_grey, loft, thickness: " + std::to_string(4 + i % 12) +
                "mm, top: " + cones[i % 5] + ", rate: " + rates[i % 4] + ")\n";
    }
    return text;
}

TEST(Determinism, one_thread_or_several) {
    const std::string text = many_firings();
    const Checked alone({{"example.fettle", text}}, 1);
    EXPECT_GT(alone.documents.size(), 60u);
    EXPECT_GT(alone.diagnostics.all().size(), 0u);
    for (unsigned threads : {2u, 3u, 7u}) {
        const Checked together({{"example.fettle", text}}, threads);
        EXPECT_EQ(together.documents, alone.documents) << threads;
        EXPECT_EQ(said(together), said(alone)) << threads;
    }
}

TEST(Determinism, once_more) {
    const std::string text = many_firings();
    EXPECT_EQ(check_text(text).documents, check_text(text).documents);
}

} // namespace
} // namespace fettle
