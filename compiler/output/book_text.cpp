#include "compiler/output/book_text.h"

#include "compiler/output/page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr std::size_t most_shown = 30; // firings; the last ones

std::string cell(std::optional<double> value, int decimals, double factor = 1) {
    return value ? print_number(*value * factor, decimals) : "-";
}

// A value of what wears, as its sentence wants it.
std::string worn_value(const Wear& wear, double value) {
    return wear.falls ? fmt::format("{}%", print_number(value * 100, 0))
                      : fmt::format("{} degrees", print_number(value, 0));
}

std::string with_value(std::string_view words, const std::string& value) {
    std::string text(words);
    return text.replace(text.find("{}"), 2, value);
}

int whole(double number) {
    return static_cast<int>(std::floor(number));
}

std::string when_words(const Reaching& renew) {
    const int best = std::max(1, whole(renew.x));
    const int earliest = std::max(1, whole(renew.earliest));
    if (renew.latest && whole(*renew.latest) == earliest)
        return fmt::format("firing {}", best);
    return renew.latest
               ? fmt::format("firing {} (95%: {} to {})", best, earliest, whole(*renew.latest))
               : fmt::format("firing {} (95%: {} or later)", best, earliest);
}

} // namespace

std::vector<std::string> wear_lines(const std::vector<WearTrend>& trends) {
    std::vector<std::string> lines;
    for (const WearTrend& trend : trends) {
        const Wear& wear = *trend.wear;
        const std::string since =
            trend.fitted_before ? fmt::format(", since firing {}", *trend.fitted_before) : "";
        if (trend.points == 0) {
            lines.push_back(fmt::format("{}: nothing is known yet{}.", wear.part,
                                        wear.falls ? "" : "; it takes witness cones"));
            continue;
        }
        const bool below = trend.latest < 0 && !wear.shows_below.empty();
        std::string text =
            fmt::format("{}{}: {}", wear.part, since,
                        with_value(below ? wear.shows_below : wear.shows,
                                   worn_value(wear, below ? -trend.latest : trend.latest)));
        if (trend.passed)
            text += fmt::format(". That is past {}: renew before the next firing",
                                worn_value(wear, wear.limit));
        else if (!trend.trend)
            text += ". Too few firings for a trend (four are needed)";
        else if (!trend.trend->is_sure)
            text += fmt::format(". No trend that could not be chance ({} firings, scatter {})",
                                trend.points, worn_value(wear, trend.trend->scatter));
        else
            text += fmt::format(
                ", changing by {} in ten firings (give or take {})",
                worn_value(wear, 10 * trend.trend->slope),
                worn_value(wear, 10 * students_t(trend.points - 2) * trend.trend->slope_error));
        if (!trend.passed && trend.renew)
            text += fmt::format(". It comes to {} at {}: renew before that",
                                worn_value(wear, wear.limit), when_words(*trend.renew));
        lines.push_back(fmt::format("{}. ({})", text, wear.why));
    }
    return lines;
}

std::string book_text(const Book& book, std::string_view title, const ShowOptions& options) {
    Page page(std::max<std::size_t>(options.width, 60), options.plain, options.colour);
    page.two_ends("The book of firings", one_line(title), Ink::strong);
    page.blank();
    const auto energies = energies_kwh(book);
    page.line(fmt::format("  {:>4}  {:<10} {:<16}{:>6}{:>8}{:>7}{:>8}{:>6}  {}", "no.", "date",
                          "firing", "hours", "peak", "climb", "shelves", "kWh", "defects"),
              Ink::faint);
    const std::size_t from =
        book.entries.size() > most_shown ? book.entries.size() - most_shown : 0;
    if (from > 0)
        page.line(fmt::format("  ({} lines before these)", from), Ink::faint);
    for (std::size_t i = from; i < book.entries.size(); ++i) {
        const BookEntry& entry = book.entries[i];
        if (!entry.number) {
            page.paragraph(2, fmt::format("{:>4}  {:<10} ", "", one_line(entry.date)),
                           fmt::format("fitted: {} {}", entry.fitted, entry.note));
            continue;
        }
        page.line(fmt::format(
            "  {:>4}  {:<10} {}{:>6}{:>8}{:>7}{:>8}{:>6}  {}", *entry.number, one_line(entry.date),
            left_in(shortened(one_line(entry.firing), 15, page.ascii()), 16), cell(entry.hours, 1),
            entry.peak_c ? print_temperature(*entry.peak_c, options.scale) : "-",
            entry.climb_share ? cell(entry.climb_share, 0, 100) + "%" : "-",
            entry.hotter_than_sensor_k
                ? fmt::format("{}{}", *entry.hotter_than_sensor_k > 0 ? "+" : "",
                              print_number(*entry.hotter_than_sensor_k, 0))
                : "-",
            cell(energies[i], 0),
            shortened(one_line(entry.defects), page.width() > 72 ? page.width() - 72 : 8,
                      page.ascii())));
    }
    page.blank();
    page.paragraph(2, "",
                   "climb: how fast the last climb went, of what was asked. shelves: how much "
                   "hotter than the sensor they were, by their cones.");
    page.blank();
    page.line("What wears", Ink::strong);
    for (const std::string& line : wear_lines(wear_of(book)))
        page.paragraph(2, "", line);
    return std::move(page).take();
}

} // namespace fettle
