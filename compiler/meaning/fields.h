// The fields that can be written in, and read from, profiles, ware and firings: one table, which
// the checker, the printed help and the documentation read.
#pragma once

#include "compiler/meaning/type.h"

#include <span>
#include <string_view>

namespace fettle {

// Potash and soda as one, in a unity formula: `unity.KNaO`.
inline constexpr std::string_view alkalis_together = "KNaO";

// What holds fields: the eight kinds of profile, then the ware at hand and a compiled firing.
enum class Holder : std::uint8_t {
    body,
    kiln,
    insulation,
    controller,
    material,
    glaze,
    tariff,
    studio,
    ware,
    firing,
    library
};
constexpr Holder holder_of(ProfileKind kind) {
    return static_cast<Holder>(kind);
}
std::string_view to_string(Holder holder);

enum class FieldShape : std::uint8_t {
    quantity, // of `dimension`; a difference may be written as plain degrees
    range,    // of quantities
    cones,    // a cone or a range of cones; of ware and firings one cone
    choice,   // one of `words`
    choices,  // several of `words`, with commas
    hours,    // a range of times of day
    profile,  // the name of a profile of kind `profile`
    profiles, // several of them, with commas
    yes_no,
    text,
    texts, // may be written several times
    word,  // any name (a shelf)
    unity, // computed: the unity formula
    version,
};

struct Field {
    Holder holder;
    std::string_view name;
    FieldShape shape;
    Dimension dimension{};
    std::string_view words{}; // separated by spaces
    ProfileKind profile = ProfileKind::body;
    bool computed = false;    // can be read, not written
    std::string_view about{}; // one line for help and documentation
};

// All fields of a holder, in a fixed order; a field's index is its place here.
std::span<const Field> fields_of(Holder holder);
// Index of a field by name; -1: none.
int field_index(Holder holder, std::string_view name);
// Of a field of that table.
TypeId field_type(const Field& field, Types& types);

namespace field {
// Indices of fields that the compiler itself reads.
int at(Holder holder, std::string_view name);
} // namespace field

} // namespace fettle
