#include "compiler/syntax/lexical.h"

#include "compiler/source/characters.h"
#include "compiler/syntax/letters.h"

#include <algorithm>
#include <iterator>

namespace fettle::lexical {
namespace {

template <std::size_t N> bool in_table(const letters::Range (&table)[N], char32_t code) {
    const auto* const after =
        std::upper_bound(std::begin(table), std::end(table), code,
                         [](char32_t c, const letters::Range& r) { return c < r.first; });
    return after != std::begin(table) && code <= std::prev(after)->last;
}

// At most four bytes: a character is never longer, and the zero byte at the end stops it.
Character character_at(const char* p) {
    return first_character({p, strnlen(p, 4)});
}

constexpr char32_t unit_signs[] = {U'°', U'º', U'˚', U'µ', U'½', U'¼', U'¾', U'²', U'³', U'·'};

// Length of what may go on a unit at `p`: a letter, '%', '_', one of the signs above.
std::uint32_t unit_character(const char* p) {
    if ((class_of(*p) & (is_letter)) || *p == '%' || *p == '_')
        return 1;
    if (!(class_of(*p) & is_high))
        return 0;
    const Character c = character_at(p);
    if (std::find(std::begin(unit_signs), std::end(unit_signs), c.code) != std::end(unit_signs)) {
        return c.length;
    }
    return high_letter(p, false);
}

const char* after_digits(const char* p) {
    while (digit(*p))
        ++p;
    return p;
}

// 1h30m, metre3, °C: letters, digits between and behind them.
const char* after_unit(const char* p, bool& strange) {
    for (;;) {
        if (const std::uint32_t more = unit_character(p)) {
            p += more;
            strange = strange || more > 1;
        } else if (digit(*p)) {
            ++p;
        } else if (*p == '.' && digit(p[1])) {
            p += 2;
        } else {
            return p;
        }
    }
}

// "-beta.1" or "+7" behind the numbers of a version.
const char* after_version_part(const char* p, char sign) {
    const auto fits = [](char c) {
        return digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-';
    };
    if (*p != sign || !fits(p[1]))
        return p;
    ++p;
    while (fits(*p) || (*p == '.' && fits(p[1])))
        ++p;
    return p;
}

} // namespace

std::uint32_t high_letter(const char* p, bool inside_name) {
    const Character c = character_at(p);
    if (!c.valid)
        return 1;
    const bool yes =
        in_table(letters::letter, c.code) || (inside_name && in_table(letters::inside, c.code));
    return yes ? c.length : 0;
}

std::uint32_t high_blank(const char* p) {
    const Character c = character_at(p);
    const bool yes = c.code == 0xA0 || c.code == 0xFEFF || c.code == 0x202F ||
                     (c.code >= 0x2000 && c.code <= 0x200B) || c.code == 0x3000;
    return c.valid && yes ? c.length : 0;
}

const char* skip_spaces(const char* p) {
    for (;;) {
        while (class_of(*p) & is_blank)
            ++p;
        if (!(class_of(*p) & is_high))
            return p;
        const std::uint32_t more = high_blank(p);
        if (more == 0)
            return p;
        p += more;
    }
}

const char* skip_blank_slow(const char* p) {
    p = skip_spaces(p);
    return *p == '#' ? to_line_end(p) : p;
}

Literal literal_at(const char* begin) {
    const char* p = begin;
    if (*p == '-')
        ++p;
    if (!digit(*p))
        return {};
    const char* const digits = p;
    p = after_digits(p);
    bool strange = false;
    const auto found = [&](NodeKind kind) {
        return Literal{kind, static_cast<std::uint32_t>(p - begin), strange};
    };
    if (*p == ':' && p - digits <= 2 && digit(p[1]) && digit(p[2]) && !digit(p[3])) {
        p += 3;
        return found(NodeKind::clock);
    }
    if (*p == '.' && digit(p[1])) {
        p = after_digits(p + 1);
        if (*p == '.' && digit(p[1])) {
            while (*p == '.' && digit(p[1]))
                p = after_digits(p + 1);
            p = after_version_part(after_version_part(p, '-'), '+');
            return found(NodeKind::version);
        }
    }
    bool unit = false;
    if (unit_character(p) != 0) {
        p = after_unit(p, strange);
        unit = true;
    }
    // A price is "0.31/kWh": no unit before the '/'.
    while (*p == '/' && !digit(p[1]) && p[1] != '_' && unit_character(p + 1) != 0) {
        p = after_unit(p + 1, strange);
        unit = true;
    }
    return found(unit ? NodeKind::quantity : NodeKind::number);
}

std::uint32_t cone_at(const char* begin) {
    if (std::strncmp(begin, "cone", 4) != 0 || inside_word(begin + 4))
        return 0;
    const char* p = skip_spaces(begin + 4);
    if (p == begin + 4 || !digit(*p))
        return 0;
    p = after_digits(p);
    if (*p == '.' && digit(p[1]))
        p = after_digits(p + 1);
    static constexpr std::string_view half = "½";
    if (std::strncmp(p, half.data(), half.size()) == 0)
        p += half.size();
    return static_cast<std::uint32_t>(p - begin);
}

bool is_reserved(std::string_view word) {
    static constexpr std::string_view reserved[] = {"to",   "at",        "over",    "by",  "of",
                                                    "and",  "or",        "not",     "is",  "within",
                                                    "when", "otherwise", "between", "from"};
    if (word.size() < 2 || word.size() > 9)
        return false;
    return std::find(std::begin(reserved), std::end(reserved), word) != std::end(reserved);
}

bool looks_like_unit(std::string_view word) {
    static constexpr std::string_view units[] = {
        "C",    "F",       "K",    "dC",    "dF",     "dK",   "s",   "m",       "min",   "h",
        "d",    "mm",      "cm",   "ft",    "kg",     "g",    "lb",  "L",       "ml",    "W",
        "kW",   "kWh",     "MJ",   "Pa",    "kPa",    "mbar", "psi", "minutes", "hours", "minute",
        "hour", "seconds", "days", "metre", "metres", "sec",  "hr",  "hrs",     "mins"};
    return std::find(std::begin(units), std::end(units), word) != std::end(units);
}

} // namespace fettle::lexical
