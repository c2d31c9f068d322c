#include "runtime/plan/plan.h"

#include <algorithm>

namespace fettle {

namespace {

// Minute of the week on the wall, from a moment on. The offset is looked up once a quarter of an
// hour: clocks change at full quarters.
class WallClock {
  public:
    WallClock(const Zone& zone, Moment moment) : zone_(&zone), next_(moment) { look(); }

    int minute_of_week() const { return minute_; }
    void advance() {
        ++next_;
        ++minute_;
        if (minute_ == minutes_per_week) {
            minute_ = 0;
        }
        if (next_ % 15 == 0) {
            look();
        }
    }

  private:
    void look() {
        const WallTime time = wall_time(*zone_, next_);
        minute_ = day_of_week(days_since_1970(time.date)) * minutes_per_day + time.minute;
    }

    const Zone* zone_;
    Moment next_;
    int minute_ = 0;
};

bool is_within(const Hours& hours, int minute_of_day) {
    if (hours.from == hours.to) {
        return true;
    }
    if (hours.from < hours.to) {
        return minute_of_day >= hours.from && minute_of_day < hours.to;
    }
    return minute_of_day >= hours.from || minute_of_day < hours.to;
}

} // namespace

Cost cost_of(const PlannedFiring& firing, Moment start, const PlanSetting& setting) {
    Cost cost;
    if (!setting.prices || firing.burns_fuel) {
        for (const double kwh : firing.kwh) {
            cost.kwh += kwh;
        }
        return cost;
    }
    cost.kwh_by_price.assign(setting.prices->prices.size(), 0);
    WallClock clock(setting.zone, start);
    for (const double kwh : firing.kwh) {
        const auto minute = static_cast<std::size_t>(clock.minute_of_week());
        cost.kwh_by_price[setting.prices->price_at[minute]] += kwh;
        clock.advance();
    }
    for (std::size_t i = 0; i < cost.kwh_by_price.size(); ++i) {
        cost.kwh += cost.kwh_by_price[i];
        cost.cost += cost.kwh_by_price[i] * setting.prices->prices[i].per_kwh;
    }
    return cost;
}

bool is_attended(const PlanSetting& setting, Moment from, Moment to) {
    if (!setting.attended) {
        return false;
    }
    WallClock clock(setting.zone, from);
    // At the very end nobody has to be there any more, unless it is one moment.
    for (Moment moment = from; moment < std::max(to, from + 1); ++moment) {
        if (!is_within(*setting.attended, clock.minute_of_week() % minutes_per_day)) {
            return false;
        }
        clock.advance();
    }
    return true;
}

namespace {

StartChoice choice_at(const PlannedFiring& firing, Moment start, const PlanSetting& setting) {
    StartChoice choice;
    choice.start = start;
    choice.cost = cost_of(firing, start, setting);
    choice.top_attended = is_attended(setting, start + firing.top_from, start + firing.top_to);
    for (std::size_t i = 0; i < firing.jobs.size(); ++i) {
        const Moment at = start + firing.jobs[i].at;
        if (setting.attended && !is_attended(setting, at, at)) {
            choice.jobs_alone.push_back(i);
        }
    }
    return choice;
}

// Costs that differ by less are one.
constexpr double same_cost = 1e-9;

} // namespace

std::vector<StartChoice> choose_starts(const PlannedFiring& firing, Moment earliest, Moment latest,
                                       const PlanSetting& setting, Prefer prefer, int step) {
    if (latest < earliest) {
        return {};
    }
    std::vector<StartChoice> all;
    for (Moment start = earliest; start <= latest; start += step) {
        all.push_back(choice_at(firing, start, setting));
    }
    if (all.back().start != latest) {
        all.push_back(choice_at(firing, latest, setting));
    }
    StartChoice* cheapest = nullptr;
    StartChoice* cheapest_attended = nullptr;
    const bool priced = setting.prices && !firing.burns_fuel;
    const auto better = [priced, prefer](const StartChoice& one, const StartChoice* other) {
        if (other == nullptr) {
            return true;
        }
        const double saves = priced ? other->cost.cost - one.cost.cost : 0;
        return saves > same_cost || (saves > -same_cost && prefer == Prefer::later);
    };
    for (StartChoice& choice : all) {
        if (better(choice, cheapest)) {
            cheapest = &choice;
        }
        if (choice.top_attended && better(choice, cheapest_attended)) {
            cheapest_attended = &choice;
        }
    }
    all.front().soonest = true;
    all.back().latest = true;
    cheapest->cheapest = priced;
    if (cheapest_attended != nullptr) {
        cheapest_attended->cheapest_attended = true;
    }
    (cheapest_attended != nullptr ? cheapest_attended : cheapest)->proposed = true;
    std::vector<StartChoice> chosen;
    for (StartChoice& choice : all) {
        if (choice.soonest || choice.latest || choice.cheapest || choice.cheapest_attended ||
            choice.proposed) {
            chosen.push_back(std::move(choice));
        }
    }
    return chosen;
}

} // namespace fettle
