#include "compiler/output/glaze_files.h"

#include "compiler/output/number.h"
#include "compiler/source/characters.h"

#include <cmath>

namespace fettle {
namespace {

// RFC 4180; words that a table of numbers would take for a formula get a mark in front.
class Row {
  public:
    explicit Row(std::string& text) : text_(text) {}
    Row& text(std::string_view given) {
        separate();
        std::string safe = visible(given);
        if (!safe.empty() &&
            std::string_view("=+-@").find(safe.front()) != std::string_view::npos) {
            safe.insert(0, 1, '\'');
        }
        const bool quoted = safe.find_first_of("\",\n\r") != std::string::npos;
        if (quoted)
            text_ += '"';
        for (const char c : safe)
            text_.append(c == '"' ? 2 : 1, c);
        if (quoted)
            text_ += '"';
        return *this;
    }
    Row& number(double value) {
        separate();
        char digits[number_room];
        if (is_printable(value))
            text_.append(digits, put_general(digits, value));
        return *this;
    }
    ~Row() { text_ += "\r\n"; }
    Row(const Row&) = delete;
    Row& operator=(const Row&) = delete;

  private:
    void separate() {
        if (!first_)
            text_ += ',';
        first_ = false;
    }
    std::string& text_;
    bool first_ = true;
};

double rounded(double value, double places) {
    return std::round(value * places) / places;
}

} // namespace

std::string glaze_csv(const GlazeReport& report, bool header) {
    std::string text;
    if (header)
        text += "glaze,oxide,unity_mol,mass_percent,mole_percent\r\n";
    for (std::size_t i = 0; i < report.tables->oxides.size(); ++i) {
        if (!(report.chemistry.mass[i] > 0))
            continue;
        Row(text)
            .text(report.name)
            .text(report.tables->oxides[i].name)
            .number(rounded(report.chemistry.unity[i], 1e6))
            .number(rounded(100 * report.chemistry.mass[i], 1e4))
            .number(rounded(100 * report.chemistry.moles[i], 1e4));
    }
    return text;
}

std::string batch_csv(const GlazeReport& report, const Batch& batch, bool header) {
    std::string text;
    if (header)
        text += "glaze,material,addition,dry_g,weigh_g,scales_g\r\n";
    for (const BatchLine& line : batch.lines) {
        Row(text)
            .text(report.name)
            .text(line.name)
            .text(line.addition ? "yes" : "no")
            .number(rounded(1000 * line.dry_kg, 1e3))
            .number(rounded(1000 * line.weigh_kg, 1e3))
            .number(rounded(1000 * line.total_kg, 1e3));
    }
    return text;
}

} // namespace fettle
