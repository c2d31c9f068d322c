// Everything that an output says about one firing. Lowering fills it; the outputs only read it.
//
// Texts are views: of the program's sources, of profiles, of the schedule, or of `kept`. They must
// outlive the document. A view that is empty means "not given", unless it says otherwise.
// Lists that are the same for all firings of a file (files, controls) are spans, not copies.
#pragma once

#include "compiler/source/kept_texts.h"
#include "compiler/target/steps.h"
#include "runtime/schedule/schedule.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace fettle {

// The same for every firing of a compilation.
struct SourceOrigin {
    struct File {
        std::string path;   // relative, forward slashes
        std::string sha256; // 64 hexadecimal digits, lower case
    };
    std::string library; // empty: files outside a library
    std::string library_version;
    std::vector<File> files;
};

// A profile that a firing uses.
struct NamedProfile {
    std::string_view name; // empty: none
    std::string_view title;
};

enum class Fuel : std::uint8_t { unknown, electric, gas, wood };

struct WareGroup {
    std::string_view name; // empty for plain ware
    NamedProfile body;
    NamedProfile glaze;
    std::optional<double> thickness_mm;
    std::optional<double> moisture; // a share: 0.01 is 1 %
    std::optional<double> mass_kg;
    std::string_view shelf;
    std::string_view state;   // "raw", "bisque", "fired"; for readers; not in JSON
    std::string_view bisqued; // "cone 04"; for readers; not in JSON
};

struct Argument {
    std::string_view name;
    std::string_view value; // as printed: "18mm", "cone 04"
};

struct Confirmation {
    std::string_view text;
    std::string_view by; // who signs
};

enum class CheckLevel : std::uint8_t { advice, caution, error };
enum class CheckResult : std::uint8_t { holds, broken, waived, unknown, not_applicable };

// A value found or allowed: nothing, a number in the check's unit, or words ("closed", "cone 04").
using CheckValue = std::variant<std::monostate, double, std::string_view>;

struct Check {
    std::string_view rule;
    std::string_view title; // for readers; not in JSON
    CheckLevel level = CheckLevel::caution;
    CheckResult result = CheckResult::holds;
    std::string_view group; // of ware; empty: the whole firing
    CheckValue found;
    CheckValue allowed;
    enum class Sense : std::uint8_t { other, most, least } sense = Sense::other; // of `allowed`
    std::string_view unit; // "C/h"; of the numbers above
    // Why there is such a rule; for `unknown`: what must be filled in. Empty for what holds or does
    // not apply.
    std::string_view reason;
    std::string_view remedy; // for readers; not in JSON
    // The same as `reason` for what holds, where it was asked for (RuleWords::of_all); for readers;
    // not in JSON.
    std::string_view because;
    std::string_view waiver;             // "because …" of the `allow`
    std::vector<std::uint32_t> segments; // at fault, from 0
};

struct AcceptItem {
    std::string_view kind; // "peak", "soak", "witness", "duration"
    std::optional<double> value;
    std::optional<double> tolerance;
    std::string_view unit; // of both: "C", "s"
    std::string_view cone;
    std::string_view shelf;
};

// How far the firing's heat work goes. Cones as they are written: "04".
struct HeatWorkReached {
    std::string_view cone;      // the highest that is complete; empty: none, or not known
    std::string_view next_cone; // empty: there is none, or not known
    std::optional<double> fraction_to_next; // 0 to 1
};

// --- what to expect, for cards and sheets -------------------------------------------------------

// A cone among the ware: whether it falls, and when.
struct ConeExpected {
    std::string_view cone; // as it is written: "6"
    bool falls = false;
    double at_c = 0;               // where it falls
    std::optional<double> falls_s; // from the start of the first segment; nothing: not known
};

// Where a firing is, when it is interrupted.
enum class Interrupted : std::uint8_t {
    drying,        // on the way up, below where the last water has left
    dark,          // on the way up, below 600C
    red,           // on the way up, above that
    near_top,      // the heat work of the top has begun
    held_falling,  // after the top, and the firing still holds or steers the kiln
    held_climbing, // the same, and the firing itself climbs again there
    cooling,       // after the top, left to itself
};

// What is left to do after an interruption near the top: climb again, and stay.
struct HeatWorkLeft {
    double reached_c = 20;              // the kiln was so far
    double soaked_s = 0;                // and had stayed there so long
    std::optional<double> at_s;         // from the start of the first segment; nothing: not known
    double done = 0;                    // of the heat work that the top gives: 0 to 1
    std::optional<double> rate_k_per_h; // of the climb; nothing: as fast as it can
    double climb_to_c = 20;
    double soak_s = 0;
};

// One kind of interruption in one phase.
struct Interruption {
    Interrupted kind = Interrupted::cooling;
    std::uint32_t phase = 0;
    double from_c = 20, to_c = 20;          // of the firing there; a fall has `from_c` above
    std::optional<double> reduction_from_c; // before the top: the coldest reduction there
    std::vector<HeatWorkLeft> left;         // near_top: as the firing goes on
};

// ------------------------------------------------------------------------------------------------

struct FiringDocument {
    KeptTexts kept;

    std::string_view compiler_version;
    const SourceOrigin* source = nullptr; // nothing: not said

    std::string_view name;
    std::string_view title;
    std::string_view about;
    std::string_view template_name; // for readers; empty: written out
    std::vector<Argument> arguments;
    NamedProfile body; // of the whole firing; empty in a mixed load
    NamedProfile glaze;
    NamedProfile kiln;
    NamedProfile controller;
    Fuel fuel = Fuel::unknown;
    std::vector<WareGroup> load;
    std::vector<Confirmation> confirms;

    const Schedule* schedule = nullptr; // never nothing when an output reads it
    std::optional<Steps> steps;         // only with a controller
    HeatWorkReached heat_work;
    // The cone that is complete at the end of each segment ("" before the first); one for each
    // segment, or none at all where it was not worked out. Shown in CSV.
    std::vector<std::string_view> cones_after;
    // Those two only where they are shown (Compilation::tell_what_to_expect).
    std::vector<ConeExpected> cones_expected; // coldest first: before the hottest, it, beyond it
    std::vector<Interruption> interruptions;  // as the firing goes on
    std::vector<Check> checks;
    std::vector<AcceptItem> accept;
};

} // namespace fettle
