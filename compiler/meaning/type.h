// Types of the language, interned: equal types have equal ids.
#pragma once

#include "compiler/meaning/names.h"
#include "compiler/syntax/tree.h"
#include "compiler/units/quantity.h"

#include <cstdint>
#include <string>
#include <vector>

namespace fettle {

using TypeId = std::uint32_t;

enum class TypeKind : std::uint8_t {
    poison, // of something already reported: goes with everything, says nothing more
    quantity,
    clock,
    cone,
    target, // a temperature or a cone
    text,
    yes_no,
    list,
    range,
    choice,  // one of some words
    profile, // a body, a kiln, ...
    ware,    // the ware at hand, in rules
    unity,   // the oxides of a glaze, in mol per mol of flux
    firing,
};

struct Type {
    TypeKind kind = TypeKind::poison;
    ProfileKind profile = ProfileKind::body; // of `profile`
    Dimension dimension;                     // of `quantity`
    TypeId element = 0;                      // of `list` and `range`
    std::vector<NameId> words;               // of `choice`
    bool operator==(const Type&) const = default;
};

class Types {
  public:
    explicit Types(Names& names);

    TypeId quantity(Dimension dimension);
    TypeId list_of(TypeId element);
    TypeId range_of(TypeId element);
    TypeId choice(std::vector<NameId> words);
    TypeId choice_of(const std::vector<std::string_view>& words);
    // The type of the field at that place of the table of fields; poison: not worked out yet.
    TypeId& of_field(std::size_t place) {
        if (place >= of_fields_.size())
            of_fields_.resize(place + 1, poison);
        return of_fields_[place];
    }
    TypeId profile(ProfileKind kind) const { return first_profile_ + static_cast<TypeId>(kind); }

    const Type& operator[](TypeId id) const { return all_[id]; }
    TypeKind kind(TypeId id) const { return all_[id].kind; }
    bool is_quantity(TypeId id, Dimension dimension) const {
        return all_[id].kind == TypeKind::quantity && all_[id].dimension == dimension;
    }

    // The type that a name such as `Temperature` stands for; nothing: poison.
    TypeId named(std::string_view name) const;
    static const std::vector<std::string_view>& type_names();

    // Whether a value of type `actual` may stand where `expected` is wanted: the same; a
    // temperature or a cone for a target; one value for a range of it; poison on either side.
    bool accepts(TypeId expected, TypeId actual) const;

    // For readers, with an article: "a temperature", "a length", "a cone or a range of cones".
    std::string describe(TypeId id) const;
    // As an example of what could stand there: "600C", "100C/h", "cone 6".
    std::string example(TypeId id) const;

    static constexpr TypeId poison = 0, number = 1, fraction = 2, temperature = 3, difference = 4,
                            rate = 5, duration = 6, length = 7, mass = 8, volume = 9, power = 10,
                            energy = 11, pressure = 12, price = 13, clock = 14, cone = 15,
                            target = 16, text = 17, yes_no = 18, ware = 19, unity = 20, firing = 21;

  private:
    TypeId add(Type type);
    Names& names_;
    std::vector<Type> all_;
    std::vector<TypeId> of_fields_;
    TypeId first_profile_ = 0;
};

} // namespace fettle
