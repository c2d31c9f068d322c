// What `fettle plan` is asked for: hours, days, tariff, studio, from the words on the command line
// and from the profiles of the files.
#pragma once

#include "compiler/meaning/program.h"
#include "compiler/output/plan_text.h"

#include <optional>
#include <string>
#include <vector>

namespace fettle {

// As it was typed; empty: not at all.
struct PlanWishes {
    std::string tariff, studio, ready_by, loaded, on, zone, attended;
};

// What a profile says, where it says it.
std::optional<Hours> hours_of(const Profile& kiln_or_studio);
std::optional<Moment> longest_delay_of(const Program& program, const Profile& kiln);

// The studio that was named, or the only one that has all these kilns; nothing: there is none.
// False: it was said what is wrong.
bool find_studio(const Program& program, const std::string& name,
                 const std::vector<const Profile*>& kilns, const Profile*& studio);
double supply_kw_of(const Profile& studio); // 0: it does not say

// Tariff, hours and zone. False: it was said what is wrong.
bool find_facts(const Program& program, const PlanWishes& wishes, const Profile* studio,
                PlanFacts& facts);

// A day and a time of day: "08:00", for which `day` is needed, or "2026-12-04 08:00".
struct TypedTime {
    std::optional<Date> day;
    int minute = 0;
};
// False: it was said what is wrong with the words of that option.
bool read_typed_time(std::string_view option, const std::string& words, TypedTime& time);
bool read_day(const std::string& words, std::optional<Date>& day);
// The moment of a time on the wall. Of two, the first. False: the clock is put forward over it,
// which was said.
bool find_moment(std::string_view option, const Zone& zone, Date day, int minute, Moment& moment);

// When it is ready and loaded, by the options; `latest` is the latest start that is asked for, and
// a time of loading without a day is the last such before it. False: it was said what is wrong.
bool find_ready_by(const PlanWishes& wishes, const Zone& zone, std::optional<Moment>& ready_by);
bool find_loaded(const PlanWishes& wishes, const Zone& zone, std::optional<Moment> latest,
                 std::optional<Moment>& loaded);

} // namespace fettle
