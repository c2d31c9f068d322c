// Tables as comma-separated text (RFC 4180): fields may be quoted, and then hold commas, quotes and
// line ends.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct CsvLine {
    std::uint32_t number = 0; // from 1: where the record begins
    std::vector<std::string> fields;
    bool unclosed = false; // a quote is never closed

    bool is_blank() const { return fields.size() == 1 && fields[0].empty(); }
};

// Takes one record from the front of `rest`. `number` is the line it begins on, and becomes that of
// the next.
CsvLine next_csv_line(std::string_view& rest, std::uint32_t& number);

} // namespace fettle
