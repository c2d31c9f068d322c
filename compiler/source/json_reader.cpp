#include "compiler/source/json_reader.h"

#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace fettle {
namespace {

constexpr int deepest = 100;

class Reader {
  public:
    Reader(std::string_view text, std::string& problem) : text_(text), problem_(problem) {}

    std::optional<JsonValue> read() {
        JsonValue value;
        if (!read_value(value, 0))
            return std::nullopt;
        skip();
        if (at_ < text_.size()) {
            fail("something follows after the end");
            return std::nullopt;
        }
        return value;
    }

  private:
    bool fail(std::string_view what) {
        if (problem_.empty()) {
            const auto lines =
                std::count(text_.begin(), text_.begin() + static_cast<std::ptrdiff_t>(at_), '\n');
            problem_ = fmt::format("line {}: {}", lines + 1, what);
        }
        return false;
    }

    void skip() { at_ = std::min(text_.find_first_not_of(" \t\r\n", at_), text_.size()); }

    bool is(std::string_view bytes) {
        skip();
        if (!text_.substr(at_).starts_with(bytes))
            return false;
        at_ += bytes.size();
        return true;
    }

    bool read_value(JsonValue& value, int depth) {
        if (depth > deepest)
            return fail("it is nested too deeply");
        if (is("{"))
            return read_items(value, JsonValue::Kind::object, "}", depth);
        if (is("["))
            return read_items(value, JsonValue::Kind::list, "]", depth);
        if (is("\"")) {
            value.kind = JsonValue::Kind::text;
            return read_text(value.text);
        }
        if (is("null"))
            return true;
        value.kind = JsonValue::Kind::yes_no;
        if (is("false"))
            return true;
        value.yes = true;
        return is("true") || read_number(value);
    }

    bool read_items(JsonValue& value, JsonValue::Kind kind, std::string_view end, int depth) {
        value.kind = kind;
        if (is(end))
            return true;
        do {
            if (kind == JsonValue::Kind::object) {
                if (!is("\""))
                    return fail("a name in quotes is missing");
                if (!read_text(value.keys.emplace_back()))
                    return false;
                if (!is(":"))
                    return fail("a colon is missing");
            }
            if (!read_value(value.items.emplace_back(), depth + 1))
                return false;
        } while (is(","));
        return is(end) || fail(at_ == text_.size() ? "it ends too early" : "a comma is missing");
    }

    bool read_number(JsonValue& value) {
        value.kind = JsonValue::Kind::number;
        value.yes = false;
        const char* const begin = text_.data() + at_;
        const auto [end, error] = std::from_chars(begin, text_.data() + text_.size(), value.number);
        if (error != std::errc() || !std::isfinite(value.number))
            return fail(at_ == text_.size() ? "it ends too early" : "this is no JSON");
        at_ += static_cast<std::size_t>(end - begin);
        return true;
    }

    // After the opening quote.
    bool read_text(std::string& text) {
        while (at_ < text_.size()) {
            const char byte = text_[at_++];
            if (byte == '"')
                return true;
            if (static_cast<unsigned char>(byte) < 0x20)
                return fail("a text does not end on its line");
            if (byte != '\\')
                text += byte;
            else if (!read_escape(text))
                return fail("this escape is unknown");
        }
        return fail("a text does not end");
    }

    bool read_escape(std::string& text) {
        constexpr std::string_view letters = "\"\\/bfnrt", meant = "\"\\/\b\f\n\r\t";
        if (at_ == text_.size())
            return false;
        const char letter = text_[at_++];
        if (const std::size_t found = letters.find(letter); found != std::string_view::npos) {
            text += meant[found];
            return true;
        }
        std::uint32_t code = 0, low = 0;
        if (letter != 'u' || !read_unit(code))
            return false;
        if (code >= 0xD800 && code < 0xDC00 && text_.substr(at_).starts_with("\\u")) {
            at_ += 2;
            if (!read_unit(low) || low < 0xDC00 || low > 0xDFFF)
                return false;
            code = 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00);
        }
        append_character(text, code >= 0xD800 && code < 0xE000 ? U'\uFFFD' : char32_t{code});
        return true;
    }

    bool read_unit(std::uint32_t& unit) {
        const std::string_view digits = text_.substr(at_, 4);
        const char* const end = digits.data() + digits.size();
        at_ += digits.size();
        return digits.size() == 4 && std::from_chars(digits.data(), end, unit, 16).ptr == end;
    }

    std::string_view text_;
    std::string& problem_;
    std::size_t at_ = 0;
};

const JsonValue* of_kind(const JsonValue* value, JsonValue::Kind kind) {
    return value != nullptr && value->kind == kind ? value : nullptr;
}

} // namespace

const JsonValue* JsonValue::find(std::string_view key) const {
    const auto found = std::find(keys.begin(), keys.end(), key);
    return found == keys.end() ? nullptr : &items[static_cast<std::size_t>(found - keys.begin())];
}

std::optional<double> JsonValue::number_at(std::string_view key) const {
    const JsonValue* value = of_kind(find(key), Kind::number);
    return value != nullptr ? std::optional(value->number) : std::nullopt;
}

std::optional<std::string_view> JsonValue::text_at(std::string_view key) const {
    const JsonValue* value = of_kind(find(key), Kind::text);
    return value != nullptr ? std::optional<std::string_view>(value->text) : std::nullopt;
}

const JsonValue* JsonValue::list_at(std::string_view key) const {
    return of_kind(find(key), Kind::list);
}

const JsonValue* JsonValue::object_at(std::string_view key) const {
    return of_kind(find(key), Kind::object);
}

std::optional<JsonValue> read_json_text(std::string_view text, std::string& problem) {
    problem.clear();
    return Reader(text, problem).read();
}

} // namespace fettle
