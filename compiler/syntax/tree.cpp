#include "compiler/syntax/tree.h"

#include <iterator>

namespace fettle {

std::string_view to_string(NodeKind kind) {
    static constexpr std::string_view names[] = {"absent",       "error",
                                                 "word",         "number",
                                                 "quantity",     "clock",
                                                 "cone",         "version",
                                                 "text",         "text_part",
                                                 "yes",          "no",
                                                 "name",         "field_access",
                                                 "call",         "argument",
                                                 "list_literal", "paren",
                                                 "negate",       "not",
                                                 "binary",       "range",
                                                 "conditional",  "within_range",
                                                 "within_of",    "keeps_rules",
                                                 "breaks_rule",  "type_name",
                                                 "type_list",    "type_range",
                                                 "type_choice",  "file",
                                                 "use",          "path",
                                                 "let",          "function",
                                                 "profile",      "phase",
                                                 "template",     "firing",
                                                 "rule",         "memory",
                                                 "memory_slot",  "test",
                                                 "library",      "needs",
                                                 "private",      "parameters",
                                                 "parameter",    "block",
                                                 "list",         "field",
                                                 "limit",        "lining",
                                                 "shelf",        "control",
                                                 "price",        "start_delay",
                                                 "analysis",     "fires",
                                                 "recipe",       "add",
                                                 "ingredient",   "about",
                                                 "ware",         "load",
                                                 "start_at",     "start_after",
                                                 "require",      "confirm",
                                                 "allow",        "accept",
                                                 "accept_peak",  "accept_duration",
                                                 "accept_soak",  "accept_witness",
                                                 "simplify",     "ramp",
                                                 "cool",         "at_rate",
                                                 "over_time",    "at_full",
                                                 "freely",       "opened",
                                                 "soak",         "soak_until",
                                                 "follow",       "when",
                                                 "repeat",       "for_each",
                                                 "vent",         "atmosphere",
                                                 "set",          "note",
                                                 "do",           "level",
                                                 "applies",      "check",
                                                 "because",      "remedy",
                                                 "source",       "waivable",
                                                 "expect"};
    static_assert(std::size(names) == static_cast<std::size_t>(NodeKind::expect) + 1);
    return names[static_cast<std::size_t>(kind)];
}

std::string_view to_string(BinaryOp op) {
    static constexpr std::string_view names[] = {
        "or", "and", "is", "is not", "<", "<=", ">", ">=", "+", "-", "*", "/"};
    return names[static_cast<std::size_t>(op)];
}

std::string_view to_string(ProfileKind kind) {
    static constexpr std::string_view names[] = {"body",     "kiln",  "insulation", "controller",
                                                 "material", "glaze", "tariff",     "studio"};
    return names[static_cast<std::size_t>(kind)];
}

} // namespace fettle
