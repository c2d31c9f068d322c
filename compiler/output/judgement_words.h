// What a judgement says, each phrase made in one place: for the terminal and the card alike. Plain
// text.
#pragma once

#include "compiler/judging/judge_firing.h"
#include "compiler/units/quantity.h"

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

std::string_view to_word(Verdict verdict); // "pass", "fail", "can't tell"

// "cone 6", "half-way from cone 5 to cone 6", "just short of cone 6"
std::string cone_words(const ConeReading& reading, const ConeScale& scale);
// "half a cone short", "a quarter of a cone too much", "right": of what was asked.
std::string cone_difference(const ConeReading& reading, double asked, const ConeScale& scale);

// "Yes.", "No: …", "It can't be told: …"
std::string overall_line(const JudgedFiring& judged);
// "the peak is within 6C of 1217C: it was 1219C"
std::string verdict_line(const JudgedFiring& judged, const AcceptanceVerdict& verdict, Scale scale);

// One line of each phase's steps: "climb to 600C: 119C/h (120C/h asked)".
std::string segment_line(const JudgedFiring& judged, std::size_t segment, Scale scale);

// What is to be known of log and schedule as a whole: another firing's log, cuts, a late start.
std::vector<std::string> whole_lines(const JudgedFiring& judged, Scale scale);

// Each shelf by its cones.
std::string shelf_line(const JudgedFiring& judged, const ShelfHeat& shelf, Scale scale);

// What to change; empty: nothing can be said.
std::vector<std::string> next_time_lines(const JudgedFiring& judged, Scale scale);

std::string_view likelihood(const Cause& cause); // "likely", "possible", "less likely"
// "speaks for it: 1h5m between 700C and 900C. Carbon burns out … (common practice)"
std::vector<std::string> evidence_lines(const Cause& cause);
inline constexpr std::string_view inquest_caution =
    "No log proves a cause. These are what people who fire have found behind such a defect, the "
    "likeliest here first.";

} // namespace fettle
