#include "compiler/meaning/prices.h"

#include "compiler/meaning/evaluate.h"

#include <fmt/format.h>

#include <cmath>

namespace fettle {
namespace {

constexpr Days weekdays = 0x1f;
constexpr Days weekends = 0x60;
constexpr double joule_per_kwh = 3.6e6;

struct DayWord {
    std::string_view word;
    Days days;
};
constexpr DayWord all_day_words[] = {
    {"monday", day_bit(0)},   {"tuesday", day_bit(1)}, {"wednesday", day_bit(2)},
    {"thursday", day_bit(3)}, {"friday", day_bit(4)},  {"saturday", day_bit(5)},
    {"sunday", day_bit(6)},   {"weekdays", weekdays},  {"weekends", weekends}};

int minute_of(const Value& clock) {
    return static_cast<int>(std::lround(clock.number / 60));
}

std::string printed(const Program& program, const ProfilePrice& price) {
    return print_value(program, price.price, Types::price);
}

Span span_of_name(const Program& program, const Profile& tariff) {
    const Declaration& declaration = program.declarations[tariff.declaration];
    const Module& module = program.modules[declaration.module];
    return module.span(module.child(declaration.node, 0));
}

} // namespace

const std::vector<std::string_view>& day_words() {
    static const std::vector<std::string_view> words = [] {
        std::vector<std::string_view> all;
        for (const DayWord& day : all_day_words)
            all.push_back(day.word);
        return all;
    }();
    return words;
}

Days days_named(std::string_view word) {
    for (const DayWord& day : all_day_words) {
        if (day.word == word)
            return day.days;
    }
    return 0;
}

std::string print_days(Days days) {
    if (days == every_day)
        return "every day";
    if (days == weekdays || days == weekends)
        return days == weekdays ? "weekdays" : "weekends";
    std::string text;
    for (int day = 0; day < 7; ++day) {
        if ((days & day_bit(day)) != 0)
            text += fmt::format("{}{}", text.empty() ? "" : ", ",
                                all_day_words[static_cast<std::size_t>(day)].word);
    }
    return text;
}

std::string print_minute_of_week(int minute) {
    const int of_day = minute % minutes_per_day;
    const int day = minute / minutes_per_day % 7;
    std::string name(all_day_words[static_cast<std::size_t>(day)].word);
    name[0] = static_cast<char>(name[0] - 'a' + 'A');
    return fmt::format("{} {:02}:{:02}", name, of_day / 60, of_day % 60);
}

std::vector<Price> prices_of(const Profile& tariff) {
    std::vector<Price> prices;
    for (const ProfilePrice& line : tariff.prices) {
        Price price;
        price.per_kwh = line.price.number * joule_per_kwh;
        if (line.from.is(ValueKind::clock)) {
            price.from = minute_of(line.from);
            price.to = minute_of(line.to);
        }
        price.days = line.days;
        prices.push_back(price);
    }
    return prices;
}

void check_prices(const Program& program, const Profile& tariff, Diagnostics& diagnostics) {
    for (const ProfilePrice& line : tariff.prices) {
        // What is wrong in a line was said already.
        if (!line.price.is(ValueKind::quantity) || line.days == 0 ||
            line.from.is(ValueKind::poison) || line.to.is(ValueKind::poison))
            return;
        if (line.price.number < 0) {
            diagnostics.report(DiagnosticKind::not_positive, line.span,
                               "a price can't be below zero");
            return;
        }
    }
    WeekOfPrices week;
    const TariffFault fault = prepare(prices_of(tariff), week);
    switch (fault.kind) {
    case TariffFault::Kind::none: break;
    case TariffFault::Kind::no_price:
        diagnostics
            .report(DiagnosticKind::tariff_gap, span_of_name(program, tariff),
                    "this tariff has no price")
            .mend("add one, such as `price 0.31/kWh`");
        break;
    case TariffFault::Kind::gap:
        diagnostics
            .report(DiagnosticKind::tariff_gap, span_of_name(program, tariff),
                    fmt::format("nothing says what a kilowatt hour costs from {} to {}",
                                print_minute_of_week(fault.from), print_minute_of_week(fault.to)))
            .mend("add a `price` without hours and days: it holds whenever no other does");
        break;
    case TariffFault::Kind::overlap:
    case TariffFault::Kind::two_for_the_rest: {
        const ProfilePrice& first = tariff.prices[fault.first];
        const ProfilePrice& second = tariff.prices[fault.second];
        const bool rest = fault.kind == TariffFault::Kind::two_for_the_rest;
        const std::string when =
            rest ? "whenever no other does"
                 : fmt::format("from {} to {}", print_minute_of_week(fault.from),
                               print_minute_of_week(fault.to));
        diagnostics
            .report(DiagnosticKind::tariff_overlap, second.span,
                    fmt::format("both {} and {} hold {}", printed(program, first),
                                printed(program, second), when))
            .note(first.span, "the other price is here");
        break;
    }
    }
}

} // namespace fettle
