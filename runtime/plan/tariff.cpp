#include "runtime/plan/tariff.h"

#include <algorithm>
#include <limits>

namespace fettle {

namespace {

constexpr std::uint16_t no_line = std::numeric_limits<std::uint16_t>::max();

// Minutes that a line is for on one of its days.
int length_of(const Price& price) {
    if (!price.from) {
        return minutes_per_day;
    }
    const int length = *price.to - *price.from;
    return length > 0 ? length : length + minutes_per_day;
}

// The end of the run of minutes from `from` on for which `holds`.
template <typename Holds> int end_of_run(int from, Holds holds) {
    int end = from;
    while (end < minutes_per_week && holds(static_cast<std::size_t>(end))) {
        ++end;
    }
    return end;
}

// Puts the line at all its minutes; a fault where another has been put before.
TariffFault put(std::size_t line, WeekOfPrices& week) {
    std::array<bool, minutes_per_week> taken{};
    const Price& price = week.prices[line];
    std::size_t other = 0;
    bool overlaps = false;
    for (int day = 0; day < 7; ++day) {
        if ((price.days & day_bit(day)) == 0) {
            continue;
        }
        const int from = day * minutes_per_day + price.from.value_or(0);
        for (int i = 0; i < length_of(price); ++i) {
            const auto minute = static_cast<std::size_t>((from + i) % minutes_per_week);
            if (week.price_at[minute] != no_line) {
                taken[minute] = true;
                overlaps = true;
            }
        }
    }
    if (overlaps) {
        const auto first =
            static_cast<int>(std::find(taken.begin(), taken.end(), true) - taken.begin());
        other = week.price_at[static_cast<std::size_t>(first)];
        const int end = end_of_run(first, [&](std::size_t minute) {
            return taken[minute] && week.price_at[minute] == other;
        });
        return {TariffFault::Kind::overlap, first, end, other, line};
    }
    for (int day = 0; day < 7; ++day) {
        if ((price.days & day_bit(day)) == 0) {
            continue;
        }
        const int from = day * minutes_per_day + price.from.value_or(0);
        for (int i = 0; i < length_of(price); ++i) {
            week.price_at[static_cast<std::size_t>((from + i) % minutes_per_week)] =
                static_cast<std::uint16_t>(line);
        }
    }
    return {TariffFault::Kind::none};
}

} // namespace

TariffFault prepare(const std::vector<Price>& prices, WeekOfPrices& week) {
    week.prices = prices;
    week.price_at.fill(no_line);
    std::optional<std::size_t> rest;
    for (std::size_t i = 0; i < prices.size(); ++i) {
        if (prices[i].is_for_the_rest()) {
            if (rest) {
                return {TariffFault::Kind::two_for_the_rest, 0, minutes_per_week, *rest, i};
            }
            rest = i;
        } else if (const TariffFault fault = put(i, week); fault.kind != TariffFault::Kind::none) {
            return fault;
        }
    }
    if (prices.empty()) {
        return {TariffFault::Kind::no_price, 0, minutes_per_week};
    }
    if (rest) {
        std::replace(week.price_at.begin(), week.price_at.end(), no_line,
                     static_cast<std::uint16_t>(*rest));
        return {TariffFault::Kind::none};
    }
    const auto* const gap = std::find(week.price_at.begin(), week.price_at.end(), no_line);
    if (gap == week.price_at.end()) {
        return {TariffFault::Kind::none};
    }
    const auto from = static_cast<int>(gap - week.price_at.begin());
    return {TariffFault::Kind::gap, from,
            end_of_run(from, [&](std::size_t minute) { return week.price_at[minute] == no_line; })};
}

} // namespace fettle
