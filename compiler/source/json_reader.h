// Reads JSON (RFC 8259) that a person gives back to Fettle, as a small tree. Anything may stand in
// it: what is no JSON, or is nested too deeply, is told in words.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct JsonValue {
    enum class Kind : std::uint8_t { null, yes_no, number, text, list, object };
    Kind kind = Kind::null;
    bool yes = false;
    double number = 0;
    std::string text; // UTF-8
    std::vector<JsonValue> items;
    std::vector<std::string> keys; // of an object: one for each item

    const JsonValue* find(std::string_view key) const; // nullptr: there is none
    // Of an item; nothing where it is not there or of another kind.
    std::optional<double> number_at(std::string_view key) const;
    std::optional<std::string_view> text_at(std::string_view key) const;
    const JsonValue* list_at(std::string_view key) const;
    const JsonValue* object_at(std::string_view key) const;
};

// Nothing: `problem` says what is wrong, "line 7: …".
std::optional<JsonValue> read_json_text(std::string_view text, std::string& problem);

} // namespace fettle
