#include "compiler/units/suggestion.h"

#include "compiler/source/nearest.h"
#include "compiler/units/unit_table.h"

#include <algorithm>
#include <vector>

namespace fettle {

namespace {

struct Slip {
    std::string_view written; // in small letters
    std::string_view meant;
};

// What people write, and what spelling alone would not find.
constexpr std::array slips{
    Slip{"hr", "h"},
    Slip{"hrs", "h"},
    Slip{"hour", "h"},
    Slip{"hours", "h"},
    Slip{"mins", "min"},
    Slip{"mn", "min"},
    Slip{"minute", "min"},
    Slip{"minutes", "min"},
    Slip{"sec", "s"},
    Slip{"secs", "s"},
    Slip{"second", "s"},
    Slip{"seconds", "s"},
    Slip{"day", "d"},
    Slip{"days", "d"},
    Slip{"deg", "C"},
    Slip{"degc", "C"},
    Slip{"degf", "F"},
    Slip{"degk", "K"},
    Slip{"degree", "C"},
    Slip{"degrees", "C"},
    Slip{"°", "C"},
    Slip{"º", "C"},
    Slip{"ºc", "C"},
    Slip{"ºf", "F"},
    Slip{"˚", "C"},
    Slip{"˚c", "C"},
    Slip{"˚f", "F"},
    Slip{"℃", "C"},
    Slip{"℉", "F"},
    Slip{"°k", "K"},
    Slip{"ºk", "K"},
    Slip{"celsius", "C"},
    Slip{"centigrade", "C"},
    Slip{"fahrenheit", "F"},
    Slip{"kelvin", "K"},
    Slip{"meter", "metre"},
    Slip{"meters", "metre"},
    Slip{"metres", "metre"},
    Slip{"mtr", "metre"},
    Slip{"millimetre", "mm"},
    Slip{"millimetres", "mm"},
    Slip{"millimeters", "mm"},
    Slip{"centimetre", "cm"},
    Slip{"centimetres", "cm"},
    Slip{"centimeters", "cm"},
    Slip{"inch", "in"},
    Slip{"inches", "in"},
    Slip{"ins", "in"},
    Slip{"\"", "in"},
    Slip{"foot", "ft"},
    Slip{"feet", "ft"},
    Slip{"m2", "metre2"},
    Slip{"m3", "metre3"},
    Slip{"m²", "metre2"},
    Slip{"m³", "metre3"},
    Slip{"cm²", "cm2"},
    Slip{"cm³", "cm3"},
    Slip{"mm²", "mm2"},
    Slip{"ft²", "ft2"},
    Slip{"ft³", "ft3"},
    Slip{"in²", "in2"},
    Slip{"in³", "in3"},
    Slip{"sqft", "ft2"},
    Slip{"cuft", "ft3"},
    Slip{"cc", "ml"},
    Slip{"ltr", "L"},
    Slip{"litre", "L"},
    Slip{"litres", "L"},
    Slip{"liter", "L"},
    Slip{"liters", "L"},
    Slip{"gm", "g"},
    Slip{"gram", "g"},
    Slip{"grams", "g"},
    Slip{"grammes", "g"},
    Slip{"kilo", "kg"},
    Slip{"kilos", "kg"},
    Slip{"kgs", "kg"},
    Slip{"kilogram", "kg"},
    Slip{"kilograms", "kg"},
    Slip{"lbs", "lb"},
    Slip{"pound", "lb"},
    Slip{"pounds", "lb"},
    Slip{"ounce", "oz"},
    Slip{"ounces", "oz"},
    Slip{"watt", "W"},
    Slip{"watts", "W"},
    Slip{"kilowatt", "kW"},
    Slip{"kilowatts", "kW"},
    Slip{"amp", "A"},
    Slip{"amps", "A"},
    Slip{"ampere", "A"},
    Slip{"joule", "J"},
    Slip{"joules", "J"},
    Slip{"pascal", "Pa"},
    Slip{"millibar", "mbar"},
    Slip{"mb", "mbar"},
    Slip{"percent", "%"},
    Slip{"pct", "%"},
    Slip{"pc", "%"},
    Slip{"％", "%"},
};

std::string in_small_letters(std::string_view text) {
    std::string small(text);
    for (char& letter : small) {
        if (letter >= 'A' && letter <= 'Z') {
            letter = static_cast<char>(letter - 'A' + 'a');
        }
    }
    return small;
}

// Names of one part; the others are reached part by part.
std::vector<std::string_view> simple_names() {
    std::vector<std::string_view> names;
    for (const Unit& unit : units) {
        if (unit.name.find('/') == std::string_view::npos) {
            names.push_back(unit.name);
        }
    }
    return names;
}

} // namespace

std::string nearest_unit(std::string_view part) {
    const std::string small = in_small_letters(part);
    const std::vector<std::string_view> names = simple_names();
    const auto same = std::find_if(names.begin(), names.end(), [&](std::string_view name) {
        return in_small_letters(name) == small;
    });
    if (same != names.end()) {
        return std::string(*same);
    }
    for (const Slip& slip : slips) {
        if (slip.written == small) {
            return std::string(slip.meant);
        }
    }
    return std::string(nearest(part, names).value_or(""));
}

} // namespace fettle
