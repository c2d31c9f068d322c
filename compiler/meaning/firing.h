// A firing worked out from its template and settings: phases with steps whose quantities are known.
// Made by instantiate.h; lowering turns it into a schedule.
#pragma once

#include "compiler/meaning/evaluate.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

enum class StepKind : std::uint8_t { climb, soak, soak_until, vent, atmosphere, set, note, job };
enum class How : std::uint8_t { rate, over, full, freely, opened };

struct Step {
    StepKind kind = StepKind::climb;
    bool cooling = false; // `cool`
    bool by = false;      // the target is a difference
    How how = How::rate;
    std::uint32_t phase = 0; // Firing::phases
    std::uint32_t trail = 0; // Firing::trail
    Value target;            // temperature, difference or cone; of soak_until a cone
    double amount = 0;       // rate: K/s; over, soak: seconds; vent, atmosphere: the enum's value
    UnitId unit = 0;         // of `amount`, as it was written
    std::optional<double> with_soak_s;
    UnitId unit_of_soak = 0;
    std::optional<double> waiting_within_k;
    NameId control = 0;    // of `set`
    std::string_view text; // note, job; the value of a control
};

// A line that a step came from, and the line that led to it.
struct TrailFrame {
    ModuleId module = 0;
    NodeId node = 0;
    std::uint32_t outer = none;
};

struct FiringPhase {
    NameId name = 0;
    std::string_view title, about;
    ModuleId module = 0;
    NodeId node = 0;
};

struct FiringWare {
    std::string_view name;         // empty: the one ware of a plain firing
    std::array<Value, 8> fields{}; // by field of Holder::ware
    std::array<Span, 8> spans{};
    Span span;
};

struct FiringConfirm {
    std::string_view text, by;
};
struct Waiver {
    std::string_view rule; // its name
    std::string_view reason;
    Span span;
};
enum class AcceptKind : std::uint8_t { peak, soak, witness, duration };
struct FiringAccept {
    AcceptKind kind = AcceptKind::peak;
    double value = 0;     // soak: seconds; witness: the cone
    double tolerance = 0; // K of peak and soak, seconds of duration
    std::string_view shelf;
};
struct FiringArgument {
    NameId name = 0;
    std::string value; // as it prints
};

struct Firing {
    DeclarationId declaration = none; // of the firing; `none`: made in place in a test
    DeclarationId template_ = none;
    std::string_view name, title, about;
    std::vector<FiringArgument> arguments;
    std::uint32_t kiln = none; // Program::profiles
    Span kiln_span;
    std::vector<FiringWare> ware; // one, or the groups of a load
    bool is_load = false;
    std::vector<FiringConfirm> confirmations;
    std::vector<Waiver> waivers;
    std::vector<FiringAccept> accept;
    std::optional<double> simplify_within_k;
    double start_c = 20;
    double delay_s = 0;
    std::vector<FiringPhase> phases;
    std::vector<Step> steps;
    std::vector<TrailFrame> trail;
    Arena arena;
    Span span;       // of its name
    bool ok = false; // false: a diagnostic says why

    // As new, but with the memory of its lists.
    void clear();
};

// Adds to a message the lines that led to a step: "followed from here".
void explain_trail(Diagnostic& diagnostic, const Program& program, const Firing& firing,
                   std::uint32_t trail);

} // namespace fettle
