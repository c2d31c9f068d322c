// Writes JSON (RFC 8259) straight into a string, one token after the other. Made for schedules of
// tens of megabytes: no tree, no allocation for a field, plain keys checked while compiling.
//
//     std::string out;
//     JsonWriter json(out, JsonLayout::indented);
//     json.object();
//     json.field("firing", title);         // any text; bad UTF-8 becomes U+FFFD
//     json.field("peak_c", peak, 1);       // at most one decimal; NaN and infinities are null
//     json.key("segments");
//     json.array();
//     json.line_object();                  // all of it on one line, in either layout
//     json.field("index", 1);
//     json.end_object();
//     json.end_array();
//     json.end_object();
//     json.finish();                       // `out` holds the text from here on
//
// The caller keeps the grammar: a key before each value of an object, each `end_` in its place.
#pragma once

#include <charconv>
#include <cmath>
#include <concepts>
#include <cstdint>
#include <cstring>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>

namespace fettle {

enum class JsonLayout : std::uint8_t { compact, indented };

// A key that needs no escape: anything else is refused by the C++ compiler.
struct JsonKey {
    std::string_view text;

    consteval JsonKey(const char* literal) : text(literal) {
        for (const char byte : text) {
            if (byte < 0x20 || byte > 0x7E || byte == '"' || byte == '\\') {
                throw "this key needs key_of()";
            }
        }
    }
};

class JsonWriter {
  public:
    // Appends to `out`, which must be left alone until `finish`.
    explicit JsonWriter(std::string& out, JsonLayout layout = JsonLayout::compact)
        : out_(out), begin_(out.size()), indented_(layout == JsonLayout::indented) {
        at_ = begin_;
        out_.resize(out_.capacity());
    }
    ~JsonWriter() {
        if (!finished_) {
            finish();
        }
    }
    JsonWriter(const JsonWriter&) = delete;
    JsonWriter& operator=(const JsonWriter&) = delete;

    // Cuts the string to what was written; nothing may be written by this writer after it.
    void finish() {
        out_.resize(at_);
        finished_ = true;
    }

    void object() { open('{'); }
    void array() { open('['); }
    // In the indented layout all inside stays on one line.
    void line_object() { open_line('{'); }
    void line_array() { open_line('['); }
    void end_object() { close('}'); }
    void end_array() { close(']'); }

    void key(JsonKey name) {
        separate(name.text.size() + 4);
        put('"');
        put(name.text);
        put('"');
        colon();
    }
    // A key that is known only at run time.
    void key_of(std::string_view name) {
        separate(0);
        quote(name);
        room(2);
        colon();
    }

    void null() {
        separate(4);
        put(std::string_view("null"));
    }
    void text(std::string_view value) {
        separate(0);
        quote(value);
    }
    void yes_no(bool value) {
        separate(5);
        put(value ? std::string_view("true") : std::string_view("false"));
    }
    template <std::integral T> void integer(T value) {
        separate(24);
        char* const start = out_.data() + at_;
        at_ += static_cast<std::size_t>(std::to_chars(start, start + 24, value).ptr - start);
    }
    // The shortest digits that read back as the same double.
    void number(double value) {
        if (!std::isfinite(value)) {
            return null();
        }
        separate(32);
        put_shortest(value);
    }
    // Rounded to `decimals` (0 to 9) places, halves away from zero, without trailing zeros or "-0".
    void number(double value, int decimals);

    // Text that is JSON already, as one value.
    void raw(std::string_view json) {
        separate(json.size());
        put(json);
    }

    template <class T> void value(const T& given) {
        if constexpr (std::is_same_v<T, bool>) {
            yes_no(given);
        } else if constexpr (std::is_same_v<T, std::nullptr_t> ||
                             std::is_same_v<T, std::nullopt_t>) {
            null();
        } else if constexpr (std::is_integral_v<T>) {
            integer(given);
        } else if constexpr (std::is_floating_point_v<T>) {
            number(static_cast<double>(given));
        } else if constexpr (std::is_convertible_v<const T&, std::string_view>) {
            text(given);
        } else {
            given ? value(*given) : null(); // an optional
        }
    }
    template <class T> void field(JsonKey name, const T& given) {
        key(name);
        value(given);
    }
    void field(JsonKey name, double given, int decimals) {
        key(name);
        number(given, decimals);
    }
    void field(JsonKey name, const std::optional<double>& given, int decimals) {
        key(name);
        given ? number(*given, decimals) : null();
    }

  private:
    static constexpr int no_line = std::numeric_limits<int>::max();

    char last() const { return at_ == begin_ ? '\0' : out_[at_ - 1]; }

    void room(std::size_t more) {
        if (out_.size() - at_ < more) {
            grow(more);
        }
    }
    void grow(std::size_t more);

    // The next three need `room` before them.
    void put(char byte) { out_[at_++] = byte; }
    void put(std::string_view bytes) {
        std::memcpy(out_.data() + at_, bytes.data(), bytes.size());
        at_ += bytes.size();
    }
    void put_shortest(double value) {
        char* const start = out_.data() + at_;
        at_ += static_cast<std::size_t>(std::to_chars(start, start + 32, value).ptr - start);
    }

    // What has to stand between the last token and the next one; then room for `more` bytes.
    void separate(std::size_t more) {
        const char before = last();
        if (indented_) {
            return separate_indented(before, more);
        }
        room(more + 1);
        if (before != '{' && before != '[' && before != ':' && before != '\0') {
            put(',');
        }
    }
    void separate_indented(char before, std::size_t more);
    void new_line();

    void colon() {
        put(':');
        if (indented_) {
            put(' ');
        }
    }
    void open(char bracket) {
        separate(1);
        put(bracket);
        ++depth_;
    }
    void open_line(char bracket) {
        open(bracket);
        if (line_depth_ == no_line) {
            line_depth_ = depth_;
        }
    }
    void close(char bracket);

    void quote(std::string_view text);
    void quote_rest(std::string_view text);

    std::string& out_;
    std::size_t begin_;
    std::size_t at_ = 0;
    int depth_ = 0;
    int line_depth_ = no_line; // from this depth on, one line
    bool indented_;
    bool finished_ = false;
};

} // namespace fettle
