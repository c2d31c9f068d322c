// The prices of a tariff: its days of the week, and whether it has one price for every minute.
#pragma once

#include "compiler/meaning/program.h"

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

// "monday" … "sunday", then "weekdays" and "weekends".
const std::vector<std::string_view>& day_words();
// Nothing for a word that is none of them.
Days days_named(std::string_view word);
// "saturday, sunday", "weekdays", "every day".
std::string print_days(Days days);
// "Saturday 06:30", of a minute of the week.
std::string print_minute_of_week(int minute);

// The prices as the planner takes them.
std::vector<Price> prices_of(const Profile& tariff);
// Reports a minute without a price, or with two.
void check_prices(const Program& program, const Profile& tariff, Diagnostics& diagnostics);

} // namespace fettle
