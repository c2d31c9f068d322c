#include "compiler/syntax/block_kinds.h"

#include <algorithm>
#include <iterator>

namespace fettle {
namespace {

constexpr std::string_view file_words[] = {
    "body",    "controller", "firing",  "function", "glaze",  "insulation",
    "kiln",    "let",        "library", "material", "memory", "phase",
    "private", "rule",       "studio",  "tariff",   "template", "test",   "use"};
constexpr std::string_view profile_words[] = {"about",  "add",   "analysis",   "control",
                                              "fires",  "limit", "lining",     "price",
                                              "recipe", "shelf", "start_delay"};
constexpr std::string_view ware_words[] = {"shelf"};
constexpr std::string_view library_words[] = {"about", "licence", "needs", "version"};
constexpr std::string_view rule_words[] = {"about", "applies", "because", "check",   "let",
                                           "level", "remedy",  "source",  "waivable"};
constexpr std::string_view test_words[] = {"about", "expect", "let"};
constexpr std::string_view firing_words[] = {"about",   "accept",   "allow", "body", "confirm",
                                             "glaze",   "kiln",     "let",   "load", "phase",
                                             "require", "simplify", "start", "ware"};
constexpr std::string_view step_words[] = {"about",   "atmosphere", "cool", "do",   "follow",
                                           "for",     "let",        "note", "ramp", "repeat",
                                           "require", "set",        "soak", "vent", "when"};
constexpr std::string_view recipe_words[] = {"for", "when"};
constexpr std::string_view load_words[] = {"ware"};
constexpr std::string_view accept_words[] = {"duration", "peak", "soak", "witness"};

struct PlaceEntry {
    std::string_view name;
    std::span<const std::string_view> words;
};
constexpr PlaceEntry places[] = {
    {"a file", file_words},     {"a profile", profile_words},
    {"ware", ware_words},       {"a library", library_words},
    {"a rule", rule_words},     {"a test", test_words},
    {"a firing", firing_words}, {"a phase", step_words},
    {"a load", load_words},     {"accept", accept_words},
    {"a recipe", recipe_words},           {"a memory", {}},
};

struct Synonym {
    std::string_view from, to;
};
constexpr Synonym synonyms[] = {
    {"assert", "require"},  {"climb", "ramp"},     {"const", "let"},    {"dwell", "soak"},
    {"drop", "cool"},       {"fall", "cool"},      {"foreach", "for"},  {"heat", "ramp"},
    {"hold", "soak"},       {"if", "when"},        {"import", "use"},   {"include", "use"},
    {"license", "licence"}, {"loop", "repeat"},    {"stage", "phase"},  {"segment", "phase"},
    {"schedule", "firing"}, {"program", "firing"}, {"oven", "kiln"},    {"wait", "soak"},
    {"clay", "body"},       {"var", "let"},        {"remark", "note"},  {"comment", "note"},
    {"set_point", "ramp"},  {"fire", "firing"},    {"def", "function"}, {"why", "because"},
};

} // namespace

std::span<const std::string_view> words_of(BlockKind place) {
    return places[static_cast<std::size_t>(place)].words;
}

std::string_view to_string(BlockKind place) {
    return places[static_cast<std::size_t>(place)].name;
}

bool is_word_of(BlockKind place, std::string_view word) {
    const auto words = words_of(place);
    return std::find(words.begin(), words.end(), word) != words.end();
}

std::string_view synonym_of(std::string_view word) {
    const auto* const found = std::find_if(std::begin(synonyms), std::end(synonyms),
                                           [&](const Synonym& s) { return s.from == word; });
    return found == std::end(synonyms) ? std::string_view{} : found->to;
}

} // namespace fettle
