#include "runtime/log/judge.h"

#include "runtime/log/correct.h"
#include "runtime/log/inquest.h"
#include "tests/heatwork/standard_cones.h"

#include <cmath>
#include <functional>
#include <gtest/gtest.h>
#include <limits>

namespace fettle {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
const std::vector<ConeLookWork> looks = {{ConeLook::standing, 0, 0.15, 0.35},
                                         {ConeLook::bending, 0.25, 0.6, 0.95},
                                         {ConeLook::touching, 0.9, 1, 1.25},
                                         {ConeLook::flat, 1.2, 1.6, infinity}};

Segment segment(SegmentKind kind, double from_c, double to_c, std::optional<double> hours,
                std::uint32_t phase) {
    Segment made;
    made.kind = kind;
    made.from_c = from_c;
    made.to_c = to_c;
    if (hours)
        made.duration_s = *hours * 3600;
    made.phase = phase;
    return made;
}

// Up to cone 6 in three phases, and shut.
Schedule glaze() {
    Schedule schedule;
    schedule.phases = {{"warming", "", ""}, {"top", "", ""}, {"cooling", "", ""}};
    schedule.states = {{}};
    schedule.segments = {segment(SegmentKind::ramp, 20, 620, 4, 0),
                         segment(SegmentKind::soak, 620, 620, 0.5, 0),
                         segment(SegmentKind::ramp, 620, 1100, 4, 1),
                         segment(SegmentKind::ramp, 1100, 1220, 2, 1),
                         segment(SegmentKind::soak, 1220, 1220, 0.25, 1),
                         segment(SegmentKind::free, 1220, 100, std::nullopt, 2)};
    schedule.segments.back().estimated_duration_s = 12 * 3600;
    return schedule;
}

// A log of the schedule as a kiln that obeys would write it, a reading a minute; `change` bends it.
// Cooling takes 12 hours.
LogReading log_of(const Schedule& schedule,
                  const std::function<double(double hours, double celsius)>& change,
                  double idle_h = 0.5, double cut_off_h = 1e9) {
    LogReading reading;
    reading.sensors.resize(1);
    reading.sensors[0].name = "kiln";
    const auto add = [&](double hours, double celsius) {
        if (hours > cut_off_h)
            return;
        reading.time_s.push_back(hours * 3600);
        reading.sensors[0].celsius.push_back(change(hours - idle_h, celsius));
    };
    double begun = idle_h;
    for (double hours = 0; hours < idle_h; hours += 1 / 60.0)
        add(hours, schedule.start_c);
    for (const Segment& part : schedule.segments) {
        const double length = part.duration_s.value_or(12 * 3600) / 3600;
        for (double hours = 0; hours < length - 1e-9; hours += 1 / 60.0)
            add(begun + hours, part.from_c + (part.to_c - part.from_c) * hours / length);
        begun += length;
    }
    reading.rows = reading.time_s.size();
    reading.typical_interval_s = 60;
    reading.sensors[0].highest_c = 1220;
    return reading;
}

const auto unchanged = [](double, double celsius) { return celsius; };

Judgement judged(const Schedule& schedule, const LogReading& reading,
                 const std::vector<AcceptanceItem>& acceptance = {},
                 const std::vector<WitnessReading>& witnesses = {}) {
    return judge({&schedule, &reading, 0, &shelf_cones(), acceptance, witnesses, looks});
}

TEST(Judge, AnObedientKilnPassesEverything) {
    const Schedule schedule = glaze();
    const LogReading reading = log_of(schedule, unchanged);
    const Judgement answer = judged(schedule, reading,
                                    {{AcceptanceKind::peak, 1220, 6, ""},
                                     {AcceptanceKind::soak, 600, 5, ""},
                                     {AcceptanceKind::duration, 10.75 * 3600, 600, ""}});
    EXPECT_NEAR(answer.alignment.start_s, 1800, 120);
    for (std::size_t i = 0; i < 5; ++i) {
        const SegmentJudgement& segment = answer.segments[i];
        EXPECT_EQ(segment.piece.end, PieceEnd::reached) << i;
        EXPECT_NEAR(segment.piece.duration_s(), *segment.asked_s, 150) << i;
    }
    EXPECT_NEAR(*answer.segments[0].real_rate_k_per_h, 150, 2);
    EXPECT_NEAR(*answer.segments[3].real_rate_k_per_h, 60, 2);
    EXPECT_GT(*answer.segments[4].within_band_s, 840);
    ASSERT_EQ(answer.phases.size(), 3u);
    EXPECT_NEAR(*answer.phases[1].asked_s, 6.25 * 3600, 1);
    EXPECT_EQ(answer.overall, Verdict::pass);
    EXPECT_FALSE(answer.alignment.looks_like_another);
    EXPECT_TRUE(answer.alignment.dips.empty());
    // The heat work is that of the schedule.
    const ConeReading asked =
        cone_reached(shelf_cones(), stretches_of(schedule, Estimates::use).stretches);
    EXPECT_EQ(answer.heat.complete, asked.complete);
    EXPECT_NEAR(answer.heat.fraction_to_next, asked.fraction_to_next, 0.01);
}

TEST(Judge, AKilnThatLagsIsJudgedByItsTemperature) {
    const Schedule schedule = glaze();
    // Everything takes a quarter longer.
    LogReading reading = log_of(schedule, unchanged);
    for (double& time : reading.time_s)
        time *= 1.25;
    const Judgement answer =
        judged(schedule, reading, {{AcceptanceKind::duration, 10.75 * 3600, 1200, ""}});
    EXPECT_NEAR(*answer.segments[3].real_rate_k_per_h, 48, 2);
    EXPECT_NEAR(answer.segments[3].piece.duration_s(), 2.5 * 3600, 200);
    EXPECT_EQ(answer.acceptance[0].verdict, Verdict::fail);
    EXPECT_NEAR(*answer.acceptance[0].found, 1.25 * 10.75 * 3600, 300);
}

TEST(Judge, TooHotTooColdAndTooShort) {
    const Schedule schedule = glaze();
    const std::vector<AcceptanceItem> items = {{AcceptanceKind::peak, 1220, 6, ""},
                                               {AcceptanceKind::soak, 600, 5, ""}};
    const LogReading hot = log_of(
        schedule, [](double, double celsius) { return celsius > 1000 ? celsius + 9 : celsius; });
    EXPECT_EQ(judged(schedule, hot, items).acceptance[0].verdict, Verdict::fail);
    const LogReading cold =
        log_of(schedule, [](double, double celsius) { return std::min(celsius, 1208.0); });
    const Judgement answer = judged(schedule, cold, items);
    EXPECT_EQ(answer.acceptance[0].verdict, Verdict::fail);
    EXPECT_NEAR(*answer.acceptance[0].found, 1208, 0.5);
    EXPECT_EQ(answer.acceptance[1].verdict, Verdict::fail);
    EXPECT_EQ(answer.segments[3].piece.end, PieceEnd::not_reached);
    EXPECT_EQ(answer.overall, Verdict::fail);
}

TEST(Judge, WhatTheLogDoesNotShowCanNotBeTold) {
    const Schedule schedule = glaze();
    const std::vector<AcceptanceItem> items = {{AcceptanceKind::peak, 1220, 6, ""},
                                               {AcceptanceKind::soak, 600, 5, ""},
                                               {AcceptanceKind::duration, 10.75 * 3600, 600, ""}};
    const Judgement early = judged(schedule, log_of(schedule, unchanged, 0.5, 10), items);
    for (const AcceptanceVerdict& verdict : early.acceptance) {
        EXPECT_EQ(verdict.verdict, Verdict::cannot_tell);
        EXPECT_EQ(verdict.ground, Ground::log_ends_early);
    }
    EXPECT_EQ(early.segments[5].piece.end, PieceEnd::not_begun);
    LogReading gap = log_of(schedule, unchanged);
    gap.problems.push_back({.kind = LogProblem::Kind::gap, .time_s = 10.9 * 3600, .value = 1800});
    EXPECT_EQ(judged(schedule, gap, items).acceptance[0].ground, Ground::gap_at_the_top);
    LogReading late = log_of(schedule, unchanged);
    const auto skip = static_cast<std::ptrdiff_t>(240);
    late.time_s.erase(late.time_s.begin(), late.time_s.begin() + skip);
    late.sensors[0].celsius.erase(late.sensors[0].celsius.begin(),
                                  late.sensors[0].celsius.begin() + skip);
    const Judgement begun = judged(schedule, late, items);
    EXPECT_TRUE(begun.alignment.begins_late);
    EXPECT_EQ(begun.acceptance[0].verdict, Verdict::pass);
    EXPECT_EQ(begun.acceptance[2].ground, Ground::log_begins_late);
}

TEST(Judge, APowerCutIsADipAndNoEnd) {
    const Schedule schedule = glaze();
    const LogReading reading = log_of(schedule, [](double hours, double celsius) {
        const double into = hours - 6;
        return into > 0 && into < 1
                   ? celsius - 80 * (1 - std::fabs(2 * into - 1)) - 120 * into + 120 * into
                   : celsius;
    });
    const Judgement answer = judged(schedule, reading);
    ASSERT_EQ(answer.alignment.dips.size(), 1u);
    EXPECT_NEAR(answer.alignment.dips[0].from_s, 6.5 * 3600, 300);
    EXPECT_EQ(answer.segments[2].piece.end, PieceEnd::reached);
    EXPECT_NEAR(answer.segments[4].piece.duration_s(), 900, 150);
}

TEST(Judge, LogsOfAnotherFiring) {
    const Schedule schedule = glaze();
    const LogReading bisque =
        log_of(schedule, [](double, double celsius) { return 20 + (celsius - 20) * 0.82; });
    EXPECT_TRUE(judged(schedule, bisque).alignment.looks_like_another);
    LogReading quick = log_of(schedule, unchanged);
    for (double& time : quick.time_s)
        time /= 4;
    EXPECT_TRUE(judged(schedule, quick).alignment.looks_like_another);
    const LogReading fahrenheit =
        log_of(schedule, [](double, double celsius) { return celsius * 1.8 + 32; });
    EXPECT_TRUE(judged(schedule, fahrenheit).alignment.looks_like_fahrenheit);
}

TEST(Witness, ConesTellHowMuchHotterAShelfWas) {
    const Schedule schedule = glaze();
    const LogReading reading = log_of(schedule, unchanged);
    const LogCurve curve = curve_of(reading, 0);
    const ConeKinetics& six = cone_at(6);
    const double sensor_work = work(six, stretches_of(curve));
    EXPECT_NEAR(shift_for_work(six, curve, sensor_work), 0, 0.02);
    // A shelf 9 K colder: its cone had so much work; asked the other way round, 9 K come back.
    const double colder = work(six, stretches_of(curve, -9));
    EXPECT_NEAR(shift_for_work(six, curve, colder), -9, 0.02);

    const Judgement answer = judged(schedule, reading, {},
                                    {{6, ConeLook::touching, "middle"},
                                     {5, ConeLook::flat, "middle"},
                                     {6, ConeLook::bending, "bottom"},
                                     {5, ConeLook::standing, "odd"},
                                     {7, ConeLook::flat, "odd"}});
    ASSERT_EQ(answer.shelves.size(), 3u);
    EXPECT_NEAR(work(six, stretches_of(curve, answer.shelves[0].best_k)), 1, 0.01);
    EXPECT_GT(answer.shelves[0].best_k, answer.shelves[1].best_k);
    EXPECT_NEAR(work(six, stretches_of(curve, answer.shelves[1].best_k)), 0.6, 0.01);
    EXPECT_FALSE(answer.shelves[1].contradictory);
    EXPECT_TRUE(answer.shelves[2].contradictory);
}

TEST(Witness, OutranksTheSensor) {
    const Schedule schedule = glaze();
    const LogReading reading = log_of(schedule, unchanged);
    const auto verdict = [&](std::vector<WitnessReading> cones, const char* shelf = "") {
        return judged(schedule, reading, {{AcceptanceKind::witness, 6, 0, shelf}}, cones)
            .acceptance[0];
    };
    EXPECT_EQ(verdict({}).verdict, Verdict::cannot_tell);
    EXPECT_EQ(verdict({}).ground, Ground::no_cone_read);
    EXPECT_EQ(verdict({{6, ConeLook::touching, ""}}).verdict, Verdict::pass);
    EXPECT_EQ(verdict({{6, ConeLook::bending, ""}}).verdict, Verdict::fail);
    EXPECT_EQ(verdict({{6, ConeLook::standing, ""}}).verdict, Verdict::fail);
    EXPECT_EQ(verdict({{6, ConeLook::flat, ""}}).ground, Ground::flat_alone);
    EXPECT_EQ(verdict({{6, ConeLook::flat, ""}, {7, ConeLook::bending, ""}}).verdict,
              Verdict::pass);
    EXPECT_EQ(verdict({{6, ConeLook::flat, ""}, {7, ConeLook::touching, ""}}).verdict,
              Verdict::fail);
    EXPECT_EQ(verdict({{5, ConeLook::bending, ""}}).verdict, Verdict::fail);
    EXPECT_EQ(verdict({{5, ConeLook::flat, ""}}).verdict, Verdict::cannot_tell);
    // One shelf that fails is enough, unless another is asked for.
    const std::vector<WitnessReading> two = {{6, ConeLook::touching, "top"},
                                             {6, ConeLook::bending, "bottom"}};
    EXPECT_EQ(verdict(two).verdict, Verdict::fail);
    EXPECT_EQ(verdict(two).shelf, "bottom");
    EXPECT_EQ(verdict(two, "top").verdict, Verdict::pass);
    EXPECT_EQ(verdict(two, "middle").ground, Ground::no_cone_read);
}

TEST(Witness, DistanceInCones) {
    const ConeScale& scale = shelf_cones();
    const auto at = [&](double cone, double fraction) {
        ConeReading reading;
        for (std::size_t i = 0; i < scale.cones.size(); ++i) {
            if (scale.cones[i].cone == cone) {
                reading.complete = i;
                reading.next = i + 1;
            }
        }
        reading.fraction_to_next = fraction;
        return reading;
    };
    EXPECT_NEAR(cones_past(at(6, 0), 6, scale), 0, 1e-9);
    EXPECT_NEAR(cones_past(at(6, 0.5), 6, scale), 0.5, 1e-9);
    EXPECT_NEAR(cones_past(at(5, 0), 6, scale), -1, 1e-9);
    EXPECT_NEAR(cones_past(at(5.5, 0.5), 6, scale), -0.25, 1e-9);
    EXPECT_NEAR(cones_past(at(1, 0), -1, scale), 1, 1e-9); // there is no cone 0
}

// The correction, put into the schedule and fired by the same kiln, gives the cone.
TEST(Correct, WhatIsProposedBringsTheConeDown) {
    const auto kiln = [](double, double celsius) { return celsius + (celsius > 600 ? 2 : 0); };
    const Schedule schedule = glaze();
    const LogReading reading = log_of(schedule, kiln);
    const Judgement answer = judged(schedule, reading);
    const double right = shift_for_work(cone_at(6), answer.curve, 1);
    for (const double off_k : {-16.0, -8.0, 26.0, 34.0}) {
        const double shelf_k = right + off_k;
        const NextTime next = correct(answer, schedule, shelf_cones(), 6, shelf_k, true);
        ASSERT_FALSE(next.choices.empty()) << shelf_k;
        for (const Correction& choice : next.choices) {
            Schedule again = glaze();
            again.segments[3].to_c = choice.top_c;
            again.segments[3].duration_s = (choice.top_c - 1100) / 60 * 3600;
            again.segments[4].from_c = again.segments[4].to_c = choice.top_c;
            again.segments[4].duration_s = choice.soak_s;
            again.segments[5].from_c = choice.top_c;
            const LogReading fired = log_of(again, kiln);
            const double done = work(cone_at(6), stretches_of(curve_of(fired, 0), shelf_k));
            EXPECT_NEAR(done, next.work_asked, 0.03) << shelf_k << " top " << choice.top_c;
            EXPECT_NEAR(done, choice.work, 0.03);
        }
    }
}

TEST(Correct, LeavesAloneWhatIsRight) {
    const Schedule schedule = glaze();
    const Judgement answer = judged(schedule, log_of(schedule, unchanged));
    const double right = shift_for_work(cone_at(6), answer.curve, 1);
    EXPECT_EQ(correct(answer, schedule, shelf_cones(), 6, right, true).outcome,
              CorrectionOutcome::as_it_is);
    EXPECT_EQ(correct(answer, schedule, shelf_cones(), 6, right - 60, true).outcome,
              CorrectionOutcome::large);
    EXPECT_EQ(correct(answer, schedule, shelf_cones(), 99, 0, true).outcome,
              CorrectionOutcome::unknown_cone);
    const LogReading cold =
        log_of(schedule, [](double, double celsius) { return std::min(celsius, 1170.0); });
    EXPECT_EQ(correct(judged(schedule, cold), schedule, shelf_cones(), 6, 0, true).outcome,
              CorrectionOutcome::fell_short);
}

TEST(Inquest, EvidenceRanksTheCauses) {
    const std::vector<CauseRow> table = {
        {"bloat", "past its range", 1, "over", true, 0.5, 2, "", "", ""},
        {"bloat", "too quick", 1.2, "minutes", false, 90, 1, "", "", ""},
        {"bloat", "who knows", 0.5, "never", true, 1, 1, "", "", ""},
        {"dunt", "opened hot", 1, "opened", true, 150, 1, "", "", ""}};
    const Inquest over = inquire("bloat", table, {{"over", 1.0}, {"minutes", 200.0}});
    ASSERT_EQ(over.causes.size(), 3u);
    EXPECT_EQ(over.causes[0].cause, "past its range");
    EXPECT_TRUE(over.causes[0].supported);
    EXPECT_EQ(over.causes[0].evidence[0].says, Says::supports);
    EXPECT_EQ(over.causes[2].cause, "too quick");
    EXPECT_EQ(over.causes[2].evidence[0].says, Says::contradicts);
    EXPECT_EQ(over.causes[1].evidence[0].says, Says::nothing);
    const Inquest quick = inquire("bloat", table, {{"over", 0.0}, {"minutes", 40.0}});
    EXPECT_EQ(quick.causes[0].cause, "too quick");
    EXPECT_TRUE(inquire("sulking", table, {}).causes.empty());
    EXPECT_EQ(defects_of(table), (std::vector<std::string_view>{"bloat", "dunt"}));
}

} // namespace
} // namespace fettle
