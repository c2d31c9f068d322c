// What an expression is worth: 16 bytes, no ownership. Texts and lists live in the arena of the
// program (constants, profiles) or of the firing that is being worked out.
#pragma once

#include "compiler/meaning/names.h"
#include "compiler/units/quantity.h"

#include <cstdint>
#include <cstring>
#include <memory>
#include <span>
#include <string_view>
#include <vector>

namespace fettle {

enum class ValueKind : std::uint8_t {
    nothing,  // not given (an optional part)
    unknown,  // a field that was left out; `index` says which (Program::missing)
    poison,   // something already reported
    put_off,  // a `let` of a rule that nobody has asked for yet; `index` is the node of its value
    quantity, // `number` in base units
    clock,    // `number` in seconds after midnight
    cone,     // `number` on the cone scale
    yes_no,   // `number` 1 or 0
    choice,   // `index` is the NameId of the word
    text,
    list,
    range,   // two values: low, high
    profile, // `index` in Program::profiles
    firing,  // `index` in the firings of a test or of the program
};

struct Value {
    ValueKind kind = ValueKind::nothing;
    bool flag = false;
    UnitId unit = 0;         // of a quantity: as it was written
    std::uint32_t index = 0; // see the kind; length of a text, a list
    union {
        double number = 0;
        const char* characters;
        const Value* elements;
    };

    static Value quantity(double base, UnitId unit = 0) {
        Value v;
        v.kind = ValueKind::quantity;
        v.unit = unit;
        v.number = base;
        return v;
    }
    static Value of(ValueKind kind, double number) {
        Value v;
        v.kind = kind;
        v.number = number;
        return v;
    }
    static Value yes_no(bool yes) { return of(ValueKind::yes_no, yes ? 1 : 0); }
    static Value indexed(ValueKind kind, std::uint32_t index) {
        Value v;
        v.kind = kind;
        v.index = index;
        return v;
    }
    static Value poison() { return indexed(ValueKind::poison, 0); }
    static Value text(std::string_view text) {
        Value v = indexed(ValueKind::text, static_cast<std::uint32_t>(text.size()));
        v.characters = text.data();
        return v;
    }
    static Value sequence(ValueKind kind, std::span<const Value> elements) {
        Value v = indexed(kind, static_cast<std::uint32_t>(elements.size()));
        v.elements = elements.data();
        return v;
    }

    bool is(ValueKind k) const { return kind == k; }
    bool known() const { return kind > ValueKind::put_off; }
    bool yes() const { return kind == ValueKind::yes_no && number != 0; }
    std::string_view as_text() const { return {characters, index}; }
    std::span<const Value> as_list() const { return {elements, index}; }
    const Value& low() const { return elements[0]; }
    const Value& high() const { return elements[1]; }
};
static_assert(sizeof(Value) == 16);

// Memory that is given back all at once. Own, not std::pmr, so that the compiler runs in a page
// too.
class Arena {
  public:
    std::string_view copy(std::string_view text) {
        if (text.empty())
            return {};
        char* place = static_cast<char*>(take(text.size(), 1));
        std::memcpy(place, text.data(), text.size());
        return {place, text.size()};
    }
    std::span<const Value> copy(std::span<const Value> values) {
        if (values.empty())
            return {};
        auto* place = static_cast<Value*>(take(values.size() * sizeof(Value), alignof(Value)));
        std::memcpy(static_cast<void*>(place), values.data(), values.size() * sizeof(Value));
        return {place, values.size()};
    }
    // Forget everything but keep the first chunk.
    void clear() {
        if (chunks_.size() > 1)
            chunks_.resize(1);
        used_ = 0;
    }

  private:
    void* take(std::size_t size, std::size_t align) {
        used_ = (used_ + align - 1) / align * align;
        if (chunks_.empty() || used_ + size > chunks_.back().size) {
            const std::size_t room = size > chunk_size ? size : chunk_size;
            chunks_.push_back(
                {std::make_unique_for_overwrite<std::max_align_t[]>(
                     (room + sizeof(std::max_align_t) - 1) / sizeof(std::max_align_t)),
                 room});
            used_ = 0;
        }
        void* place = reinterpret_cast<char*>(chunks_.back().bytes.get()) + used_;
        used_ += size;
        return place;
    }
    static constexpr std::size_t chunk_size = 4096;
    struct Chunk {
        std::unique_ptr<std::max_align_t[]> bytes;
        std::size_t size;
    };
    std::vector<Chunk> chunks_;
    std::size_t used_ = 0;
};

} // namespace fettle
