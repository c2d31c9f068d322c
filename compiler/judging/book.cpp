#include "compiler/judging/book.h"

#include "compiler/source/csv_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace fettle {
namespace {

// One column: its name, and where it is in an entry.
struct Column {
    std::string_view name;
    std::string BookEntry::*text = nullptr;
    std::optional<double> BookEntry::*number = nullptr;
    int decimals = 1;
};
constexpr std::array<Column, 13> columns = {{
    {"number"}, // by itself: a whole number
    {"date", &BookEntry::date},
    {"firing", &BookEntry::firing},
    {"log", &BookEntry::log},
    {"hours", nullptr, &BookEntry::hours, 2},
    {"peak_c", nullptr, &BookEntry::peak_c, 1},
    {"climb_share", nullptr, &BookEntry::climb_share, 3},
    {"hotter_than_sensor_k", nullptr, &BookEntry::hotter_than_sensor_k, 1},
    {"cones", &BookEntry::cones},
    {"meter_kwh", nullptr, &BookEntry::meter_kwh, 1},
    {"defects", &BookEntry::defects},
    {"fitted", &BookEntry::fitted},
    {"note", &BookEntry::note},
}};

constexpr Wear all_wears[] = {
    {.part = "elements",
     .shows = "the last climb goes at {} of the speed asked",
     .measure = &BookEntry::climb_share,
     .limit = 0.8,
     .falls = true,
     .why =
         "elements that age give less heat, until the kiln no longer keeps up with its schedule: "
         "common practice"},
    {.part = "sensor",
     .shows = "by the cones the ware is {} hotter than the sensor",
     .shows_below = "by the cones the ware is {} colder than the sensor",
     .measure = &BookEntry::hotter_than_sensor_k,
     .limit = 9,
     .falls = false,
     .why = "a type K sensor usually reads low as it ages, so the ware gets too much: common "
            "practice; 9 degrees are about half a cone"},
};

std::string csv_field(std::string_view text) {
    if (text.find_first_of(",\"\r\n#") == std::string_view::npos)
        return std::string(text);
    std::string quoted = "\"";
    for (const char c : text) {
        quoted += c == '\n' || c == '\r' ? ' ' : c;
        if (c == '"')
            quoted += c;
    }
    return quoted + '"';
}

std::optional<double> number_of(std::string_view text) {
    double value = 0;
    const auto [stop, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (problem != std::errc() || stop != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

class BookReader {
  public:
    std::variant<Book, std::string> read(std::string_view csv) {
        std::uint32_t line = 1;
        while (!csv.empty()) {
            if (csv.front() == '#' || csv.front() == '\n') {
                csv.remove_prefix(std::min(csv.find('\n'), csv.size() - 1) + 1);
                ++line;
                continue;
            }
            const CsvLine record = next_csv_line(csv, line);
            if (record.is_blank())
                continue;
            const std::string problem = header_.empty() ? take_header(record) : take(record);
            if (!problem.empty())
                return fmt::format("line {}: {}", record.number, problem);
        }
        return std::move(book_);
    }

  private:
    std::string take_header(const CsvLine& record) {
        for (const std::string& name : record.fields) {
            const auto* at =
                std::find_if(columns.begin(), columns.end(),
                             [&](const Column& column) { return column.name == name; });
            header_.push_back(at == columns.end() ? nullptr : &*at);
        }
        if (std::count(header_.begin(), header_.end(), &columns.front()) != 1)
            return "this is no book of firings: its first line must name the columns, `number` "
                   "among them";
        return "";
    }

    std::string take(const CsvLine& record) {
        if (record.unclosed)
            return "a quote is opened and never closed";
        BookEntry entry;
        for (std::size_t i = 0; i < record.fields.size() && i < header_.size(); ++i) {
            const Column* column = header_[i];
            const std::string& field = record.fields[i];
            if (column == nullptr || field.empty())
                continue;
            if (column->text != nullptr) {
                entry.*column->text = field;
                continue;
            }
            const auto value = number_of(field);
            if (!value)
                return fmt::format("`{}` in the column `{}` is no number", field, column->name);
            if (column->number != nullptr)
                entry.*column->number = *value;
            else if (*value != std::floor(*value) || *value < 1 || *value > 1e6)
                return fmt::format("`{}` is no number of a firing", field);
            else
                entry.number = static_cast<int>(*value);
        }
        if (!entry.number && entry.fitted.empty())
            return "there is neither the number of a firing nor what was fitted";
        if (entry.number && *entry.number <= last_)
            return fmt::format("firing {} comes after firing {}: numbers rise", *entry.number,
                               last_);
        last_ = entry.number.value_or(last_);
        book_.entries.push_back(std::move(entry));
        return "";
    }

    std::vector<const Column*> header_;
    int last_ = 0;
    Book book_;
};

} // namespace

std::variant<Book, std::string> read_book(std::string_view csv) {
    return BookReader().read(csv);
}

std::string_view book_header() {
    return "number,date,firing,log,hours,peak_c,climb_share,hotter_than_sensor_k,cones,meter_kwh,"
           "defects,fitted,note\n";
}

std::string book_line(const BookEntry& entry) {
    std::string line;
    for (const Column& column : columns) {
        if (!line.empty() || &column != &columns.front())
            line += ',';
        if (column.text != nullptr)
            line += csv_field(entry.*column.text);
        else if (column.number == nullptr)
            line += entry.number ? std::to_string(*entry.number) : "";
        else if (entry.*column.number)
            line += print_number(*(entry.*column.number), column.decimals);
    }
    return line + '\n';
}

int next_number(const Book& book) {
    int last = 0;
    for (const BookEntry& entry : book.entries)
        last = entry.number.value_or(last);
    return last + 1;
}

BookEntry entry_of(const JudgedFiring& judged, int number) {
    const Judgement& judgement = judged.judgement;
    BookEntry entry;
    entry.number = number;
    entry.firing = std::string(judged.document->name);
    entry.log = judged.log_name;
    if (!judgement.alignment.begins_late)
        entry.hours = (judgement.alignment.peak_s - judgement.alignment.start_s) / 3600;
    entry.peak_c = judgement.alignment.peak_c;
    if (const auto share = judged.measures.find("top_climb_share"); share != judged.measures.end())
        entry.climb_share = share->second;
    double sum = 0, count = 0;
    std::vector<WitnessReading> readings;
    for (const ShelfHeat& shelf : judgement.shelves) {
        readings.insert(readings.end(), shelf.readings.begin(), shelf.readings.end());
        if (!shelf.known || shelf.contradictory)
            continue;
        sum += shelf.best_k;
        ++count;
    }
    entry.cones = witnesses_text(readings);
    if (count > 0)
        entry.hotter_than_sensor_k = sum / count;
    for (const Inquest& inquest : judged.inquests)
        entry.defects += (entry.defects.empty() ? "" : ", ") + inquest.defect;
    return entry;
}

std::span<const Wear> wears() {
    return all_wears;
}

std::vector<WearTrend> wear_of(const Book& book) {
    std::vector<WearTrend> trends;
    for (const Wear& wear : all_wears) {
        WearTrend found{.wear = &wear};
        std::vector<TrendPoint> points;
        bool fresh = true;
        for (const BookEntry& entry : book.entries) {
            if (entry.fitted.find(wear.part) != std::string::npos) {
                points.clear();
                found.fitted_before.reset();
                fresh = true;
            }
            if (!entry.number)
                continue;
            if (fresh)
                found.fitted_before = entry.number;
            fresh = false;
            if (const auto& value = entry.*wear.measure)
                points.push_back({static_cast<double>(*entry.number), *value});
        }
        found.points = points.size();
        if (!points.empty())
            found.latest = points.back().y;
        found.passed = !points.empty() &&
                       (wear.falls ? found.latest <= wear.limit : found.latest >= wear.limit);
        found.trend = trend_of(points);
        const bool towards = found.trend && (found.trend->slope < 0) == wear.falls;
        if (towards)
            found.renew = when_it_reaches(*found.trend, wear.limit, points.back().x);
        trends.push_back(found);
    }
    return trends;
}

std::vector<std::optional<double>> energies_kwh(const Book& book) {
    std::vector<std::optional<double>> energies;
    std::optional<double> before;
    for (const BookEntry& entry : book.entries) {
        std::optional<double> energy;
        if (entry.number && entry.meter_kwh && before && *entry.meter_kwh >= *before)
            energy = *entry.meter_kwh - *before;
        energies.push_back(energy);
        if (entry.number)
            before = entry.meter_kwh;
    }
    return energies;
}

} // namespace fettle
