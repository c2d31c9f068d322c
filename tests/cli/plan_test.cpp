// `fettle plan`: its arguments, bad input, and that all the outputs say the same.
#include "tests/cli/program.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace fettle::cli_test {
namespace {

using nlohmann::json;

// An invented studio of two kilns on one supply.
constexpr std::string_view studio = R"(use std.kilns (electric_class, electric_small)

kiln loft from electric_class {
    power   12kW
    ceiling 1280C
}
kiln annex from electric_small {
    power   4.5kW
    ceiling 1300C
}
tariff nights {
    currency "shillings"
    price 0.34/kWh
    price 0.15/kWh between 23:30 and 06:30
}
tariff flat {
    price 0.30/kWh
}
studio row "The Row" {
    kilns    loft, annex
    supply   14kW
    tariff   nights
    attended 08:00 to 22:00
    zone     "Europe/London"
}
firing mugs "Mugs" {
    kiln loft
    ware { state raw; moisture 1%; mass 25kg }
    phase up {
        ramp to 600C at 100C/h
        ramp to 1000C at 150C/h with soak 10m
    }
}
firing tiles "Tiles" {
    kiln annex
    phase up {
        ramp to 1000C at 150C/h with soak 10m
    }
}
)";

const std::string simple_firing = "kiln loft {\n    ceiling 1280C\n}\n";

class Plan : public testing::Test {
  protected:
    Folder folder;
    Plan() {
        std::string text(studio);
        // Peaks are temperatures here: `with soak` needs a cone.
        for (std::size_t at; (at = text.find(" with soak 10m")) != std::string::npos;)
            text.replace(at, 14, "\n        soak 10m");
        folder.write("row.fettle", text);
    }
    Ended plan(const Words& words) const {
        Words all = {"plan"};
        all.insert(all.end(), words.begin(), words.end());
        return run(folder, all);
    }
    json plan_json(Words words) const {
        words.insert(words.end(), {"--report", "json"});
        const Ended ended = plan(words);
        EXPECT_EQ(ended.code, 0) << ended.err;
        return json::parse(ended.out, nullptr, false);
    }
};

TEST_F(Plan, the_cheapest_start_with_somebody_at_the_top) {
    const Ended ended =
        plan({"row.fettle:mugs", "--ready-by", "08:00", "--on", "2026-12-06", "--loaded", "17:30"});
    EXPECT_EQ(ended.code, 0) << ended.err;
    EXPECT_TRUE(has(ended.out, "ready by    Sunday 6 December 2026, 08:00"));
    EXPECT_TRUE(has(ended.out, "Proposed: "));
    EXPECT_TRUE(has(ended.out, "somebody is there"));
    EXPECT_TRUE(has(ended.out, "shillings"));
    EXPECT_TRUE(has(ended.out, "clock       Europe/London"));
    EXPECT_TRUE(has(ended.out, "estimates"));
}

TEST_F(Plan, json_has_each_alternative_with_its_cost_by_price) {
    const json document = plan_json({"row.fettle:mugs", "--loaded", "17:30", "--on", "2026-12-03"});
    EXPECT_EQ(document["format"], "fettle.plan");
    EXPECT_EQ(document["zone"], "Europe/London");
    const json& plan = document["plans"].at(0);
    EXPECT_EQ(plan["loaded"], "2026-12-03T17:30+00:00");
    EXPECT_TRUE(plan["ready_by"].is_null());
    int proposed = 0;
    for (const json& choice : plan["choices"]) {
        proposed += choice["proposed"].get<bool>() ? 1 : 0;
        double cost = 0, kwh = 0;
        for (const json& part : choice["by_price"]) {
            cost += part["cost"].get<double>();
            kwh += part["energy_kwh"].get<double>();
        }
        EXPECT_NEAR(cost, choice["cost"].get<double>(), 0.001);
        EXPECT_NEAR(kwh, choice["energy_kwh"].get<double>(), 0.01);
        EXPECT_LT(choice["start"], choice["top_from"]);
        EXPECT_LE(choice["heated_to"], choice["open_at"]);
        EXPECT_LT(choice["open_at"], choice["ready_at"]);
    }
    EXPECT_EQ(proposed, 1);
}

// The same wall-clock plan in the week of the change to winter time: an hour more between them.
TEST_F(Plan, both_changes_of_the_clock_are_counted) {
    const auto start_of = [this](const std::string& day) {
        const json document = plan_json(
            {"row.fettle:mugs", "--ready-by", "20:00", "--on", day, "--attended", "0:00 to 0:00"});
        const json& choices = document["plans"].at(0)["choices"];
        return choices.back()["start"].get<std::string>(); // the latest
    };
    const std::string plain = start_of("2027-03-21");
    const std::string spring = start_of("2027-03-28");
    const std::string autumn = start_of("2027-10-31");
    EXPECT_EQ(plain.substr(16), "+00:00");
    const auto minutes = [](const std::string& iso) {
        return std::stoi(iso.substr(8, 2)) * 1440 + std::stoi(iso.substr(11, 2)) * 60 +
               std::stoi(iso.substr(14, 2));
    };
    // Days before the day of readiness, by the wall: an hour earlier in spring, later in autumn.
    EXPECT_EQ(minutes(spring) - 28 * 1440, minutes(plain) - 21 * 1440 - 60);
    EXPECT_EQ(minutes(autumn) - 31 * 1440, minutes(plain) - 21 * 1440 + 60);
    const Ended text = plan({"row.fettle:mugs", "--ready-by", "20:00", "--on", "2027-03-28"});
    EXPECT_TRUE(has(text.out, "clocks      go forward by 1h on Sunday 28 March"));
}

TEST_F(Plan, another_tariff_and_no_zone) {
    const json flat = plan_json({"row.fettle:mugs", "--loaded", "17:30", "--on", "2026-12-03",
                                 "--tariff", "flat", "--zone", "UTC"});
    EXPECT_EQ(flat["tariff"], "flat");
    EXPECT_EQ(flat["zone"], "UTC");
    const json& choice = flat["plans"].at(0)["choices"].at(0);
    EXPECT_NEAR(choice["cost"].get<double>(), 0.30 * choice["energy_kwh"].get<double>(), 0.001);
}

TEST_F(Plan, an_unattended_top_is_said_loudly) {
    const Ended ended = plan({"row.fettle:mugs", "--loaded", "17:30", "--on", "2026-12-03",
                              "--attended", "12:00 to 12:10"});
    EXPECT_EQ(ended.code, 0);
    EXPECT_TRUE(has(ended.out, "NOBODY IS THERE"));
    EXPECT_TRUE(has(ended.out, "Be there, or don't fire it so."));
}

TEST_F(Plan, raw_ware_that_waits_long_gets_a_word) {
    const Ended waits = plan({"row.fettle:mugs", "--loaded", "2026-12-03 08:00", "--tariff",
                              "nights", "--attended", "06:00 to 12:00"});
    EXPECT_TRUE(has(waits.out, "Raw ware with 1% of water left in it waits")) << waits.out;
    const Ended at_once = plan({"row.fettle:mugs", "--loaded", "2026-12-03 20:00", "--tariff",
                                "flat", "--attended", "0:00 to 0:00"});
    EXPECT_TRUE(lacks(at_once.out, "A shut kiln dries nothing")) << at_once.out;
}

TEST_F(Plan, the_week_staggers_the_kilns) {
    const json document = plan_json({"row.fettle", "--week", "--on", "2026-11-30"});
    const json& week = document["week"];
    EXPECT_EQ(week["supply_kw"], 14);
    EXPECT_LE(week["highest_kw"].get<double>(), 14);
    ASSERT_EQ(week["firings"].size(), 2u);
    const json& mugs = week["firings"].at(0);
    const json& tiles = week["firings"].at(1);
    EXPECT_TRUE(mugs["fits"].get<bool>() && tiles["fits"].get<bool>());
    EXPECT_TRUE(mugs["heated_to"] <= tiles["start"] || tiles["heated_to"] <= mugs["start"]);
    const Ended text = plan({"row.fettle", "--week", "--on", "2026-11-30"});
    EXPECT_EQ(text.code, 0);
    EXPECT_TRUE(has(text.out, "The week from Monday 30 November 2026"));
    EXPECT_TRUE(has(text.out, "14kW; at most 12kW is drawn at once"));
    EXPECT_TRUE(has(text.out, "ready to unload"));
    const Ended tight =
        plan({"row.fettle", "--week", "--on", "2026-11-30", "--ready-by", "2026-12-01 12:00"});
    EXPECT_EQ(tight.code, 1);
    EXPECT_TRUE(has(tight.out, "does not fit into this week"));
}

TEST_F(Plan, the_same_bytes_each_time) {
    const Words words = {"row.fettle", "--ready-by", "08:00", "--on", "2026-12-06"};
    EXPECT_EQ(plan(words).out, plan(words).out);
}

struct Refusal {
    Words words;
    int code;
    std::string said;
};

TEST_F(Plan, bad_input_is_said_plainly) {
    const Words ready = {"row.fettle:mugs", "--ready-by", "08:00", "--on", "2026-12-06"};
    const auto with = [](Words words, const Words& more) {
        words.insert(words.end(), more.begin(), more.end());
        return words;
    };
    const Refusal refusals[] = {
        {{"row.fettle"}, 2, "say when it has to be ready"},
        {{"row.fettle", "--ready-by", "08:00"}, 2, "--ready-by needs its day"},
        {{"row.fettle", "--loaded", "08:00"}, 2, "--loaded needs its day"},
        {{"row.fettle", "--week"}, 2, "--week needs the day"},
        {{"row.fettle", "--ready-by", "8 o'clock", "--on", "2026-12-06"},
         2,
         "takes a time such as"},
        {{"row.fettle", "--ready-by", "25:00", "--on", "2026-12-06"}, 2, "takes a time such as"},
        {{"row.fettle", "--ready-by", "08:00", "--on", "2026-02-29"}, 2, "--on takes a day"},
        {with(ready, {"--zone", "Europe/Lundon"}), 2, "there is no time zone `Europe/Lundon`"},
        {with(ready, {"--zone", "../../etc/passwd"}), 2, "there is no time zone"},
        {with(ready, {"--zone", "Europe"}), 2, "there is no time zone `Europe`"},
        {with(ready, {"--tariff", "night"}), 2, "did you mean `nights`?"},
        {with(ready, {"--studio", "rows"}), 2, "did you mean `row`?"},
        {with(ready, {"--attended", "8 to 10"}), 2, "--attended takes hours"},
        {with(ready, {"--loaded", "2026-12-05 20:00"}), 1, "can't be ready by Sunday 6 December"},
        {{"row.fettle:mugs", "--ready-by", "2027-03-28 01:30"},
         2,
         "there is no 01:30 on 2027-03-28"},
        {{"row.fettle", "--week", "--on", "2026-11-30", "--ready-by", "08:00"},
         2,
         "a day and a time"},
    };
    for (const Refusal& refusal : refusals) {
        const Ended ended = plan(refusal.words);
        EXPECT_EQ(ended.code, refusal.code) << ended.err;
        EXPECT_TRUE(has(ended.err, refusal.said));
    }
    folder.write("bare.fettle", simple_firing + "firing a {\n    kiln loft\n    phase up {\n"
                                                "        ramp to 900C at 100C/h\n    }\n}\n"
                                                "firing b {\n    phase up {\n"
                                                "        ramp to 900C at 100C/h\n    }\n}\n");
    const Ended bare = plan({"bare.fettle", "--loaded", "2026-12-03 08:00"});
    EXPECT_EQ(bare.code, 1);
    EXPECT_TRUE(has(bare.err, "the model of the kiln of a needs"));
    EXPECT_TRUE(has(bare.err, "b names no kiln"));
    const Ended no_zones = run(folder, {"plan", "row.fettle:mugs", "--loaded", "2026-12-03 08:00"},
                               {.environment = {"TZDIR=/nowhere"}});
    EXPECT_TRUE(has(no_zones.err, "install the package tzdata"));
}

} // namespace
} // namespace fettle::cli_test
