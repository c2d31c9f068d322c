// A table of the standard library by the names of its columns.
#pragma once

#include "compiler/source/csv_reader.h"

#include <charconv>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

class CsvTable {
  public:
    explicit CsvTable(std::string_view text) : rest_(text) {
        header_ = next_csv_line(rest_, number_);
    }
    // Goes to the next row that is not blank; false at the end.
    bool next() {
        while (!rest_.empty()) {
            row_ = next_csv_line(rest_, number_);
            if (!row_.is_blank())
                return true;
        }
        return false;
    }
    std::string_view operator[](std::string_view column) const {
        for (std::size_t i = 0; i < header_.fields.size() && i < row_.fields.size(); ++i) {
            if (header_.fields[i] == column)
                return row_.fields[i];
        }
        return {};
    }
    std::optional<double> number(std::string_view column) const {
        const std::string_view text = (*this)[column];
        double value = 0;
        const char* const last = text.data() + text.size();
        const auto [stop, error] = std::from_chars(text.data(), last, value);
        if (text.empty() || error != std::errc{} || stop != last)
            return std::nullopt;
        return value;
    }
    std::uint32_t line() const { return row_.number; }
    std::string where(std::string_view file) const {
        return std::string(file) + " line " + std::to_string(row_.number);
    }

  private:
    std::string_view rest_;
    std::uint32_t number_ = 1;
    CsvLine header_, row_;
};

} // namespace fettle
