// What `fettle plan` says: when to start a firing and what that costs, or the week of a studio; on
// a terminal and as JSON.
#pragma once

#include "compiler/output/show.h"
#include "runtime/plan/plan.h"

#include <optional>
#include <string>
#include <vector>

namespace fettle {

// What all firings of a plan share.
struct PlanFacts {
    PlanSetting setting;
    std::string tariff;   // title and name; empty: none
    std::string currency; // may be empty
    bool zone_given = false;
};

struct FiringPlan {
    std::string name, title;      // of the firing
    std::string kiln, kiln_title; // its name; title and name
    PlannedFiring firing;
    std::optional<Hours> attended; // of this firing's kiln
    std::vector<StartChoice> choices;
    std::optional<Moment> loaded, ready_by;
    Moment earliest = 0, latest = 0; // the starts that were looked at
    std::vector<std::string> remarks;
};

struct StudioWeek {
    std::string studio; // title and name; empty: none
    std::optional<double> supply_kw;
    Moment begins = 0, ends = 0;
    int turnaround = 60;
    std::vector<FiringPlan> firings; // without choices
    WeekPlan plan;
};

// "Friday 4 December 2026, 08:00" and "Fri 4 Dec 08:00".
std::string long_moment(const Zone& zone, Moment moment);
std::string short_moment(const Zone& zone, Moment moment);
// "2026-12-04T08:00+01:00".
std::string iso_moment(const Zone& zone, Moment moment);
// "08:00 to 22:00".
std::string printed_hours(const Hours& hours);

std::string plan_text(const PlanFacts& facts, const FiringPlan& plan, const ShowOptions& options);
std::string week_text(const PlanFacts& facts, const StudioWeek& week, const ShowOptions& options);

// One document for all firings, or for the week.
std::string plan_json(const PlanFacts& facts, const std::vector<FiringPlan>& plans);
std::string week_json(const PlanFacts& facts, const StudioWeek& week);

} // namespace fettle
