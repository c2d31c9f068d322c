#include "compiler/output/plan_text.h"

#include "compiler/output/columns.h"
#include "compiler/output/page.h"
#include "compiler/output/phrases.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

constexpr std::size_t label_width = 12;
constexpr std::string_view day_names[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                          "Friday", "Saturday", "Sunday"};
constexpr std::string_view month_names[] = {"January",   "February", "March",    "April",
                                            "May",       "June",     "July",     "August",
                                            "September", "October",  "November", "December"};

std::string_view day_name(Date date) {
    return day_names[day_of_week(days_since_1970(date))];
}
std::string_view month_name(Date date) {
    return month_names[date.month - 1];
}
std::string clock_of(int minute) {
    return fmt::format("{:02}:{:02}", minute / 60, minute % 60);
}

void put_labelled(Page& page, std::string_view label, std::string_view text) {
    page.paragraph(2, left_in(label, label_width), text);
}

// "Fri 4 Dec 06:12 to 07:05", or with both days.
std::string span_of(const Zone& zone, Moment from, Moment to) {
    const WallTime first = wall_time(zone, from), last = wall_time(zone, to);
    return fmt::format("{} to {}", short_moment(zone, from),
                       first.date == last.date ? clock_of(last.minute) : short_moment(zone, to));
}

std::string kwh_text(double kwh) {
    return fmt::format("{}kWh", print_number(kwh, kwh < 10 ? 1 : 0));
}
std::string money(const PlanFacts& facts, double amount) {
    return fmt::format("{:.2f}{}{}", amount, facts.currency.empty() ? "" : " ", facts.currency);
}

std::string who_is_there(const std::optional<Hours>& attended, bool top_attended) {
    if (!attended)
        return "nobody said when somebody is there";
    return top_attended ? "somebody is there" : "NOBODY IS THERE";
}

std::string what_it_is(const StartChoice& choice) {
    std::vector<std::string> parts;
    if (choice.soonest)
        parts.emplace_back("the soonest");
    if (choice.cheapest)
        parts.emplace_back("the cheapest");
    if (choice.cheapest_attended && !choice.cheapest && !choice.cost.kwh_by_price.empty())
        parts.emplace_back("the cheapest with somebody at the top");
    if (choice.latest)
        parts.emplace_back("the latest");
    return parts.empty() ? "with somebody at the top" : joined(parts);
}

void put_clock_change(Page& page, const PlanFacts& facts, Moment from, Moment to) {
    const auto change = next_clock_change(facts.setting.zone, from, to);
    if (!change)
        return;
    const WallTime then = wall_time(facts.setting.zone, change->at);
    page.paragraph(2, left_in("clocks", label_width),
                   fmt::format("go {} by {} on {} {} {}, to {}: all times here are those on the "
                               "wall",
                               change->by_minutes > 0 ? "forward" : "back",
                               print_duration(60.0 * std::abs(change->by_minutes)),
                               day_name(then.date), then.date.day, month_name(then.date),
                               clock_of(then.minute)),
                   Ink::caution);
}

void put_cost(Page& page, const PlanFacts& facts, const Cost& cost) {
    if (cost.kwh_by_price.empty()) {
        put_labelled(page, "energy",
                     kwh_text(cost.kwh) + (facts.setting.prices
                                               ? " of fuel, for which the tariff has no price"
                                               : "; no tariff was given, so no cost"));
        return;
    }
    put_labelled(page, "costs",
                 fmt::format("{} for {}", money(facts, cost.cost), kwh_text(cost.kwh)));
    for (std::size_t i = 0; i < cost.kwh_by_price.size(); ++i) {
        const double kwh = cost.kwh_by_price[i];
        if (kwh <= 0)
            continue;
        const double price = facts.setting.prices->prices[i].per_kwh;
        put_labelled(page, "",
                     fmt::format("{} at {}/kWh: {}", kwh_text(kwh), print_number(price, 4),
                                 money(facts, kwh * price)));
    }
}

void put_jobs_alone(Page& page, const Zone& zone, const PlannedFiring& firing, Moment start,
                    const std::vector<std::size_t>& jobs) {
    for (const std::size_t i : jobs) {
        put_labelled(page, "nobody for",
                     fmt::format("\"{}\", {}", firing.jobs[i].text,
                                 short_moment(zone, start + firing.jobs[i].at)));
    }
}

void put_choice(Page& page, const PlanFacts& facts, const FiringPlan& plan,
                const StartChoice& choice) {
    const Zone& zone = facts.setting.zone;
    const PlannedFiring& firing = plan.firing;
    const Moment start = choice.start;
    std::string first = long_moment(zone, start);
    if (plan.loaded)
        first +=
            start == *plan.loaded
                ? ", at once"
                : fmt::format(": a delay of {}",
                              print_duration(60.0 * static_cast<double>(start - *plan.loaded)));
    put_labelled(page, "start", first);
    const Ink ink = choice.top_attended ? Ink::plain : Ink::caution;
    page.paragraph(2, left_in("top", label_width),
                   fmt::format("{}: {}",
                               span_of(zone, start + firing.top_from, start + firing.top_to),
                               who_is_there(plan.attended, choice.top_attended)),
                   ink);
    put_jobs_alone(page, zone, firing, start, choice.jobs_alone);
    put_labelled(page, "heat is off", short_moment(zone, start + firing.heated_to));
    put_labelled(page, "open", "about " + short_moment(zone, start + firing.open_at));
    put_labelled(page, "unload", "about " + short_moment(zone, start + firing.ready_at));
    put_cost(page, facts, choice.cost);
    put_clock_change(page, facts, start, start + firing.ready_at);
}

void put_head(Page& page, const FiringPlan& plan) {
    page.two_ends(one_line(plan.title.empty() ? readable_name(plan.name) : plan.title),
                  one_line(plan.name), Ink::strong);
    page.blank();
    put_labelled(page, "kiln", plan.kiln_title);
}

void put_facts(Page& page, const PlanFacts& facts, const std::optional<Hours>& attended) {
    if (!facts.tariff.empty())
        put_labelled(page, "tariff", facts.tariff);
    if (attended)
        put_labelled(page, "attended", printed_hours(*attended));
    put_labelled(page, "clock",
                 facts.zone_given
                     ? facts.setting.zone.name
                     : std::string("as it is; no zone was given, so it never changes"));
}

void put_closing(Page& page) {
    page.blank();
    page.paragraph(0, "",
                   "By a model of the kiln: times and costs are estimates. Never leave a firing "
                   "unattended on the word of a plan; open by the kiln's own temperature.");
}

} // namespace

std::string long_moment(const Zone& zone, Moment moment) {
    const WallTime time = wall_time(zone, moment);
    return fmt::format("{} {} {} {}, {}", day_name(time.date), time.date.day, month_name(time.date),
                       time.date.year, clock_of(time.minute));
}

std::string short_moment(const Zone& zone, Moment moment) {
    const WallTime time = wall_time(zone, moment);
    return fmt::format("{} {} {} {}", day_name(time.date).substr(0, 3), time.date.day,
                       month_name(time.date).substr(0, 3), clock_of(time.minute));
}

std::string printed_hours(const Hours& hours) {
    if (hours.from == hours.to)
        return "day and night";
    return fmt::format("{} to {}", clock_of(hours.from), clock_of(hours.to));
}

std::string plan_text(const PlanFacts& facts, const FiringPlan& plan, const ShowOptions& options) {
    Page page(std::max<std::size_t>(options.width, 60), options.plain, options.colour);
    const Zone& zone = facts.setting.zone;
    put_head(page, plan);
    if (plan.loaded)
        put_labelled(page, "loaded", long_moment(zone, *plan.loaded));
    if (plan.ready_by)
        put_labelled(page, "ready by", long_moment(zone, *plan.ready_by));
    put_facts(page, facts, plan.attended);
    put_labelled(page, "starts from",
                 fmt::format("{} to {} were looked at", short_moment(zone, plan.earliest),
                             short_moment(zone, plan.latest)));
    for (const StartChoice& choice : plan.choices) {
        if (!choice.proposed)
            continue;
        page.blank();
        page.line("Proposed: " + what_it_is(choice), Ink::strong);
        put_choice(page, facts, plan, choice);
        if (plan.attended && !choice.top_attended) {
            page.paragraph(2, "! ",
                           fmt::format("No start leaves somebody there ({}) for the whole top of "
                                       "this firing. Be there, or don't fire it so.",
                                       printed_hours(*plan.attended)),
                           Ink::caution);
        }
    }
    for (const StartChoice& choice : plan.choices) {
        if (choice.proposed)
            continue;
        page.blank();
        page.line("Or: " + what_it_is(choice), Ink::strong);
        put_choice(page, facts, plan, choice);
    }
    if (!plan.remarks.empty())
        page.blank();
    for (const std::string& remark : plan.remarks)
        page.paragraph(2, "! ", remark, Ink::caution);
    put_closing(page);
    return std::move(page).take();
}

namespace {

struct CalendarLine {
    Moment at;
    std::size_t firing;
    std::string text;
    bool worry = false;
};

std::vector<CalendarLine> calendar_of(const StudioWeek& week, const Zone& zone) {
    std::vector<CalendarLine> lines;
    for (std::size_t i = 0; i < week.firings.size(); ++i) {
        const WeekEntry& entry = week.plan.entries[i];
        if (!entry.fits)
            continue;
        const FiringPlan& plan = week.firings[i];
        const Moment start = entry.start;
        const auto add = [&](int at, std::string text, bool worry = false) {
            lines.push_back({start + at, i, std::move(text), worry});
        };
        const Moment wait = start - entry.load_by;
        const std::string free = short_moment(zone, entry.load_from);
        if (wait > 0) {
            add(-static_cast<int>(wait),
                fmt::format("is loaded by now (the kiln is free from {} on), with a delay of {}",
                            free, print_duration(60.0 * static_cast<double>(wait))));
            add(0, "starts");
        } else {
            add(0, fmt::format("is loaded (the kiln is free from {} on) and started", free));
        }
        add(plan.firing.top_from,
            fmt::format("near its top until {}: {}", short_moment(zone, start + plan.firing.top_to),
                        who_is_there(plan.attended, entry.top_attended)),
            !entry.top_attended);
        for (const std::size_t job : entry.jobs_alone)
            add(plan.firing.jobs[job].at,
                fmt::format("\"{}\", and nobody is there", plan.firing.jobs[job].text), true);
        add(plan.firing.heated_to, "heat is off");
        add(plan.firing.open_at, "may be opened at about this time");
        add(plan.firing.ready_at, "ready to unload");
    }
    std::stable_sort(lines.begin(), lines.end(),
                     [](const CalendarLine& a, const CalendarLine& b) { return a.at < b.at; });
    return lines;
}

} // namespace

std::string week_text(const PlanFacts& facts, const StudioWeek& week, const ShowOptions& options) {
    Page page(std::max<std::size_t>(options.width, 60), options.plain, options.colour);
    const Zone& zone = facts.setting.zone;
    page.line("The week from " + long_moment(zone, week.begins), Ink::strong);
    page.blank();
    if (!week.studio.empty())
        put_labelled(page, "studio", week.studio);
    if (week.supply_kw)
        put_labelled(page, "supply",
                     fmt::format("{}kW; at most {}kW is drawn at once",
                                 print_number(*week.supply_kw, 2),
                                 print_number(week.plan.highest_kw, 2)));
    put_facts(page, facts, facts.setting.attended);
    put_labelled(page, "between",
                 fmt::format("two firings of a kiln {} to unload it and load it{}",
                             print_duration(60.0 * week.turnaround),
                             facts.setting.attended ? ", in attended hours" : ""));
    put_clock_change(page, facts, week.begins, week.ends);
    std::string day;
    for (const CalendarLine& line : calendar_of(week, zone)) {
        const WallTime time = wall_time(zone, line.at);
        const std::string its_day =
            fmt::format("{} {} {}", day_name(time.date), time.date.day, month_name(time.date));
        if (its_day != day) {
            page.blank();
            page.line(its_day, Ink::strong);
            day = its_day;
        }
        const FiringPlan& plan = week.firings[line.firing];
        page.paragraph(2, clock_of(time.minute) + "  ",
                       fmt::format("{}: {} {}", plan.kiln, plan.name, line.text),
                       line.worry ? Ink::caution : Ink::plain);
    }
    page.blank();
    page.line("What it takes", Ink::strong);
    Cost all;
    for (std::size_t i = 0; i < week.firings.size(); ++i) {
        const WeekEntry& entry = week.plan.entries[i];
        const std::string& name = week.firings[i].name;
        if (!entry.fits) {
            page.paragraph(2, "! ",
                           name + " does not fit into this week: give it another, or leave one out",
                           Ink::error);
            continue;
        }
        all.kwh += entry.cost.kwh;
        all.cost += entry.cost.cost;
        put_labelled(
            page, name,
            entry.cost.kwh_by_price.empty()
                ? kwh_text(entry.cost.kwh) + (facts.setting.prices ? " of fuel" : "")
                : fmt::format("{}, {}", kwh_text(entry.cost.kwh), money(facts, entry.cost.cost)));
    }
    put_labelled(page, "in all",
                 facts.setting.prices
                     ? fmt::format("{}, {}", kwh_text(all.kwh), money(facts, all.cost))
                     : kwh_text(all.kwh));
    for (const FiringPlan& plan : week.firings) {
        for (const std::string& remark : plan.remarks)
            page.paragraph(2, "! ", fmt::format("{}: {}", plan.name, remark), Ink::caution);
    }
    page.paragraph(2, "", "A good plan, not proved to be the cheapest of all.");
    put_closing(page);
    return std::move(page).take();
}

} // namespace fettle
