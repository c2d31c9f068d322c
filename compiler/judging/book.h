// A kiln's book of firings: one line for each, kept as CSV so that any spreadsheet opens it. Lines
// that begin with # are remarks and stay where they are.
//
//     number,date,firing,log,hours,peak_c,climb_share,hotter_than_sensor_k,cones,meter_kwh,defects,fitted,note
//
// `climb_share` is how fast the last climb went, 1 being as fast as asked; `hotter_than_sensor_k`
// is what the cones say. `fitted` is not a firing: new elements or a new sensor, fitted before the
// firing that follows; trends begin anew there.
#pragma once

#include "compiler/judging/judge_firing.h"
#include "runtime/log/trend.h"

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace fettle {

struct BookEntry {
    std::optional<int> number; // of the firing; nothing where something was fitted
    std::string date, firing, log;
    std::optional<double> hours; // from the start of heating to the peak
    std::optional<double> peak_c;
    std::optional<double> climb_share;
    std::optional<double> hotter_than_sensor_k;
    std::string cones;
    std::optional<double> meter_kwh;
    std::string defects;
    std::string fitted; // "elements", "sensor", "elements sensor"
    std::string note;
};

struct Book {
    std::vector<BookEntry> entries;
};

// Or what is wrong with it: "line 7: …".
std::variant<Book, std::string> read_book(std::string_view csv);
std::string_view book_header();                // with its line end
std::string book_line(const BookEntry& entry); // with its line end

// The next number.
int next_number(const Book& book);

// What a judged firing puts into the book.
BookEntry entry_of(const JudgedFiring& judged, int number);

// What wears in a kiln, how it shows, and how far is too far.
struct Wear {
    std::string_view part;        // "elements"
    std::string_view shows;       // "the last climb goes at {} of the speed asked"
    std::string_view shows_below; // the same for a value below 0, which is printed without its sign
    std::optional<double> BookEntry::*measure;
    double limit = 0; // renew before it is passed
    bool falls = false;
    std::string_view why;
};
std::span<const Wear> wears();

struct WearTrend {
    const Wear* wear = nullptr;
    std::optional<int> fitted_before; // the first firing since the part was renewed
    std::size_t points = 0;
    double latest = 0; // the last value; only with points
    std::optional<Trend> trend;
    std::optional<Reaching> renew; // by firing number
    bool passed = false;           // the latest value is beyond the limit
};
std::vector<WearTrend> wear_of(const Book& book);

// Energy of each firing, from meter readings of neighbouring ones; nothing where one is missing.
std::vector<std::optional<double>> energies_kwh(const Book& book);

} // namespace fettle
