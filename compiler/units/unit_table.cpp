#include "compiler/units/unit_table.h"

namespace fettle {

namespace {

// --- spellings: a table with open addressing, built by the compiler ---

constexpr std::size_t longest_spelling = 16;
constexpr std::size_t slot_count = 512;

// The bytes of a spelling, padded with zeros.
struct Key {
    std::uint64_t low = 0, high = 0;
    bool operator==(const Key&) const = default;
};

struct Slot {
    Key key;
    UnitId unit = 0; // 0: free
};

constexpr std::uint64_t packed(std::string_view bytes) {
    std::uint64_t word = 0;
    for (std::size_t i = bytes.size(); i-- > 0;) {
        word = word << 8 | static_cast<unsigned char>(bytes[i]);
    }
    return word;
}

constexpr Key key_of(std::string_view spelling) {
    if (spelling.size() <= 8) {
        return {packed(spelling), 0};
    }
    return {packed(spelling.substr(0, 8)), packed(spelling.substr(8))};
}

constexpr std::size_t first_slot(Key key) {
    // Odd constants of Fibonacci hashing; the upper bits are the best mixed.
    const std::uint64_t mixed = key.low * 0x9E3779B97F4A7C15u ^ key.high * 0xC2B2AE3D27D4EB4Fu;
    return static_cast<std::size_t>(mixed >> 55);
}
static_assert(slot_count == std::size_t{1} << (64 - 55));

struct Slots {
    std::array<Slot, slot_count> all{};

    constexpr void add(std::string_view spelling, UnitId unit) {
        if (spelling.size() > longest_spelling) {
            throw "a unit's name is too long";
        }
        const Key key = key_of(spelling);
        std::size_t at = first_slot(key);
        for (; all[at].unit != 0; at = (at + 1) % slot_count) {
            if (all[at].key == key) {
                throw "two units share a spelling";
            }
        }
        all[at] = {key, unit};
    }
};

constexpr Slots slots = [] {
    Slots result;
    for (std::size_t i = 0; i < std::size(units); ++i) {
        const auto id = static_cast<UnitId>(i + 1);
        result.add(units[i].name, id);
        for (const std::string_view alias : units[i].aliases.all()) {
            if (!alias.empty()) {
                result.add(alias, id);
            }
        }
    }
    return result;
}();

// --- conversions ---

constexpr double exact_double(std::int64_t value) {
    if (value > (std::int64_t{1} << 53) || value < -(std::int64_t{1} << 53)) {
        throw "a factor of the unit table is no exact double";
    }
    return static_cast<double>(value);
}

constexpr Conversion conversion(const Unit& unit) {
    const std::int64_t common = std::lcm(unit.factor.den, unit.offset.den);
    return {exact_double(unit.factor.num * (common / unit.factor.den)), exact_double(common),
            exact_double(unit.offset.num * (common / unit.offset.den))};
}

// Index 0 and the two kinds of parts count in base units.
constexpr auto conversions = [] {
    std::array<Conversion, std::size(units) + 3> result{};
    for (std::size_t i = 0; i < std::size(units); ++i) {
        result[i + 1] = conversion(units[i]);
    }
    return result;
}();

} // namespace

UnitId find_unit(std::string_view spelling) {
    if (spelling.empty() || spelling.size() > longest_spelling) {
        return 0;
    }
    const Key key = key_of(spelling);
    for (std::size_t at = first_slot(key); slots.all[at].unit != 0; at = (at + 1) % slot_count) {
        if (slots.all[at].key == key) {
            return slots.all[at].unit;
        }
    }
    return 0;
}

Dimension dimension_of(UnitId id) {
    if (id == parts_of_hours || id == parts_of_days) {
        return dimension::duration;
    }
    return id == 0 || id > unit_count ? dimension::number : unit_of(id).dimension;
}

const Conversion& conversion_of(UnitId id) {
    return id < conversions.size() ? conversions[id] : conversions[0];
}

double in_unit(double base, UnitId unit) {
    return from_base(base, conversion_of(unit));
}
double from_unit(double number, UnitId unit) {
    return to_base(number, conversion_of(unit));
}

bool is_unit(std::string_view name) {
    return find_unit(name) != 0;
}

} // namespace fettle
