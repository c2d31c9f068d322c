// Puts cells and rows of CSV together (RFC 4180), so that no spreadsheet runs a text as a formula.
#pragma once

#include "compiler/output/number.h"
#include "compiler/source/characters.h"

#include <optional>
#include <string>
#include <string_view>

namespace fettle {

class CsvText {
  public:
    void number(std::optional<double> value) {
        separate();
        if (!value || !is_printable(*value)) {
            return;
        }
        char digits[number_room];
        text_.append(digits, put_fixed3(digits, *value));
    }

    // Words of our own: nothing to quote.
    void word(std::string_view word) {
        separate();
        text_ += word;
    }

    // Words of others.
    void text(std::string_view given) {
        separate();
        std::string safe = visible(given);
        if (!safe.empty() &&
            std::string_view("=+-@").find(safe.front()) != std::string_view::npos) {
            safe.insert(0, 1, '\'');
        }
        if (safe.find_first_of("\",\n\r") == std::string::npos) {
            text_ += safe;
            return;
        }
        text_ += '"';
        for (char c : safe) {
            if (c == '"') {
                text_ += '"';
            }
            text_ += c;
        }
        text_ += '"';
    }

    void end_row() {
        text_ += "\r\n";
        at_start_ = true;
    }

    std::string take() && { return std::move(text_); }

  private:
    void separate() {
        if (!at_start_) {
            text_ += ',';
        }
        at_start_ = false;
    }

    std::string text_;
    bool at_start_ = true;
};

} // namespace fettle
