#include "compiler/lowering/curve_questions.h"

#include <algorithm>

namespace fettle {
namespace {

constexpr std::uint32_t missing(std::uint32_t what) {
    return pack({what, 0});
}

Atmosphere atmosphere_of(std::string_view word) {
    return word == "oxidation" ? Atmosphere::oxidation
           : word == "neutral" ? Atmosphere::neutral
                               : Atmosphere::reduction;
}

Vent vent_of(std::string_view word) {
    return word == "open" ? Vent::open : word == "propped" ? Vent::propped : Vent::closed;
}

char lower_letter(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

// Capital letters (of the first alphabet) are as small ones.
bool contains_words(std::string_view text, std::string_view words) {
    return std::search(text.begin(), text.end(), words.begin(), words.end(), [](char a, char b) {
               return lower_letter(a) == lower_letter(b);
           }) != text.end();
}

constexpr std::string_view vent_words[] = {"", "open", "propped", "closed"};

} // namespace

void append_table_stretches(const Segment& segment, std::vector<HeatStretch>& stretches) {
    append_stretches(
        segment, segment.kind == SegmentKind::full ? Estimates::use : Estimates::ignore, stretches);
}

ConeReading reading_of_schedule(const Ceramics& ceramics, const Schedule& schedule) {
    std::vector<HeatStretch> stretches;
    stretches.reserve(schedule.segments.size());
    for (const Segment& segment : schedule.segments)
        append_table_stretches(segment, stretches);
    return cone_reached(ceramics.shelf_cones(), stretches);
}

Value CurveQuestions::answer(const CurveAnswer& found, double factor) {
    segments_.insert(segments_.end(), found.segments.begin(), found.segments.end());
    if (!found.value) {
        return Value::indexed(ValueKind::unknown, missing(MissingField::kiln_time));
    }
    return Value::quantity(*found.value * factor);
}

Value CurveQuestions::ask_curve(BuiltinId question, std::span<const Value> arguments) {
    const auto a = [&] { return arguments[0].number; };
    const auto b = [&] { return arguments[1].number; };
    constexpr double per_second = 1.0 / 3600;
    switch (question) {
    case BuiltinId::peak:
        if (!peak_)
            peak_ = curve_.peak();
        return answer(*peak_);
    case BuiltinId::start: return answer(curve_.start());
    case BuiltinId::duration: return answer(curve_.duration());
    case BuiltinId::fastest_rise: return answer(curve_.fastest_rise(a(), b()), per_second);
    case BuiltinId::fastest_fall:
        // An estimate of how a kiln cools is good for hours, not to judge a fall by.
        return answer(Curve(schedule_, Estimates::ignore, curve_.naming()).fastest_fall(a(), b()),
                      per_second);
    case BuiltinId::time_above: return answer(curve_.time_above(a()));
    case BuiltinId::time_between: return answer(curve_.time_between(a(), b()));
    case BuiltinId::time_rising_between: return answer(curve_.time_rising_between(a(), b()));
    case BuiltinId::time_falling_between: return answer(curve_.time_falling_between(a(), b()));
    case BuiltinId::longest_soak: return answer(curve_.longest_soak(a(), b()));
    case BuiltinId::uses: {
        const Value value = answer(curve_.uses(atmosphere_of(program_.name(arguments[0].index))));
        return value.known() ? Value::yes_no(value.number != 0) : value;
    }
    case BuiltinId::lowest_temperature_in:
        return answer(
            curve_.lowest_temperature_in(atmosphere_of(program_.name(arguments[0].index))));
    case BuiltinId::fastest_set_fall: return answer(curve_.fastest_set_fall(a(), b()), per_second);
    case BuiltinId::time_on_the_way_up: return answer(curve_.time_on_the_way_up(a(), b()));
    case BuiltinId::opened_between:
        return Value::yes_no(answer(curve_.opened_between(a(), b())).number != 0);
    case BuiltinId::hottest_cooling_with: {
        const CurveAnswer found =
            curve_.hottest_cooling_with(vent_of(program_.name(arguments[0].index)));
        return found.value ? answer(found)
                           : Value::indexed(ValueKind::unknown, missing(MissingField::never_so));
    }
    case BuiltinId::confirms:
        return Value::yes_no(
            firing_ != nullptr &&
            std::any_of(firing_->confirmations.begin(), firing_->confirmations.end(),
                        [&](const FiringConfirm& confirmation) {
                            return contains_words(confirmation.text, arguments[0].as_text());
                        }));
    case BuiltinId::cone_asked: return cone_asked();
    case BuiltinId::vent_between:
    case BuiltinId::vent_on_the_way_up: {
        const Curve::VentAnswer found = question == BuiltinId::vent_between
                                            ? curve_.vent_between(a(), b())
                                            : curve_.vent_on_the_way_up(a(), b());
        segments_.insert(segments_.end(), found.segments.begin(), found.segments.end());
        if (!found.value || *found.value == Vent::unknown) {
            return Value::indexed(ValueKind::unknown, missing(MissingField::vent));
        }
        return Value::indexed(
            ValueKind::choice,
            program_.names.find(vent_words[static_cast<std::size_t>(*found.value)]));
    }
    case BuiltinId::cone_reached: {
        if (!reading_.complete) {
            return Value::indexed(ValueKind::unknown, missing(MissingField::nothing_fired));
        }
        ask_curve(BuiltinId::peak, {}); // where most of the heat work is done
        return Value::of(ValueKind::cone, ceramics_.shelf_cones().cones[*reading_.complete].cone);
    }
    default: return Value::poison();
    }
}

Value CurveQuestions::cone_asked() {
    std::optional<double> hottest;
    std::uint32_t at = 0;
    for (std::uint32_t i = 0; i < schedule_.segments.size(); ++i) {
        const std::string& name = schedule_.segments[i].to_cone;
        const auto cone = name.empty() ? std::nullopt : parse_cone(name);
        if (!cone || (hottest && *cone <= *hottest))
            continue;
        hottest = cone;
        at = i;
    }
    if (!hottest)
        return Value::indexed(ValueKind::unknown, missing(MissingField::cone_asked));
    segments_.push_back(at);
    return Value::of(ValueKind::cone, *hottest);
}

std::vector<std::uint32_t> CurveQuestions::take_segments() {
    std::sort(segments_.begin(), segments_.end());
    segments_.erase(std::unique(segments_.begin(), segments_.end()), segments_.end());
    return std::move(segments_);
}

} // namespace fettle
