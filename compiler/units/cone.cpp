#include "compiler/units/quantity.h"

#include "compiler/units/decimal.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace fettle {

namespace {

constexpr std::string_view half_sign = "½";

// 022 … 01 and 1 … 42. The trade has no cones 21, 22, 24 and 25, and four halves: 05½ and 5½ among
// the large cones, 31½ and 32½ among those for refractories.
std::vector<double> every_cone() {
    std::vector<double> cones{-5.5, 5.5, 31.5, 32.5};
    for (int number = 1; number <= 42; ++number) {
        if (number <= 22) {
            cones.push_back(-number);
        }
        if (number != 21 && number != 22 && number != 24 && number != 25) {
            cones.push_back(number);
        }
    }
    std::sort(cones.begin(), cones.end());
    return cones;
}

bool is_cone(double position) {
    return std::binary_search(all_cones().begin(), all_cones().end(), position);
}

// Takes "½" or ".5" off the end of a name.
bool take_half(std::string_view& name) {
    for (const std::string_view ending : {half_sign, std::string_view(".5")}) {
        if (name.ends_with(ending)) {
            name.remove_suffix(ending.size());
            return true;
        }
    }
    return false;
}

} // namespace

const std::vector<double>& all_cones() {
    static const std::vector<double> cones = every_cone();
    return cones;
}

std::optional<double> parse_cone(std::string_view name) {
    const bool half = take_half(name);
    const bool below = name.starts_with('0');
    name.remove_prefix(below ? 1 : 0);
    if (name.empty() || name.size() > 2 || name.front() < '1' || name.front() > '9') {
        return std::nullopt;
    }
    int number = 0;
    const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), number);
    if (error != std::errc{} || end != name.data() + name.size()) {
        return std::nullopt;
    }
    const double size = number + (half ? 0.5 : 0.0);
    const double position = below ? -size : size;
    return is_cone(position) ? std::optional(position) : std::nullopt;
}

std::string cone_name(double position) {
    if (!is_cone(position)) {
        return {};
    }
    const double whole = std::floor(std::abs(position));
    std::string name = position < 0 ? "0" : "";
    append(name, {static_cast<std::uint64_t>(whole), 0});
    if (whole != std::abs(position)) {
        name += half_sign;
    }
    return name;
}

} // namespace fettle
