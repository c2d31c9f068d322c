// A week of several kilns on one supply.
#include "runtime/plan/plan.h"

#include <algorithm>

namespace fettle {

namespace {

constexpr int quarter = 15;
constexpr double barely_kw = 1e-9;

class Week {
  public:
    Week(const std::vector<WeekFiring>& firings, const WeekSetting& setting)
        : firings_(firings), setting_(setting), entries_(firings.size()),
          drawn_kw_(static_cast<std::size_t>(std::max<Moment>(setting.ends - setting.begins, 0)),
                    0) {}

    WeekPlan plan() {
        for (std::size_t i = 0; i < firings_.size(); ++i) {
            place(i);
        }
        // Each pass makes it cheaper or is the last; costs are bounded, so it ends.
        constexpr int most_passes = 20;
        bool moved = true;
        for (int pass = 0; moved && pass < most_passes; ++pass) {
            moved = false;
            for (std::size_t i = 0; i < firings_.size(); ++i) {
                moved = improve(i) || moved;
            }
        }
        WeekPlan plan;
        for (std::size_t i = 0; i < firings_.size(); ++i) {
            if (entries_[i].fits) {
                entries_[i].load_from = free_from(i, entries_[i].start);
                entries_[i].load_by = last_attended(i, entries_[i].load_from, entries_[i].start);
            }
        }
        plan.entries = entries_;
        for (const double kw : drawn_kw_) {
            plan.highest_kw = std::max(plan.highest_kw, kw);
        }
        return plan;
    }

  private:
    PlanSetting setting_of(std::size_t i) const {
        PlanSetting own = setting_.setting;
        if (firings_[i].attended) {
            own.attended = firings_[i].attended;
        }
        if (firings_[i].firing->burns_fuel) {
            own.prices.reset();
        }
        return own;
    }

    // Somebody needs so many minutes at the kiln from then on: when it is done at the earliest.
    Moment done_after(std::size_t i, Moment from, int minutes) const {
        const PlanSetting own = setting_of(i);
        Moment moment = from;
        for (int left = minutes; left > 0 && moment < setting_.ends; ++moment) {
            if (!own.attended || is_attended(own, moment, moment)) {
                --left;
            }
        }
        return moment;
    }

    Moment last_attended(std::size_t i, Moment from, Moment to) const {
        const PlanSetting own = setting_of(i);
        if (!own.attended || is_attended(own, to, to)) {
            return to;
        }
        Moment end = to; // of the last attended minute
        while (end > from && !is_attended(own, end - 1, end - 1)) {
            --end;
        }
        return end;
    }

    // From when on the kiln can be started again, given all that runs in it before `start`.
    Moment free_from(std::size_t i, Moment start) const {
        Moment free = done_after(i, setting_.begins, setting_.turnaround); // empty, but not loaded
        for (std::size_t other = 0; other < firings_.size(); ++other) {
            if (other != i && entries_[other].fits && firings_[other].kiln == firings_[i].kiln &&
                entries_[other].start < start) {
                const Moment ready = entries_[other].start + firings_[other].firing->ready_at;
                free = std::max(free, done_after(i, ready, setting_.turnaround));
            }
        }
        return free;
    }
    bool kiln_is_free(std::size_t i, Moment start) const {
        if (start < free_from(i, start)) {
            return false;
        }
        const Moment again =
            done_after(i, start + firings_[i].firing->ready_at, setting_.turnaround);
        for (std::size_t other = 0; other < firings_.size(); ++other) {
            if (other != i && entries_[other].fits && firings_[other].kiln == firings_[i].kiln &&
                entries_[other].start >= start && entries_[other].start < again) {
                return false;
            }
        }
        return true;
    }
    bool supply_bears(std::size_t i, Moment start) const {
        if (!setting_.supply_kw) {
            return true;
        }
        const PlannedFiring& firing = *firings_[i].firing;
        const auto from = static_cast<std::size_t>(start - setting_.begins);
        for (std::size_t minute = 0; minute < firing.kwh.size(); ++minute) {
            if (firing.kwh[minute] > 0 &&
                drawn_kw_[from + minute] + firing.draws_kw > *setting_.supply_kw + barely_kw) {
                return false;
            }
        }
        return true;
    }
    void draw(std::size_t i, double sign) {
        const PlannedFiring& firing = *firings_[i].firing;
        const auto from = static_cast<std::size_t>(entries_[i].start - setting_.begins);
        for (std::size_t minute = 0; minute < firing.kwh.size(); ++minute) {
            if (firing.kwh[minute] > 0) {
                drawn_kw_[from + minute] += sign * firing.draws_kw;
            }
        }
    }

    // The best start with all others where they are.
    WeekEntry best(std::size_t i) const {
        const PlannedFiring& firing = *firings_[i].firing;
        const PlanSetting own = setting_of(i);
        WeekEntry found;
        for (Moment start = setting_.begins; start + firing.ready_at <= setting_.ends;
             start += quarter) {
            const bool top = is_attended(own, start + firing.top_from, start + firing.top_to);
            if (found.fits && found.top_attended && !top) {
                continue;
            }
            const bool more = !found.fits || (top && !found.top_attended);
            Cost cost;
            if (own.prices || more) {
                cost = cost_of(firing, start, own);
            }
            if (!more && (!own.prices || cost.cost >= found.cost.cost - 1e-9)) {
                continue;
            }
            if (!kiln_is_free(i, start) || !supply_bears(i, start)) {
                continue;
            }
            found.fits = true;
            found.start = start;
            found.top_attended = top;
            found.cost = std::move(cost);
        }
        for (std::size_t job = 0; found.fits && own.attended && job < firing.jobs.size(); ++job) {
            const Moment at = found.start + firing.jobs[job].at;
            if (!is_attended(own, at, at)) {
                found.jobs_alone.push_back(job);
            }
        }
        return found;
    }

    void place(std::size_t i) {
        entries_[i] = {};
        entries_[i] = best(i);
        if (entries_[i].fits) {
            draw(i, +1);
        }
    }
    // True where it was moved to something better.
    bool improve(std::size_t i) {
        const WeekEntry before = entries_[i];
        if (before.fits) {
            draw(i, -1);
        }
        place(i);
        const WeekEntry& after = entries_[i];
        return after.fits && (!before.fits || (after.top_attended && !before.top_attended) ||
                              (after.top_attended == before.top_attended &&
                               after.cost.cost < before.cost.cost - 1e-9));
    }

    const std::vector<WeekFiring>& firings_;
    const WeekSetting& setting_;
    std::vector<WeekEntry> entries_;
    std::vector<double> drawn_kw_; // by minute since `begins`
};

} // namespace

WeekPlan plan_week(const std::vector<WeekFiring>& firings, const WeekSetting& setting) {
    return Week(firings, setting).plan();
}

} // namespace fettle
