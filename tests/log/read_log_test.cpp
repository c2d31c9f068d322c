#include "runtime/log/read_log.h"

#include "runtime/log/log_fields.h"

#include <cmath>
#include <gtest/gtest.h>
#include <string>

namespace fettle {
namespace {

using Assumed = LogAssumption::Kind;
using Odd = LogProblem::Kind;

const LogAssumption* assumed(const LogReading& reading, Assumed kind) {
    for (const LogAssumption& assumption : reading.assumptions) {
        if (assumption.kind == kind)
            return &assumption;
    }
    return nullptr;
}

const LogProblem* odd(const LogReading& reading, Odd kind) {
    for (const LogProblem& problem : reading.problems) {
        if (problem.kind == kind)
            return &problem;
    }
    return nullptr;
}

// What the first sensor reads, in whole degrees.
std::string temperatures(const LogReading& reading, std::size_t sensor = 0) {
    std::string text;
    for (const double value : reading.sensors.at(sensor).celsius)
        text += (text.empty() ? "" : " ") +
                (std::isnan(value) ? "-" : std::to_string(std::lround(value)));
    return text;
}

std::string times(const LogReading& reading) {
    std::string text;
    for (const double value : reading.time_s)
        text += (text.empty() ? "" : " ") + std::to_string(std::lround(value));
    return text;
}

TEST(ReadLog, PlainColumns) {
    const LogReading reading = read_log("time_s,kiln_c\n0,20\n600,120\n1200,220\n");
    EXPECT_TRUE(reading.judgeable());
    EXPECT_EQ(temperatures(reading), "20 120 220");
    EXPECT_EQ(times(reading), "0 600 1200");
    EXPECT_EQ(reading.sensors[0].name, "kiln_c");
    EXPECT_TRUE(reading.assumptions.empty());
    EXPECT_TRUE(reading.problems.empty());
    EXPECT_EQ(reading.rows, 3u);
    EXPECT_EQ(reading.typical_interval_s, 600);
}

TEST(ReadLog, SemicolonsAndDecimalCommas) {
    const LogReading reading = read_log("Time;Temp C\n0:00;20,5\n0:10;120,5\n1:00;600\n");
    EXPECT_EQ(temperatures(reading), "21 121 600");
    EXPECT_EQ(times(reading), "0 600 3600");
    ASSERT_TRUE(assumed(reading, Assumed::delimiter));
    EXPECT_EQ(assumed(reading, Assumed::delimiter)->text, ";");
    EXPECT_TRUE(assumed(reading, Assumed::decimal_comma));
}

TEST(ReadLog, TabsBarsAndBlanks) {
    for (const char* sign : {"\t", "|", "   "}) {
        std::string text;
        for (const char* row : {"0", "600", "9000"})
            text += std::string(row) + sign + "250.5" + sign + "251\n";
        const LogReading reading = read_log(text);
        ASSERT_EQ(reading.sensors.size(), 2u) << sign;
        EXPECT_TRUE(assumed(reading, Assumed::no_header));
        EXPECT_EQ(reading.sensors[1].name, "sensor 2");
    }
}

TEST(ReadLog, FahrenheitByTheHeaderAndByTheReadings) {
    EXPECT_EQ(temperatures(read_log("minutes,temp_f\n0,68\n60,1112\n")), "20 600");
    const LogReading guessed = read_log("minutes,kiln\n0,68\n60,1112\n120,2232\n");
    EXPECT_EQ(temperatures(guessed), "20 600 1222");
    ASSERT_TRUE(assumed(guessed, Assumed::unit));
    EXPECT_EQ(assumed(guessed, Assumed::unit)->unit, LogUnit::fahrenheit);
    EXPECT_EQ(temperatures(read_log("0,68F\n60,1112F\n200,1300F\n")), "20 600 704");
    LogOptions options;
    options.unit = LogUnit::kelvin;
    EXPECT_EQ(temperatures(read_log("0,300\n60,900\n200,1300\n", options)), "27 627 1027");
}

TEST(ReadLog, MillivoltsNeedAType) {
    const char* text = "hours,probe_mv\n0,0.798\n1,24.905\n2,49.637\n";
    EXPECT_TRUE(odd(read_log(text), Odd::type_needed));
    LogOptions options;
    options.thermocouple = ThermocoupleType::k;
    EXPECT_EQ(temperatures(read_log(text, options)), "20 600 1222");
    options.junction_c = 25;
    EXPECT_EQ(temperatures(read_log("hours,probe_mv\n0,0\n2,48.637\n", options)), "25 1222");
    const LogReading named = read_log("hours,probe type K mV\n0,0.798\n1,24.905\n2,49.637\n");
    EXPECT_EQ(temperatures(named), "20 600 1222");
    EXPECT_TRUE(assumed(named, Assumed::junction));
}

TEST(ReadLog, DatesAndClocks) {
    const LogReading iso =
        read_log("at,kiln\n2026-03-07T23:50:00,20\n2026-03-08T00:00:00,30\n2026-03-08 01:00,90\n");
    EXPECT_EQ(times(iso), "0 600 4200");
    const CalendarDate date = calendar_date(*iso.first_date_s);
    EXPECT_EQ(date.year, 2026);
    EXPECT_EQ(date.month, 3u);
    EXPECT_EQ(date.day, 7u);
    EXPECT_EQ(date.hour, 23u);
    EXPECT_EQ(date.minute, 50u);

    const LogReading clock = read_log("clock,kiln\n23:50,20\n23:59:30,30\n00:10,90\n");
    EXPECT_EQ(times(clock), "0 570 1200");
    EXPECT_TRUE(assumed(clock, Assumed::midnight_passed));

    const LogReading two = read_log("date,time,kiln\n07.03.2026,23:50,20\n08.03.2026,00:10,90\n");
    EXPECT_EQ(times(two), "0 1200");
    EXPECT_TRUE(assumed(two, Assumed::day_first));

    const LogReading american =
        read_log("time,kiln\n03/17/2026 11:50 PM,20\n03/18/2026 12:10 AM,90\n");
    EXPECT_EQ(times(american), "0 1200");
    EXPECT_TRUE(assumed(american, Assumed::month_first));

    const LogReading zoned =
        read_log("time,kiln\n2026-10-25T02:50:00+02:00,20\n2026-10-25T02:10:00+01:00,90\n");
    EXPECT_EQ(times(zoned), "0 1200");
}

TEST(ReadLog, EndOfSummerTime) {
    const LogReading reading = read_log("time,kiln\n2026-10-25 02:50,800\n2026-10-25 02:55,805\n"
                                        "2026-10-25 02:00,810\n2026-10-25 02:05,815\n");
    EXPECT_EQ(times(reading), "0 300 600 900");
    ASSERT_TRUE(assumed(reading, Assumed::clock_set_back));
    EXPECT_EQ(assumed(reading, Assumed::clock_set_back)->line, 4u);
}

TEST(ReadLog, UnitsOfTimeAreGuessedFromTheLength) {
    EXPECT_EQ(times(read_log("0,20\n36000,900\n")), "0 36000");
    EXPECT_EQ(times(read_log("0,20\n600,900\n")), "0 36000");
    EXPECT_EQ(times(read_log("0,20\n10,900\n")), "0 36000");
    EXPECT_EQ(times(read_log("0,20\n36000000,900\n")), "0 36000");
    EXPECT_EQ(times(read_log("seconds,kiln\n0,20\n600,900\n")), "0 600");
    LogOptions options;
    options.time_unit_s = 60;
    EXPECT_EQ(times(read_log("0,20\n10,900\n", options)), "0 600");
}

TEST(ReadLog, ReadingsWithoutTimes) {
    EXPECT_TRUE(odd(read_log("20\n120\n90\n"), Odd::no_time));
    LogOptions options;
    options.interval_s = 60;
    const LogReading reading = read_log("20\n120\n90\n", options);
    EXPECT_EQ(times(reading), "0 60 120");
    EXPECT_EQ(temperatures(reading), "20 120 90");
}

TEST(ReadLog, SetPointsAreNoSensors) {
    const LogReading reading =
        read_log("minutes,set point,chamber,shelf,power %,note\n0,20,20,21,50,start\n"
                 "60,120,110,100,80,\n180,400,390,370,90,vent shut\n");
    ASSERT_EQ(reading.sensors.size(), 2u);
    EXPECT_EQ(reading.sensors[0].name, "chamber");
    EXPECT_EQ(reading.sensors[1].name, "shelf");
    EXPECT_EQ(reading.main_sensor(), 0u);
    EXPECT_EQ(assumed(reading, Assumed::column_left_out)->text, "set point");
}

TEST(ReadLog, WordsBeforeTheReadingsAndBetween) {
    const LogReading reading = read_log("# invented\nKiln: loft\n\nminutes,kiln\n0,20\n60,120\n"
                                        "power lost\n# a remark\n180,100\n240,300\n");
    EXPECT_EQ(temperatures(reading), "20 120 100 300");
    ASSERT_TRUE(odd(reading, Odd::bad_line));
    EXPECT_EQ(odd(reading, Odd::bad_line)->line, 7u);
    EXPECT_EQ(odd(reading, Odd::bad_line)->count, 1u);
}

TEST(ReadLog, GapsRepeatedAndBackwardTimes) {
    std::string text = "seconds,kiln\n";
    for (int i = 0; i < 100; ++i)
        text += std::to_string(60 * i) + "," + std::to_string(20 + i) + "\n";
    text += "5940,700\n5000,700\n20000,300\n";
    const LogReading reading = read_log(text);
    EXPECT_EQ(reading.time_s.size(), 101u);
    ASSERT_TRUE(odd(reading, Odd::repeated_time));
    ASSERT_TRUE(odd(reading, Odd::backward_time));
    EXPECT_EQ(odd(reading, Odd::backward_time)->line, 103u);
    ASSERT_TRUE(odd(reading, Odd::gap));
    EXPECT_EQ(odd(reading, Odd::gap)->time_s, 5940);
    EXPECT_EQ(odd(reading, Odd::gap)->value, 14060);
    EXPECT_TRUE(reading.judgeable());
}

TEST(ReadLog, WhatIsNoLog) {
    EXPECT_TRUE(odd(read_log(""), Odd::empty));
    EXPECT_TRUE(odd(read_log("\n\n# nothing\n"), Odd::empty));
    EXPECT_TRUE(odd(read_log("dear diary\ntoday I fired\n"), Odd::empty));
    EXPECT_TRUE(odd(read_log("time,kiln\n"), Odd::empty));
    EXPECT_TRUE(odd(read_log(std::string("PK\x03\x04\0\0", 6)), Odd::not_text));
    EXPECT_TRUE(odd(read_log("\xFF\xFEt\0i\0"), Odd::not_text));
    EXPECT_TRUE(odd(read_log("time,set\n0,20\n60,30\n"), Odd::no_temperature));
    EXPECT_TRUE(odd(read_log("seconds,kiln\n0,20\n5,30\n"), Odd::no_span));
    EXPECT_TRUE(odd(read_log("0,20\n1,21\n" + std::string(200000, '7')), Odd::line_too_long));
    EXPECT_TRUE(odd(read_log("minutes,kiln\n0,0.8\n300,24.9\n600,49.6\n"), Odd::unit_unclear));
}

TEST(ReadLog, SensorsOfNoUse) {
    std::string flat = "minutes,kiln\n", open = flat, reversed = flat, upscale = flat,
                silent = flat;
    for (int i = 0; i < 100; ++i) {
        const std::string time = std::to_string(5 * i) + ",";
        flat += time + "600.2\n";
        open += time + (i < 10 ? "20" : "9999") + "\n";
        reversed += time + std::to_string(18 - 2 * i) + "\n";
        upscale += time + (i < 10 ? "20" : "1372") + "\n";
        silent += time + "open\n";
    }
    EXPECT_TRUE(odd(read_log(flat), Odd::all_one_value));
    EXPECT_TRUE(odd(read_log(open), Odd::open_circuit));
    EXPECT_TRUE(odd(read_log(upscale), Odd::open_circuit));
    EXPECT_TRUE(odd(read_log(reversed), Odd::reversed));
    EXPECT_FALSE(read_log(silent).judgeable());
    for (const std::string& text : {flat, open, reversed, upscale})
        EXPECT_FALSE(read_log(text).judgeable());
    // The other sensor can still be judged by.
    const LogReading two = read_log("minutes,a,b\n0,20,9999\n60,100,9999\n120,200,9999\n");
    EXPECT_TRUE(two.judgeable());
    EXPECT_EQ(two.main_sensor(), 0u);
}

TEST(ReadLog, PiecesMayBeCutAnywhere) {
    std::string text = "when;kiln C;shelf C\n";
    for (int i = 0; i < 3000; ++i)
        text += "2026-03-0" + std::to_string(1 + i / 1440) + " " + std::to_string(i / 60 % 24) +
                ":" + (i % 60 < 10 ? "0" : "") + std::to_string(i % 60) + ";" +
                std::to_string(20 + i / 3) + ",5;" + std::to_string(20 + i / 4) + "\n";
    const LogReading whole = read_log(text);
    EXPECT_EQ(whole.rows, 3000u);
    for (const std::size_t piece : {1u, 7u, 4096u}) {
        LogReader reader;
        for (std::size_t at = 0; at < text.size(); at += piece)
            reader.feed(std::string_view(text).substr(at, piece));
        const LogReading cut = reader.finish();
        EXPECT_EQ(cut.time_s, whole.time_s);
        EXPECT_EQ(cut.sensors[0].celsius, whole.sensors[0].celsius);
        EXPECT_EQ(cut.sensors[1].celsius, whole.sensors[1].celsius);
    }
}

TEST(ReadLog, ManyReadingsAreAveraged) {
    LogOptions options;
    options.most_points = 100;
    LogReader reader(options);
    reader.feed("seconds,kiln\n");
    for (int i = 0; i < 100000; ++i)
        reader.feed(std::to_string(i) + "," + std::to_string(20 + i * 0.01) + "\n");
    const LogReading reading = reader.finish();
    EXPECT_EQ(reading.rows, 100000u);
    EXPECT_LE(reading.time_s.size(), 101u);
    EXPECT_GE(reading.time_s.size(), 45u);
    ASSERT_TRUE(assumed(reading, Assumed::averaged));
    // On a straight climb a mean lies on the line, whatever was averaged.
    for (std::size_t i = 0; i < reading.time_s.size(); ++i)
        EXPECT_NEAR(reading.sensors[0].celsius[i], 20 + reading.time_s[i] * 0.01, 1e-6);
    EXPECT_NEAR(reading.sensors[0].highest_c, 1019.99, 1e-9);
}

TEST(ReadLog, DosAndOldLineEnds) {
    EXPECT_EQ(temperatures(read_log("minutes,kiln\r\n0,20\r\n60,120\r\n180,300")), "20 120 300");
    EXPECT_EQ(temperatures(read_log("minutes,kiln\r0,20\r60,120\r180,300\r")), "20 120 300");
    EXPECT_EQ(temperatures(read_log("\xEF\xBB\xBFminutes,kiln\n0,20\n60,120\n")), "20 120");
}

TEST(LogFields, DaysOfTheCalendar) {
    EXPECT_EQ(days_since_1970(1970, 1, 1), 0);
    EXPECT_EQ(days_since_1970(2000, 3, 1), 11017);
    EXPECT_EQ(days_since_1970(1969, 12, 31), -1);
    for (int day = -30000; day < 60000; day += 13) {
        const CalendarDate date = calendar_date(86400.0 * day + 7265);
        EXPECT_EQ(days_since_1970(date.year, date.month, date.day), day);
        EXPECT_EQ(date.hour, 2u);
        EXPECT_EQ(date.minute, 1u);
    }
}

} // namespace
} // namespace fettle
