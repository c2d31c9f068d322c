#include "compiler/cli/plan_setting.h"

#include "compiler/cli/terminal.h"
#include "compiler/cli/zone_files.h"
#include "compiler/meaning/prices.h"
#include "compiler/source/characters.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

std::string_view name_of(const Program& program, const Profile& profile) {
    return program.name(program.declarations[profile.declaration].name);
}

const Value& field_of(const Profile& profile, std::string_view name) {
    return profile.fields[static_cast<std::size_t>(field::at(holder_of(profile.kind), name))];
}

std::string title_and_name(const Program& program, const Profile& profile) {
    const std::string_view name = name_of(program, profile);
    return profile.title.empty() ? std::string(name) : fmt::format("{} ({})", profile.title, name);
}

std::vector<const Profile*> all_of(const Program& program, ProfileKind kind) {
    std::vector<const Profile*> found;
    for (const Profile& profile : program.profiles) {
        if (profile.kind == kind && program.declarations[profile.declaration].usable)
            found.push_back(&profile);
    }
    return found;
}

// Nothing, and it was said: there is none of that name.
const Profile* find_named(const Program& program, ProfileKind kind, const std::string& name) {
    const auto all = all_of(program, kind);
    std::vector<std::string_view> names;
    for (const Profile* profile : all) {
        if (name_of(program, *profile) == name)
            return profile;
        names.push_back(name_of(program, *profile));
    }
    const auto near = nearest(name, names);
    std::string there;
    for (const std::string_view other : names)
        there += fmt::format("{}{}", there.empty() ? "; there is " : ", ", other);
    say(fmt::format("error: there is no {} `{}`{}", to_string(kind), visible(name),
                    near ? fmt::format("; did you mean `{}`?", *near) : there));
    return nullptr;
}

bool has_kiln(const Program& program, const Profile& studio, const Profile& kiln) {
    const Value& kilns = field_of(studio, "kilns");
    if (!kilns.is(ValueKind::list))
        return false;
    const auto list = kilns.as_list();
    return std::any_of(list.begin(), list.end(), [&](const Value& each) {
        return each.is(ValueKind::profile) && &program.profiles[each.index] == &kiln;
    });
}

bool read_hours(const std::string& words, std::optional<Hours>& hours) {
    const std::size_t to = words.find(" to ");
    if (to != std::string::npos) {
        const auto from = read_minute_of_day(std::string_view(words).substr(0, to));
        const auto until = read_minute_of_day(std::string_view(words).substr(to + 4));
        if (from && until) {
            hours = Hours{*from, *until};
            return true;
        }
    }
    say(fmt::format("error: --attended takes hours such as \"08:00 to 22:00\", not `{}`",
                    visible(words)));
    return false;
}

bool find_prices(const Program& program, const PlanWishes& wishes, const Profile* studio,
                 PlanFacts& facts) {
    const Profile* tariff = nullptr;
    if (!wishes.tariff.empty()) {
        tariff = find_named(program, ProfileKind::tariff, wishes.tariff);
        if (tariff == nullptr)
            return false;
    } else if (studio != nullptr && field_of(*studio, "tariff").is(ValueKind::profile)) {
        tariff = &program.profiles[field_of(*studio, "tariff").index];
    } else if (const auto all = all_of(program, ProfileKind::tariff); all.size() == 1) {
        tariff = all.front();
    }
    if (tariff == nullptr)
        return true;
    WeekOfPrices week;
    prepare(prices_of(*tariff), week); // without a fault: it is usable
    facts.setting.prices = week;
    facts.tariff = title_and_name(program, *tariff);
    if (const Value& currency = field_of(*tariff, "currency"); currency.is(ValueKind::text))
        facts.currency = currency.as_text();
    return true;
}

} // namespace

std::optional<Hours> hours_of(const Profile& kiln_or_studio) {
    const Value& hours = field_of(kiln_or_studio, "attended");
    if (!hours.is(ValueKind::range))
        return std::nullopt;
    return Hours{static_cast<int>(std::lround(hours.low().number / 60)),
                 static_cast<int>(std::lround(hours.high().number / 60))};
}

std::optional<Moment> longest_delay_of(const Program& program, const Profile& kiln) {
    const Value& controller = field_of(kiln, "controller");
    if (!controller.is(ValueKind::profile))
        return std::nullopt;
    const Value& delay = field_of(program.profiles[controller.index], "start_delay");
    if (!delay.is(ValueKind::quantity))
        return std::nullopt;
    return static_cast<Moment>(delay.number / 60);
}

bool find_studio(const Program& program, const std::string& name,
                 const std::vector<const Profile*>& kilns, const Profile*& studio) {
    studio = nullptr;
    if (!name.empty()) {
        studio = find_named(program, ProfileKind::studio, name);
        return studio != nullptr;
    }
    for (const Profile* each : all_of(program, ProfileKind::studio)) {
        const bool all = std::all_of(kilns.begin(), kilns.end(), [&](const Profile* kiln) {
            return has_kiln(program, *each, *kiln);
        });
        if (!all)
            continue;
        if (studio != nullptr) {
            say(fmt::format("error: both {} and {} have these kilns; name one with --studio",
                            name_of(program, *studio), name_of(program, *each)));
            return false;
        }
        studio = each;
    }
    return true;
}

double supply_kw_of(const Profile& studio) {
    const Value& supply = field_of(studio, "supply");
    return supply.is(ValueKind::quantity) ? supply.number / 1000 : 0;
}

bool find_facts(const Program& program, const PlanWishes& wishes, const Profile* studio,
                PlanFacts& facts) {
    if (!find_prices(program, wishes, studio, facts))
        return false;
    if (!wishes.attended.empty()) {
        if (!read_hours(wishes.attended, facts.setting.attended))
            return false;
    } else if (studio != nullptr) {
        facts.setting.attended = hours_of(*studio);
    }
    std::string zone = wishes.zone;
    if (zone.empty() && studio != nullptr && field_of(*studio, "zone").is(ValueKind::text))
        zone = field_of(*studio, "zone").as_text();
    if (zone.empty())
        return true;
    std::string problem;
    const auto found = find_zone(zone, problem);
    if (!found) {
        say("error: " + problem);
        return false;
    }
    facts.setting.zone = *found;
    facts.zone_given = true;
    return true;
}

bool read_typed_time(std::string_view option, const std::string& words, TypedTime& time) {
    const std::size_t blank = words.find(' ');
    const std::string clock = blank == std::string::npos ? words : words.substr(blank + 1);
    const auto minute = read_minute_of_day(clock);
    if (blank != std::string::npos)
        time.day = read_date(std::string_view(words).substr(0, blank));
    if (minute && (blank == std::string::npos || time.day)) {
        time.minute = *minute;
        return true;
    }
    say(fmt::format("error: {} takes a time such as 08:00, or a day and a time such as "
                    "\"2026-12-04 08:00\", not `{}`",
                    option, visible(words)));
    return false;
}

bool read_day(const std::string& words, std::optional<Date>& day) {
    if (words.empty())
        return true;
    day = read_date(words);
    if (!day)
        say(fmt::format("error: --on takes a day such as 2026-12-04, not `{}`", visible(words)));
    return day.has_value();
}

bool find_moment(std::string_view option, const Zone& zone, Date day, int minute, Moment& moment) {
    const Moments moments = moments_of(zone, {day, minute});
    if (moments.count == 0) {
        say(fmt::format("error: {}: there is no {:02}:{:02} on {:04}-{:02}-{:02} in {}, since the "
                        "clock is put forward over it; write another time",
                        option, minute / 60, minute % 60, day.year, day.month, day.day, zone.name));
        return false;
    }
    moment = moments.first;
    return true;
}

bool find_ready_by(const PlanWishes& wishes, const Zone& zone, std::optional<Moment>& ready_by) {
    if (wishes.ready_by.empty())
        return true;
    TypedTime time;
    std::optional<Date> day;
    if (!read_typed_time("--ready-by", wishes.ready_by, time) || !read_day(wishes.on, day))
        return false;
    if (!time.day)
        time.day = day;
    if (!time.day) {
        say("error: --ready-by needs its day: add --on 2026-12-04");
        return false;
    }
    Moment moment = 0;
    if (!find_moment("--ready-by", zone, *time.day, time.minute, moment))
        return false;
    ready_by = moment;
    return true;
}

bool find_loaded(const PlanWishes& wishes, const Zone& zone, std::optional<Moment> latest,
                 std::optional<Moment>& loaded) {
    if (wishes.loaded.empty())
        return true;
    TypedTime time;
    std::optional<Date> day;
    if (!read_typed_time("--loaded", wishes.loaded, time) || !read_day(wishes.on, day))
        return false;
    if (!time.day && latest) {
        const WallTime last = wall_time(zone, *latest);
        const std::int64_t its_day = days_since_1970(last.date);
        time.day = date_of_day(last.minute >= time.minute ? its_day : its_day - 1);
    }
    if (!time.day)
        time.day = day;
    if (!time.day) {
        say("error: --loaded needs its day: add --on 2026-12-03");
        return false;
    }
    Moment moment = 0;
    if (!find_moment("--loaded", zone, *time.day, time.minute, moment))
        return false;
    loaded = moment;
    return true;
}

} // namespace fettle
