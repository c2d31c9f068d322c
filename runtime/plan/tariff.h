// What a kilowatt hour costs at each minute of a week, by the clock on the wall.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

namespace fettle {

inline constexpr int minutes_per_day = 24 * 60;
inline constexpr int minutes_per_week = 7 * minutes_per_day;

// A set of days, Monday first.
using Days = std::uint8_t;
inline constexpr Days every_day = 0x7f;
constexpr Days day_bit(int day) {
    return static_cast<Days>(1u << day);
}

// One line of a tariff.
struct Price {
    double per_kwh = 0;
    // Hours of the day, in minutes after midnight. A stretch that does not end later than it
    // begins runs into the next day, and belongs to the day on which it begins: from 22:30 to 06:30
    // on Friday ends on Saturday morning.
    std::optional<int> from, to; // both or neither; neither: the whole day
    Days days = every_day;

    // Without hours and days: for all times that no other line is for.
    bool is_for_the_rest() const { return !from && days == every_day; }
};

// The line of each minute since Monday 00:00.
struct WeekOfPrices {
    std::vector<Price> prices;
    std::array<std::uint16_t, minutes_per_week> price_at{}; // index in `prices`

    double per_kwh(int minute_of_week) const {
        return prices[price_at[static_cast<std::size_t>(minute_of_week)]].per_kwh;
    }
};

struct TariffFault {
    enum class Kind : std::uint8_t { none, no_price, gap, overlap, two_for_the_rest } kind;
    // The first minutes of the week that have no price, or two: [from, to).
    int from = 0, to = 0;
    std::size_t first = 0, second = 0; // the lines that overlap
};

// Fills `week` from the lines; it is whole only where no fault is given.
TariffFault prepare(const std::vector<Price>& prices, WeekOfPrices& week);

} // namespace fettle
