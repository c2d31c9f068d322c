#include "compiler/output/judgement_words.h"

#include "compiler/output/phrases.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace fettle {
namespace {

std::string degrees(double celsius, Scale scale) {
    return print_temperature(std::round(celsius), scale);
}

std::string kelvin(double difference, Scale scale) {
    return printed_step(std::round(std::fabs(difference)), scale);
}

std::string minutes(double seconds) {
    return seconds < 120 ? print_duration(seconds) : print_duration(std::round(seconds / 60) * 60);
}

// "the top shelf", "the kiln" where none was named.
std::string shelf_name(std::string_view shelf) {
    return shelf.empty() ? "the kiln" : fmt::format("the {} shelf", shelf);
}

std::string readings_of(const ShelfHeat& shelf) {
    std::vector<std::string> parts;
    for (const WitnessReading& reading : shelf.readings)
        parts.push_back(fmt::format("cone {} {}", cone_name(reading.cone), to_word(reading.look)));
    return joined(parts);
}

const ShelfHeat* shelf_of(const JudgedFiring& judged, std::string_view name) {
    for (const ShelfHeat& shelf : judged.judgement.shelves) {
        if (shelf.shelf == name)
            return &shelf;
    }
    return nullptr;
}

std::string above_or_below(double difference, Scale scale) {
    if (std::fabs(difference) < 0.5)
        return "as asked";
    return fmt::format("{} {}", kelvin(difference, scale), difference > 0 ? "above" : "below");
}

std::string ground_words(const AcceptanceVerdict& verdict, const JudgedFiring& judged) {
    switch (verdict.ground) {
    case Ground::log_begins_late: return "the log begins after the firing did";
    case Ground::log_ends_early: return "the log ends before that";
    case Ground::gap_at_the_top:
        return fmt::format("the log has no reading for {} at the top",
                           minutes(verdict.found.value_or(0)));
    case Ground::not_in_schedule: return "the schedule has no peak to hold it against";
    case Ground::contradictory:
        return fmt::format("the cones of {} contradict one another; were two of them mixed up?",
                           shelf_name(verdict.shelf));
    case Ground::no_cone_read:
        return fmt::format("no such cone was read; by the sensor alone it came to {}",
                           cone_words(judged.judgement.heat, *judged.scale));
    case Ground::flat_alone:
        return fmt::format("on {} it lies flat, and only a hotter cone beside it would tell by how "
                           "much it was passed",
                           shelf_name(verdict.shelf));
    case Ground::other_cones: {
        const ShelfHeat* shelf = shelf_of(judged, verdict.shelf);
        return shelf == nullptr ? std::string()
                                : fmt::format("on {} there is {}", shelf_name(verdict.shelf),
                                              readings_of(*shelf));
    }
    case Ground::log:
    case Ground::cone_read: break;
    }
    return {};
}

std::string found_words(const JudgedFiring& judged, const AcceptanceVerdict& verdict, Scale scale) {
    const AcceptanceItem& item = judged.acceptance[verdict.item];
    if (const std::string ground = ground_words(verdict, judged); !ground.empty())
        return ground;
    const double found = verdict.found.value_or(0);
    switch (item.kind) {
    case AcceptanceKind::peak:
        return fmt::format("it was {}, {}", degrees(found, scale),
                           above_or_below(found - item.value, scale));
    case AcceptanceKind::soak: return fmt::format("it was there {}", minutes(found));
    case AcceptanceKind::duration:
        return fmt::format("it took {}, {} asked", minutes(found), minutes(item.value));
    case AcceptanceKind::witness: {
        const ShelfHeat* shelf = shelf_of(judged, verdict.shelf);
        return fmt::format("on {} there is {}", shelf_name(verdict.shelf),
                           shelf == nullptr ? "" : readings_of(*shelf));
    }
    }
    return {};
}

// "20C to 44C", or where it may be either "4C colder to 7C hotter".
std::string range_words(double low_k, double high_k, Scale scale) {
    if (low_k > 0)
        return fmt::format("{} to {}", kelvin(low_k, scale), kelvin(high_k, scale));
    if (high_k < 0)
        return fmt::format("{} to {}", kelvin(high_k, scale), kelvin(low_k, scale));
    return fmt::format("{} colder to {} hotter", kelvin(low_k, scale), kelvin(high_k, scale));
}

// Steps of a quarter of a cone are what an eye can tell.
std::string how_many_cones(double cones) {
    constexpr std::array<std::string_view, 4> parts = {"", "a quarter of", "half",
                                                       "three quarters of"};
    const auto quarters = static_cast<long>(std::lround(std::fabs(cones) * 4));
    const long whole = quarters / 4, rest = quarters % 4;
    if (whole == 0)
        return rest == 0 ? "a hair"
                         : fmt::format("{} a cone", parts[static_cast<std::size_t>(rest)]);
    if (rest == 0)
        return whole == 1 ? "a cone" : fmt::format("{} cones", whole);
    return fmt::format("{} cones", print_number(static_cast<double>(quarters) / 4, 2));
}

} // namespace

std::string_view to_word(Verdict verdict) {
    constexpr std::array<std::string_view, 3> words = {"pass", "fail", "can't tell"};
    return words[static_cast<std::size_t>(verdict)];
}

std::string cone_words(const ConeReading& reading, const ConeScale& scale) {
    const auto name = [&](std::size_t index) { return cone_name(scale.cones[index].cone); };
    if (!reading.complete)
        return reading.next ? fmt::format("less than cone {}", name(*reading.next)) : "no cone";
    if (!reading.next)
        return fmt::format("cone {} or more", name(*reading.complete));
    const long percent = std::lround(reading.fraction_to_next * 100);
    if (percent <= 5)
        return fmt::format("cone {}", name(*reading.complete));
    if (percent >= 95)
        return fmt::format("just short of cone {}", name(*reading.next));
    return fmt::format("cone {} and {}% of the way to cone {}", name(*reading.complete), percent,
                       name(*reading.next));
}

std::string cone_difference(const ConeReading& reading, double asked, const ConeScale& scale) {
    const double past = cones_past(reading, asked, scale);
    if (std::fabs(past) < 0.125)
        return "right";
    return fmt::format("{} {}", how_many_cones(past), past > 0 ? "too much" : "short");
}

std::string overall_line(const JudgedFiring& judged) {
    if (judged.acceptance.empty())
        return "Nothing was specified (`accept { … }`), so there is nothing to pass or fail.";
    const auto count = [&](Verdict wanted) {
        return std::count_if(judged.judgement.acceptance.begin(), judged.judgement.acceptance.end(),
                             [&](const auto& verdict) { return verdict.verdict == wanted; });
    };
    const auto failed = count(Verdict::fail), unknown = count(Verdict::cannot_tell);
    const std::size_t all = judged.acceptance.size();
    if (failed > 0)
        return fmt::format("No: {} of {} {} not met.", failed, all, failed == 1 ? "is" : "are");
    if (unknown > 0)
        return fmt::format("It can't be told: {} of {} can't be judged, the others are met.",
                           unknown, all);
    return all == 1 ? "Yes: what was specified is met."
                    : fmt::format("Yes: all {} that were specified are met.", all);
}

std::string verdict_line(const JudgedFiring& judged, const AcceptanceVerdict& verdict,
                         Scale scale) {
    return fmt::format(
        "{}: {}",
        accept_line(judged.document->accept[verdict.item], *judged.document->schedule, scale),
        found_words(judged, verdict, scale));
}

std::string segment_line(const JudgedFiring& judged, std::size_t index, Scale scale) {
    const Segment& asked = judged.document->schedule->segments[index];
    const SegmentJudgement& real = judged.judgement.segments[index];
    std::string text =
        fmt::format("{} {} {}", what_it_does(asked), asked.kind == SegmentKind::soak ? "at" : "to",
                    print_temperature(asked.to_c, scale, 1));
    if (real.piece.end == PieceEnd::not_begun || real.piece.duration_s() <= 0)
        return text + (real.piece.end == PieceEnd::not_begun ? ": not in the log" : ": no time");
    if (asked.kind == SegmentKind::soak) {
        text += fmt::format(": {}", minutes(real.piece.duration_s()));
        if (real.asked_s)
            text += fmt::format(" ({} asked)", minutes(*real.asked_s));
        text += fmt::format(", {} of it within {}", minutes(real.within_band_s.value_or(0)),
                            printed_step(soak_band_k, scale));
    } else {
        text += fmt::format(
            ": {}", print_rate(std::round(std::fabs(real.real_rate_k_per_h.value_or(0))), scale));
        if (real.asked_rate_k_per_h)
            text += fmt::format(" ({} asked)",
                                print_rate(std::round(std::fabs(*real.asked_rate_k_per_h)), scale));
    }
    if (real.piece.end == PieceEnd::not_reached)
        text += fmt::format(", but it only came to {}", degrees(real.highest_c, scale));
    if (real.piece.end == PieceEnd::log_ended)
        text += ", where the log ends";
    return text;
}

std::vector<std::string> whole_lines(const JudgedFiring& judged, Scale scale) {
    const Alignment& alignment = judged.judgement.alignment;
    std::vector<std::string> lines;
    if (alignment.looks_like_fahrenheit)
        lines.emplace_back("The log would fit if it were in degrees Fahrenheit: if it is, say "
                           "`--unit F`.");
    else if (alignment.looks_like_another)
        lines.push_back(fmt::format(
            "This looks like the log of another firing: it peaks at {}, and its pace is not that "
            "of {}. Did you mean another firing, or another log?",
            degrees(alignment.peak_c, scale), judged.document->name));
    if (alignment.begins_late)
        lines.push_back(fmt::format("The log begins late: the kiln is at {} in its first line.",
                                    degrees(alignment.start_c, scale)));
    else
        lines.push_back(fmt::format("Heating begins {} into the log, at {}.",
                                    minutes(alignment.start_s), degrees(alignment.start_c, scale)));
    constexpr std::size_t most_dips = 3;
    for (std::size_t i = 0; i < std::min(most_dips, alignment.dips.size()); ++i) {
        const LogDip& dip = alignment.dips[i];
        lines.push_back(
            fmt::format("At {} it falls by {} and is as hot again {} later: power lost, "
                        "or a door opened.",
                        printed_offset(dip.from_s - alignment.start_s), kelvin(dip.depth_k, scale),
                        minutes(dip.to_s - dip.from_s)));
    }
    if (alignment.dips.size() > most_dips)
        lines.push_back(fmt::format("It falls and comes back {} more times.",
                                    alignment.dips.size() - most_dips));
    return lines;
}

std::string shelf_line(const JudgedFiring& judged, const ShelfHeat& shelf, Scale scale) {
    if (!shelf.known)
        return fmt::format("{}: its cones are not on the scale", shelf_name(shelf.shelf));
    if (shelf.contradictory)
        return fmt::format("{}: {} contradict one another; were two of them mixed up?",
                           shelf_name(shelf.shelf), readings_of(shelf));
    std::string text = fmt::format("{}: {}. That is {}", shelf_name(shelf.shelf),
                                   readings_of(shelf), cone_words(shelf.heat, *judged.scale));
    if (judged.asked_cone)
        text += fmt::format(", {}", cone_difference(shelf.heat, *judged.asked_cone, *judged.scale));
    if (std::fabs(shelf.best_k) < 1)
        return text + "; the sensor says the same.";
    text += fmt::format("; as if {} {} than the sensor", kelvin(shelf.best_k, scale),
                        shelf.best_k > 0 ? "hotter" : "colder");
    if (shelf.low_k && shelf.high_k)
        text += fmt::format(" ({})", range_words(*shelf.low_k, *shelf.high_k, scale));
    return text + ".";
}

namespace {

std::string choice_words(const NextTime& next, const Correction& choice, Scale scale) {
    std::string text = choice.top_c == next.top_c
                           ? fmt::format("top {} as it is", degrees(choice.top_c, scale))
                           : fmt::format("top {}", degrees(choice.top_c, scale));
    if (choice.soak_s > 0)
        text += fmt::format(", soak {}", print_duration(choice.soak_s));
    else if (next.soak_s > 0)
        text += ", no soak";
    return text;
}

} // namespace

std::vector<std::string> next_time_lines(const JudgedFiring& judged, Scale scale) {
    std::vector<std::string> lines;
    if (!judged.next)
        return lines;
    const NextTime& next = *judged.next;
    const std::string cone = "cone " + cone_name(next.cone);
    const std::string who =
        judged.next_by_sensor ? "By the sensor alone" : "On " + shelf_name(judged.next_shelf);
    const std::string had = fmt::format("{} {} had {}% of its heat work", who, cone,
                                        print_number(std::round(next.work_was * 100), 0));
    switch (next.outcome) {
    case CorrectionOutcome::no_top:
    case CorrectionOutcome::unknown_cone: return lines;
    case CorrectionOutcome::as_it_is: lines.push_back(had + ": nothing to change."); return lines;
    case CorrectionOutcome::fell_short:
        lines.push_back(fmt::format("{}. The kiln did not come to the {} that was asked for, so a "
                                    "hotter top can't help: look at its elements and its mains.",
                                    had, print_temperature(next.top_c, scale, 1)));
        break;
    case CorrectionOutcome::large:
        lines.push_back(had + ". That is far off: before you correct it, look for what is wrong "
                              "(sensor, elements, another cone than you thought).");
        break;
    case CorrectionOutcome::solved: lines.push_back(had + "."); break;
    }
    const std::string was =
        fmt::format("(this time: {}{})", print_temperature(next.top_c, scale, 1),
                    next.soak_s > 0 ? ", soak " + print_duration(next.soak_s) : "");
    for (std::size_t i = 0; i < next.choices.size(); ++i)
        lines.push_back(fmt::format("{}: {}{}", i == 0 ? "Next time" : "Or",
                                    choice_words(next, next.choices[i], scale),
                                    i == 0 ? " " + was : ""));
    for (const ShelfNextTime& shelf : judged.shelves_next) {
        if (shelf.shelf != judged.next_shelf)
            lines.push_back(fmt::format("With the first, {} gets {} ({}).", shelf_name(shelf.shelf),
                                        cone_words(shelf.then, *judged.scale),
                                        cone_difference(shelf.then, next.cone, *judged.scale)));
    }
    if (judged.next_by_sensor)
        lines.emplace_back("Put witness cones in before you change anything: a sensor drifts, and "
                           "cones stand beside the ware.");
    return lines;
}

std::string_view likelihood(const Cause& cause) {
    return cause.supported && cause.score >= 2   ? "likely"
           : cause.supported || cause.score >= 1 ? "possible"
                                                 : "less likely";
}

std::vector<std::string> evidence_lines(const Cause& cause) {
    std::vector<std::string> lines;
    for (const Evidence& evidence : cause.evidence) {
        const CauseRow& row = *evidence.row;
        const std::string why = fmt::format("{} ({})", row.reason, row.source);
        if (row.measure.empty())
            lines.push_back(why);
        else if (evidence.says == Says::nothing)
            lines.push_back("not known here: " + why);
        else
            lines.push_back(fmt::format("{}: {}. {}",
                                        evidence.says == Says::supports ? "for it" : "against it",
                                        measure_text(row.measure, *evidence.found), why));
    }
    return lines;
}

} // namespace fettle
