#include "compiler/source/csv_reader.h"

#include <algorithm>

namespace fettle {
namespace {

// Whether a character only stands for itself.
bool is_plain(char c, bool quoted) {
    return c != '"' && c != '\n' && (quoted || (c != ',' && c != '\r'));
}

} // namespace

CsvLine next_csv_line(std::string_view& rest, std::uint32_t& number) {
    CsvLine line{.number = number, .fields = {""}};
    bool quoted = false;
    std::size_t i = 0;
    for (; i < rest.size(); ++i) {
        const std::size_t run = i;
        while (i < rest.size() && is_plain(rest[i], quoted))
            ++i;
        line.fields.back().append(rest, run, i - run);
        if (i == rest.size())
            break;
        const char c = rest[i];
        if (c == '\n')
            ++number;
        if (quoted && c == '"' && i + 1 < rest.size() && rest[i + 1] == '"') {
            line.fields.back() += '"';
            ++i;
        } else if (c == '"') {
            quoted = !quoted;
        } else if (quoted) {
            line.fields.back() += c; // a line end
        } else if (c == ',') {
            line.fields.emplace_back();
        } else if (c == '\n') {
            break;
        }
    }
    line.unclosed = quoted;
    rest.remove_prefix(std::min(i + 1, rest.size()));
    return line;
}

} // namespace fettle
