// `fettle glaze`: chemistry, batch sheets, recipes worked out backwards.
#include "tests/cli/program.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace fettle::cli_test {
namespace {

constexpr std::string_view glazes = R"(use std.materials (kaolin, potash_feldspar, quartz, whiting)

material damp_kaolin from kaolin "Damp kaolin" {
    moisture 10%
}
glaze plain "A plain clear" {
    recipe {
        potash_feldspar 80
        quartz          60
        whiting         40
        damp_kaolin     20
    }
    fires cone 9 to cone 11
}
glaze soft {
    recipe {
        potash_feldspar 60
        whiting         40
    }
}
)";

struct Glaze : testing::Test {
    Glaze() { folder.write("g.fettle", glazes); }
    const Folder folder;
};

TEST_F(Glaze, every_glaze_of_a_file_or_one) {
    const Ended all = run(folder, {"glaze", "g.fettle"});
    EXPECT_EQ(all.code, 0);
    EXPECT_TRUE(has(all.out, "A plain clear"));
    EXPECT_TRUE(has(all.out, "soft"));
    const Ended one = run(folder, {"glaze", "g.fettle:plain"});
    EXPECT_TRUE(lacks(one.out, "soft"));
    EXPECT_TRUE(has(one.out, "0.264 K2O"));
    EXPECT_TRUE(has(one.out, "3.710 SiO2"));
    EXPECT_TRUE(has(one.out, "9.11 : 1"));
    EXPECT_TRUE(has(one.out, "comes to 200 parts"));
    EXPECT_TRUE(has(one.out, "laboratory"));
}

TEST_F(Glaze, what_is_not_there) {
    const Ended wrong = run(folder, {"glaze", "g.fettle:plian"});
    EXPECT_EQ(wrong.code, 2);
    EXPECT_TRUE(has(wrong.err, "did you mean `g.fettle:plain`?"));
    folder.write("empty.fettle", "let x = 1\n");
    const Ended none = run(folder, {"glaze", "empty.fettle"});
    EXPECT_EQ(none.code, 1);
    EXPECT_TRUE(has(none.err, "no glaze with a recipe"));
    folder.write("bad.fettle", "material x { formula \"Xx2O\" }\n");
    EXPECT_EQ(run(folder, {"glaze", "bad.fettle"}).code, 1);
}

TEST_F(Glaze, a_batch_with_the_water_of_its_materials) {
    const Ended sheet = run(folder, {"glaze", "g.fettle:plain", "--batch", "2kg"});
    EXPECT_EQ(sheet.code, 0);
    EXPECT_TRUE(has(sheet.out, "800.0 g"));
    EXPECT_TRUE(has(sheet.out, "222.2 g")); // 200 g dry at 10 % water
    EXPECT_TRUE(has(sheet.out, "2022.2 g"));
    EXPECT_TRUE(has(sheet.out, "22.2 g of water"));
    for (const char* no_weight : {"2", "5m", "0kg", "-1kg", "many"}) {
        const Ended refused = run(folder, {"glaze", "g.fettle", "--batch", no_weight});
        EXPECT_EQ(refused.code, 2) << no_weight;
    }
    const Ended csv = run(folder, {"glaze", "g.fettle", "--batch", "2kg", "--as", "csv"});
    EXPECT_TRUE(has(csv.out, "plain,damp_kaolin,no,200,222.222,2022.222\r\n"));
}

TEST_F(Glaze, json_and_csv) {
    const Ended made = run(folder, {"glaze", "g.fettle:plain", "--as", "json"});
    const auto json = nlohmann::json::parse(made.out);
    EXPECT_EQ(json["format"], "fettle.glaze");
    EXPECT_NEAR(json["silica_per_alumina"].get<double>(), 9.114, 0.0005);
    EXPECT_NEAR(json["loss"].get<double>(), 0.10190, 0.00001);
    EXPECT_TRUE(json["batch"].is_null());
    const Ended csv = run(folder, {"glaze", "g.fettle", "--as", "csv"});
    EXPECT_EQ(csv.out.find("glaze,oxide"), 0u);
    EXPECT_EQ(csv.out.rfind("glaze,oxide"), 0u); // one header for all
    EXPECT_TRUE(has(csv.out, "\r\nsoft,K2O,"));
}

TEST_F(Glaze, cards_and_drawings_into_a_folder) {
    const Ended one = run(folder, {"glaze", "g.fettle", "--as", "card"});
    EXPECT_EQ(one.code, 2);
    EXPECT_TRUE(has(one.err, "--into"));
    EXPECT_EQ(run(folder, {"glaze", "g.fettle", "--as", "card", "--into", "out"}).code, 0);
    EXPECT_TRUE(has(folder.read("out/plain.glaze.html"), "A plain clear"));
    EXPECT_TRUE(folder.has("out/soft.glaze.html"));
    const Ended drawing = run(folder, {"glaze", "g.fettle:plain", "--as", "svg"});
    EXPECT_TRUE(has(drawing.out, "<svg"));
    EXPECT_TRUE(lacks(drawing.out, "nan"));
}

TEST_F(Glaze, plain_has_simple_signs_only) {
    for (const char c : run(folder, {"glaze", "g.fettle", "--plain"}).out)
        ASSERT_GT(c, 0);
}

TEST_F(Glaze, a_recipe_for_a_formula) {
    const Words asked = {"glaze",  "g.fettle",
                         "--make", "0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2",
                         "--from", "potash_feldspar, whiting, kaolin, quartz"};
    const Ended made = run(folder, asked);
    EXPECT_EQ(made.code, 0);
    EXPECT_TRUE(has(made.out, "potash_feldspar 42.082"));
    EXPECT_TRUE(has(made.out, "met to three decimals"));
    // What it prints is a declaration that can be pasted.
    folder.write("pasted.fettle", "use std.materials (kaolin, potash_feldspar, quartz, whiting)\n" +
                                      made.out.substr(0, made.out.find("\n\n")) + "\n");
    const Ended pasted = run(folder, {"glaze", "pasted.fettle"});
    EXPECT_EQ(pasted.code, 0);
    EXPECT_TRUE(has(pasted.out, "4.000 SiO2"));
}

TEST_F(Glaze, the_same_formula_from_other_materials) {
    folder.write("more.fettle", std::string(glazes) + "use std.materials as other\n"
                                                      "let spar = other.wollastonite\n");
    const Ended replaced = run(folder, {"glaze", "more.fettle:soft", "--replace", "whiting", "--by",
                                        "wollastonite,kaolin"});
    EXPECT_EQ(replaced.code, 0);
    EXPECT_TRUE(has(replaced.out, "wollastonite"));
    EXPECT_TRUE(has(replaced.out, "can't be met")); // it brings silica that whiting has not
    const Ended json = run(folder, {"glaze", "more.fettle:plain", "--replace", "whiting", "--by",
                                    "wollastonite", "--as", "json"});
    EXPECT_TRUE(nlohmann::json::parse(json.out)["exact"].get<bool>());
}

TEST_F(Glaze, a_family_side_by_side) {
    folder.write("family.fettle", std::string(glazes) + R"(
glaze line "From plain to soft" {
    recipe {
        for each share in [0, 50, 100] {
            plain 100 - share
            soft  share
        }
    }
}
)");
    const Ended text = run(folder, {"glaze", "family.fettle:line"});
    EXPECT_EQ(text.code, 0);
    EXPECT_TRUE(has(text.out, "A family of 3, fired together to cone 9 to cone 11"));
    EXPECT_TRUE(has(text.out, "[1]  [2]  [3]"));
    EXPECT_TRUE(has(text.out, "share 50"));
    EXPECT_TRUE(has(text.out, "40.00   50.00   60.00")); // feldspar
    const Ended json = run(folder, {"glaze", "family.fettle:line", "--as", "json"});
    EXPECT_TRUE(has(json.out, "\"glaze\":\"line_2\""));
    const Ended csv =
        run(folder, {"glaze", "family.fettle:line", "--as", "csv", "--batch", "100g"});
    EXPECT_TRUE(has(csv.out, "line_2,potash_feldspar,no,50,50,50\r\n"));
    EXPECT_TRUE(lacks(csv.out, "line_3,quartz"));
}

TEST_F(Glaze, backwards_says_what_is_missing) {
    const auto refused = [&](const Words& words, std::string_view why) {
        Words all = {"glaze"};
        all.insert(all.end(), words.begin(), words.end());
        const Ended ended = run(folder, all);
        EXPECT_EQ(ended.code, 2);
        EXPECT_TRUE(has(ended.err, why));
    };
    refused({"g.fettle", "--from", "kaolin"}, "name the one glaze");
    refused({"g.fettle", "--make", "4 SiO2", "--from", "kaolin"}, "no flux");
    refused({"g.fettle", "--make", "1 CaO 2 SiO3", "--from", "kaolin"}, "`SiO3` is no oxide");
    refused({"g.fettle", "--make", "1 CaO 2 SiO2", "--from", "koalin"}, "did you mean `kaolin`?");
    refused({"g.fettle", "--make", "1 CaO 2 SiO2"}, "which materials?");
    refused({"g.fettle:plain", "--replace", "talc", "--by", "kaolin"}, "has no `talc`");
    refused({"g.fettle:plain", "--replace", "whiting"}, "by what?");
}

} // namespace
} // namespace fettle::cli_test
