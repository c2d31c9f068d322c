// When to start a firing: ready by an hour, at the least cost, with somebody there for its top.
#pragma once

#include "runtime/plan/calendar.h"
#include "runtime/plan/tariff.h"

#include <optional>
#include <string>
#include <vector>

namespace fettle {

// Hours of every day in which somebody is there, in minutes after midnight: [from, to). They may
// run past midnight; the same twice is always.
struct Hours {
    int from = 0, to = 0;
    bool operator==(const Hours&) const = default;
};

// A firing as the kiln is expected to make it, in whole minutes after the start of its first
// segment.
struct PlannedFiring {
    std::vector<double> kwh; // taken in each minute, from the start on
    int top_from = 0;        // from when it is near its peak, until it has left it
    int top_to = 0;
    int heated_to = 0; // the last heating ends
    int open_at = 0;   // it may be opened
    int ready_at = 0;  // and unloaded
    struct Job {
        int at = 0;
        std::string text;
    };
    std::vector<Job> jobs;   // for which somebody has to be there
    double draws_kw = 0;     // while it is heated: what the supply must bear
    bool burns_fuel = false; // the prices, which are of power, don't count for it
};

// What is the same for all that is planned together.
struct PlanSetting {
    Zone zone;
    std::optional<WeekOfPrices> prices; // nothing: the cost is not known
    std::optional<Hours> attended;      // nothing: nobody said
};

struct Cost {
    double kwh = 0;
    double cost = 0;                  // 0 without prices
    std::vector<double> kwh_by_price; // by index in WeekOfPrices::prices; empty: no prices, or fuel
};
Cost cost_of(const PlannedFiring& firing, Moment start, const PlanSetting& setting);

// Whether somebody is there from the one moment to the other. Nobody said: no.
bool is_attended(const PlanSetting& setting, Moment from, Moment to);

struct StartChoice {
    Moment start = 0;
    Cost cost;
    bool top_attended = false;
    std::vector<std::size_t> jobs_alone; // of PlannedFiring::jobs: with nobody there
    // What it is, for the reader; one start may be several.
    bool soonest = false, latest = false, cheapest = false, cheapest_attended = false;
    bool proposed = false; // exactly one of the choices
};

// Of starts that cost the same, or where no price is known.
enum class Prefer : std::uint8_t { earlier, later };

// Looks at every `step` minutes from `earliest` to `latest`, both included. Proposed is the
// cheapest with somebody at the top; where there is none, the cheapest of all. Empty only where
// latest < earliest. In the order of their starts.
std::vector<StartChoice> choose_starts(const PlannedFiring& firing, Moment earliest, Moment latest,
                                       const PlanSetting& setting, Prefer prefer, int step = 5);

// --- several kilns on one supply ----------------------------------------------------------------

struct WeekFiring {
    const PlannedFiring* firing = nullptr;
    std::size_t kiln = 0;          // firings of one kiln come one after the other
    std::optional<Hours> attended; // where the kiln has hours of its own
};
struct WeekSetting {
    PlanSetting setting;
    std::optional<double> supply_kw; // nothing: it bears all of them
    Moment begins = 0, ends = 0;     // all is ready to unload by then
    // Minutes to unload a kiln and load it again, while somebody is there; at the beginning too.
    int turnaround = 60;
};
struct WeekEntry {
    bool fits = false; // false: no start was found, and nothing else here counts
    // It may be loaded from then, and must be by then: the last time before the start when somebody
    // is there. Between that and the start it waits.
    Moment load_from = 0, load_by = 0;
    Moment start = 0;
    Cost cost;
    bool top_attended = false;
    std::vector<std::size_t> jobs_alone;
};
struct WeekPlan {
    std::vector<WeekEntry> entries; // as the firings that were given
    double highest_kw = 0;          // that is drawn at once
};

// Firings are placed one after the other in the order given, each at its cheapest start that the
// supply and its kiln leave, with somebody at the top where that can be; then each is moved as long
// as that makes the whole cheaper. A good plan, not proved the best of all. Looks at every quarter
// of an hour.
WeekPlan plan_week(const std::vector<WeekFiring>& firings, const WeekSetting& setting);

} // namespace fettle
