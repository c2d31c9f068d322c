#include "compiler/meaning/type.h"

#include <fmt/format.h>

#include <array>
#include <utility>

namespace fettle {
namespace {

constexpr std::array<std::pair<std::string_view, TypeId>, 20> simple_names{{
    {"Temperature", Types::temperature},
    {"Difference", Types::difference},
    {"Rate", Types::rate},
    {"Duration", Types::duration},
    {"Clock", Types::clock},
    {"Length", Types::length},
    {"Mass", Types::mass},
    {"Volume", Types::volume},
    {"Power", Types::power},
    {"Energy", Types::energy},
    {"Pressure", Types::pressure},
    {"Price", Types::price},
    {"Fraction", Types::fraction},
    {"Number", Types::number},
    {"Cone", Types::cone},
    {"Target", Types::target},
    {"Text", Types::text},
    {"YesNo", Types::yes_no},
    {"Firing", Types::firing},
    {"Ware", Types::ware},
}};

constexpr std::array<std::pair<std::string_view, ProfileKind>, 8> profile_names{{
    {"Body", ProfileKind::body},
    {"Kiln", ProfileKind::kiln},
    {"Insulation", ProfileKind::insulation},
    {"Controller", ProfileKind::controller},
    {"Material", ProfileKind::material},
    {"Glaze", ProfileKind::glaze},
    {"Tariff", ProfileKind::tariff},
    {"Studio", ProfileKind::studio},
}};

constexpr std::array<std::pair<TypeId, std::string_view>, 13> quantity_examples{{
    {Types::number, "3"},
    {Types::fraction, "1.2%"},
    {Types::temperature, "600C"},
    {Types::difference, "20dC"},
    {Types::rate, "100C/h"},
    {Types::duration, "1h30m"},
    {Types::length, "8mm"},
    {Types::mass, "35kg"},
    {Types::volume, "180L"},
    {Types::power, "9kW"},
    {Types::energy, "60kWh"},
    {Types::pressure, "30mbar"},
    {Types::price, "0.31/kWh"},
}};

} // namespace

Types::Types(Names& names) : names_(names) {
    add({TypeKind::poison});
    for (Dimension d : {dimension::number, dimension::fraction, dimension::temperature,
                        dimension::difference, dimension::rate, dimension::duration,
                        dimension::length, dimension::mass, dimension::volume, dimension::power,
                        dimension::energy, dimension::pressure, dimension::price}) {
        Type type{TypeKind::quantity};
        type.dimension = d;
        add(std::move(type));
    }
    for (TypeKind kind : {TypeKind::clock, TypeKind::cone, TypeKind::target, TypeKind::text,
                          TypeKind::yes_no, TypeKind::ware, TypeKind::unity, TypeKind::firing}) {
        add({kind});
    }
    first_profile_ = static_cast<TypeId>(all_.size());
    for (const auto& [name, kind] : profile_names) {
        Type type{TypeKind::profile};
        type.profile = kind;
        add(std::move(type));
    }
}

TypeId Types::add(Type type) {
    for (TypeId id = 0; id < all_.size(); ++id) {
        if (all_[id] == type)
            return id;
    }
    all_.push_back(std::move(type));
    return static_cast<TypeId>(all_.size() - 1);
}

TypeId Types::quantity(Dimension dimension) {
    for (TypeId id = number; id <= price; ++id) {
        if (all_[id].dimension == dimension)
            return id;
    }
    Type type{TypeKind::quantity};
    type.dimension = dimension;
    return add(std::move(type));
}

TypeId Types::list_of(TypeId element) {
    Type type{TypeKind::list};
    type.element = element;
    return add(std::move(type));
}

TypeId Types::range_of(TypeId element) {
    Type type{TypeKind::range};
    type.element = element;
    return add(std::move(type));
}

TypeId Types::choice(std::vector<NameId> words) {
    Type type{TypeKind::choice};
    type.words = std::move(words);
    return add(std::move(type));
}

TypeId Types::choice_of(const std::vector<std::string_view>& words) {
    std::vector<NameId> ids;
    for (std::string_view word : words)
        ids.push_back(names_.intern(word));
    return choice(std::move(ids));
}

TypeId Types::named(std::string_view name) const {
    for (const auto& [simple, id] : simple_names) {
        if (simple == name)
            return id;
    }
    for (const auto& [profile_name, kind] : profile_names) {
        if (profile_name == name)
            return profile(kind);
    }
    return poison;
}

const std::vector<std::string_view>& Types::type_names() {
    static const std::vector<std::string_view> all = [] {
        std::vector<std::string_view> names;
        for (const auto& [name, id] : simple_names)
            names.push_back(name);
        for (const auto& [name, kind] : profile_names)
            names.push_back(name);
        return names;
    }();
    return all;
}

bool Types::accepts(TypeId expected, TypeId actual) const {
    if (expected == actual || expected == poison || actual == poison)
        return true;
    const Type& want = all_[expected];
    const Type& have = all_[actual];
    if (want.kind == TypeKind::target)
        return actual == temperature || actual == cone;
    if (want.kind == TypeKind::range) {
        return have.kind == TypeKind::range ? accepts(want.element, have.element)
                                            : accepts(want.element, actual);
    }
    if (want.kind == TypeKind::list && have.kind == TypeKind::list) {
        return accepts(want.element, have.element);
    }
    if (want.kind == TypeKind::choice && have.kind == TypeKind::choice) {
        for (NameId word : have.words) {
            bool found = false;
            for (NameId other : want.words)
                found = found || other == word;
            if (!found)
                return false;
        }
        return true;
    }
    return false;
}

std::string Types::describe(TypeId id) const {
    const Type& type = all_[id];
    switch (type.kind) {
    case TypeKind::poison: return "something";
    case TypeKind::quantity: return fettle::describe(type.dimension);
    case TypeKind::clock: return "a time of day";
    case TypeKind::cone: return "a cone";
    case TypeKind::target: return "a temperature or a cone";
    case TypeKind::text: return "a text";
    case TypeKind::yes_no: return "yes or no";
    case TypeKind::list: return fmt::format("a list (each {})", describe(type.element));
    case TypeKind::range: return fmt::format("{} or a range of them", describe(type.element));
    case TypeKind::choice: {
        std::string words;
        for (std::size_t i = 0; i < type.words.size(); ++i) {
            if (i > 0)
                words += i + 1 == type.words.size() ? " or " : ", ";
            words += names_[type.words[i]];
        }
        return type.words.size() == 1 ? fmt::format("the word {}", words)
                                      : fmt::format("one of {}", words);
    }
    case TypeKind::profile:
        switch (type.profile) {
        case ProfileKind::body: return "a clay body";
        case ProfileKind::insulation: return "an insulation";
        default: return fmt::format("a {}", to_string(type.profile));
        }
    case TypeKind::ware: return "the ware";
    case TypeKind::unity: return "a unity formula";
    case TypeKind::firing: return "a firing";
    }
    return "something";
}

std::string Types::example(TypeId id) const {
    const Type& type = all_[id];
    switch (type.kind) {
    case TypeKind::quantity:
        for (const auto& [quantity_type, sample] : quantity_examples) {
            if (quantity_type == id)
                return std::string(sample);
        }
        return "";
    case TypeKind::clock: return "22:30";
    case TypeKind::cone: return "cone 6";
    case TypeKind::target: return "600C or cone 6";
    case TypeKind::text: return "\"…\"";
    case TypeKind::yes_no: return "thickness <= 10mm";
    case TypeKind::list: return fmt::format("[{}]", example(type.element));
    case TypeKind::range:
        return type.element == cone ? "cone 5 to cone 6"
                                    : example(type.element); // one value widens
    case TypeKind::choice: return type.words.empty() ? "" : std::string(names_[type.words[0]]);
    default: return "";
    }
}

} // namespace fettle
