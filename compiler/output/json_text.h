// Appends pieces of JSON to a text, fast: through a small buffer on the stack that is never
// cleared, with numbers and plain text written straight into it.
#pragma once

#include "compiler/output/number.h"

#include <cstdint>
#include <cstring>
#include <optional>
#include <string>
#include <string_view>

namespace fettle {

class JsonText {
  public:
    explicit JsonText(std::string& text) : text_(text) {}
    ~JsonText() { flush(); }
    JsonText(const JsonText&) = delete;
    JsonText& operator=(const JsonText&) = delete;

    // A literal piece of JSON, shorter than the buffer.
    template <std::size_t N> void raw(const char (&literal)[N]) {
        room_for(N);
        std::memcpy(at_, literal, N - 1);
        at_ += N - 1;
    }
    // Shorter than the buffer, too.
    void raw(std::string_view piece) {
        room_for(piece.size());
        std::memcpy(at_, piece.data(), piece.size());
        at_ += piece.size();
    }

    void whole(std::uint64_t value) {
        room_for(number_room);
        at_ = std::to_chars(at_, at_ + number_room, value).ptr;
    }
    // To the thousandth; null where it is not known or no number.
    void number(std::optional<double> value) {
        if (!value || !is_printable(*value)) {
            return raw("null");
        }
        room_for(number_room);
        at_ = put_fixed3(at_, *value);
    }
    // To nine significant digits.
    void general(std::optional<double> value) {
        if (!value || !is_printable(*value)) {
            return raw("null");
        }
        room_for(number_room);
        at_ = put_general(at_, *value);
    }

    // In quotes and escaped. Bytes that are no UTF-8 become U+FFFD.
    void text(std::string_view text);
    void text_or_null(std::string_view text_or_empty) {
        if (text_or_empty.empty()) {
            return raw("null");
        }
        text(text_or_empty);
    }

  private:
    static constexpr std::size_t buffer_size = 16384;

    void room_for(std::size_t bytes) {
        if (static_cast<std::size_t>(buffer_ + buffer_size - at_) < bytes) {
            flush();
        }
    }
    void flush() {
        text_.append(buffer_, static_cast<std::size_t>(at_ - buffer_));
        at_ = buffer_;
    }
    // One character that is not plain, at the front of `rest`; gives its length in bytes.
    std::size_t put_special(std::string_view rest);

    std::string& text_;
    char buffer_[buffer_size];
    char* at_ = buffer_;
};

} // namespace fettle
