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

constexpr std::string_view vent_words[] = {"", "open", "propped", "closed"};

} // namespace

ConeReading reading_of_schedule(const Ceramics& ceramics, const Schedule& schedule) {
    return cone_reached(ceramics.shelf_cones(), stretches_of(schedule, Estimates::use).stretches);
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
    case BuiltinId::peak: return answer(curve_.peak());
    case BuiltinId::start: return answer(curve_.start());
    case BuiltinId::duration: return answer(curve_.duration());
    case BuiltinId::fastest_rise: return answer(curve_.fastest_rise(a(), b()), per_second);
    case BuiltinId::fastest_fall: return answer(curve_.fastest_fall(a(), b()), per_second);
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
    case BuiltinId::vent_between: {
        const Curve::VentAnswer found = curve_.vent_between(a(), b());
        segments_.insert(segments_.end(), found.segments.begin(), found.segments.end());
        if (!found.value || *found.value == Vent::unknown) {
            return Value::indexed(ValueKind::unknown, missing(MissingField::vent));
        }
        return Value::indexed(
            ValueKind::choice,
            program_.names.find(vent_words[static_cast<std::size_t>(*found.value)]));
    }
    case BuiltinId::cone_reached: {
        if (!reading_)
            reading_ = reading_of_schedule(ceramics_, schedule_);
        if (!reading_->complete) {
            return Value::indexed(ValueKind::unknown, missing(MissingField::nothing_fired));
        }
        return Value::of(ValueKind::cone, ceramics_.shelf_cones().cones[*reading_->complete].cone);
    }
    default: return Value::poison();
    }
}

std::vector<std::uint32_t> CurveQuestions::take_segments() {
    std::sort(segments_.begin(), segments_.end());
    segments_.erase(std::unique(segments_.begin(), segments_.end()), segments_.end());
    return std::move(segments_);
}

} // namespace fettle
