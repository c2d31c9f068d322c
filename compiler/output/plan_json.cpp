#include "compiler/output/plan_text.h"

#include "compiler/source/json_writer.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

namespace fettle {
namespace {

void moment_field(JsonWriter& json, JsonKey name, const Zone& zone,
                  const std::optional<Moment>& moment) {
    json.key(name);
    if (moment) {
        json.value(std::string_view(iso_moment(zone, *moment)));
    } else {
        json.null();
    }
}

void put_facts(JsonWriter& json, const PlanFacts& facts) {
    json.field("format", std::string_view("fettle.plan"));
    json.field("format_version", 1);
    json.key("zone");
    facts.zone_given ? json.value(std::string_view(facts.setting.zone.name)) : json.null();
    json.key("tariff");
    facts.tariff.empty() ? json.null() : json.value(std::string_view(facts.tariff));
    json.field("currency", std::string_view(facts.currency));
    json.key("attended");
    facts.setting.attended ? json.value(std::string_view(printed_hours(*facts.setting.attended)))
                           : json.null();
}

void put_cost(JsonWriter& json, const PlanFacts& facts, const Cost& cost) {
    json.field("energy_kwh", cost.kwh, 3);
    json.key("cost");
    if (cost.kwh_by_price.empty()) {
        json.null();
        return;
    }
    json.number(cost.cost, 4);
    json.key("by_price");
    json.array();
    for (std::size_t i = 0; i < cost.kwh_by_price.size(); ++i) {
        if (cost.kwh_by_price[i] <= 0)
            continue;
        const double price = facts.setting.prices->prices[i].per_kwh;
        json.line_object();
        json.field("price_per_kwh", price, 6);
        json.field("energy_kwh", cost.kwh_by_price[i], 3);
        json.field("cost", cost.kwh_by_price[i] * price, 4);
        json.end_object();
    }
    json.end_array();
}

void put_times(JsonWriter& json, const Zone& zone, const PlannedFiring& firing, Moment start) {
    moment_field(json, "start", zone, start);
    moment_field(json, "top_from", zone, start + firing.top_from);
    moment_field(json, "top_to", zone, start + firing.top_to);
    moment_field(json, "heated_to", zone, start + firing.heated_to);
    moment_field(json, "open_at", zone, start + firing.open_at);
    moment_field(json, "ready_at", zone, start + firing.ready_at);
}

void put_jobs(JsonWriter& json, const Zone& zone, const PlannedFiring& firing, Moment start,
              const std::vector<std::size_t>& jobs) {
    json.key("jobs_alone");
    json.array();
    for (const std::size_t i : jobs) {
        json.line_object();
        moment_field(json, "at", zone, start + firing.jobs[i].at);
        json.field("job", std::string_view(firing.jobs[i].text));
        json.end_object();
    }
    json.end_array();
}

void put_remarks(JsonWriter& json, const std::vector<std::string>& remarks) {
    json.key("remarks");
    json.array();
    for (const std::string& remark : remarks)
        json.value(std::string_view(remark));
    json.end_array();
}

void put_plan(JsonWriter& json, const PlanFacts& facts, const FiringPlan& plan) {
    const Zone& zone = facts.setting.zone;
    json.object();
    json.field("firing", plan.name);
    json.field("kiln", plan.kiln);
    moment_field(json, "loaded", zone, plan.loaded);
    moment_field(json, "ready_by", zone, plan.ready_by);
    json.key("attended");
    plan.attended ? json.value(std::string_view(printed_hours(*plan.attended))) : json.null();
    json.key("choices");
    json.array();
    for (const StartChoice& choice : plan.choices) {
        json.object();
        json.field("proposed", choice.proposed);
        json.field("soonest", choice.soonest);
        json.field("latest", choice.latest);
        json.field("cheapest", choice.cheapest);
        json.field("cheapest_attended", choice.cheapest_attended);
        put_times(json, zone, plan.firing, choice.start);
        json.key("delay_min");
        plan.loaded ? json.value(choice.start - *plan.loaded) : json.null();
        json.field("top_attended", choice.top_attended);
        put_jobs(json, zone, plan.firing, choice.start, choice.jobs_alone);
        put_cost(json, facts, choice.cost);
        json.end_object();
    }
    json.end_array();
    put_remarks(json, plan.remarks);
    json.end_object();
}

} // namespace

std::string iso_moment(const Zone& zone, Moment moment) {
    const WallTime time = wall_time(zone, moment);
    const int offset = offset_s_at(zone, moment) / 60;
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}{}{:02}:{:02}", time.date.year,
                       time.date.month, time.date.day, time.minute / 60, time.minute % 60,
                       offset < 0 ? '-' : '+', std::abs(offset) / 60, std::abs(offset) % 60);
}

std::string plan_json(const PlanFacts& facts, const std::vector<FiringPlan>& plans) {
    std::string text;
    JsonWriter json(text, JsonLayout::indented);
    json.object();
    put_facts(json, facts);
    json.key("plans");
    json.array();
    for (const FiringPlan& plan : plans)
        put_plan(json, facts, plan);
    json.end_array();
    json.end_object();
    json.finish();
    return text + "\n";
}

std::string week_json(const PlanFacts& facts, const StudioWeek& week) {
    std::string text;
    JsonWriter json(text, JsonLayout::indented);
    const Zone& zone = facts.setting.zone;
    json.object();
    put_facts(json, facts);
    json.key("week");
    json.object();
    json.field("studio", std::string_view(week.studio));
    moment_field(json, "begins", zone, week.begins);
    moment_field(json, "ends", zone, week.ends);
    json.field("supply_kw", week.supply_kw, 3);
    json.field("highest_kw", week.plan.highest_kw, 3);
    json.field("turnaround_min", week.turnaround);
    json.key("firings");
    json.array();
    for (std::size_t i = 0; i < week.firings.size(); ++i) {
        const FiringPlan& plan = week.firings[i];
        const WeekEntry& entry = week.plan.entries[i];
        json.object();
        json.field("firing", plan.name);
        json.field("kiln", plan.kiln);
        json.field("fits", entry.fits);
        if (entry.fits) {
            moment_field(json, "load_from", zone, entry.load_from);
            moment_field(json, "load_by", zone, entry.load_by);
            put_times(json, zone, plan.firing, entry.start);
            json.field("top_attended", entry.top_attended);
            put_jobs(json, zone, plan.firing, entry.start, entry.jobs_alone);
            put_cost(json, facts, entry.cost);
        }
        put_remarks(json, plan.remarks);
        json.end_object();
    }
    json.end_array();
    json.end_object();
    json.end_object();
    json.finish();
    return text + "\n";
}

} // namespace fettle
