// Was it the firing that was asked for? A log against its schedule: phase by phase, and item by
// item of the acceptance. Numbers only; the words are made in compiler/output.
#pragma once

#include "runtime/log/align.h"
#include "runtime/log/witness.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace fettle {

// A soak counts as held within this many kelvin of its temperature, where nothing else is said.
inline constexpr double soak_band_k = 5;

struct SegmentJudgement {
    AlignedPiece piece;
    std::optional<double> asked_s;
    double began_c = 0, ended_c = 0;
    std::optional<double> asked_rate_k_per_h, real_rate_k_per_h; // of climbs and falls, signed
    std::optional<double> steepest_k_per_h; // over ten minutes, in the direction of the segment
    std::optional<double> within_band_s;    // of soaks
    double lowest_c = 0, highest_c = 0;
};

struct PhaseJudgement {
    std::uint32_t phase = 0; // Schedule::phases
    double from_s = 0, to_s = 0;
    std::optional<double> asked_s; // of the segments that have a time of their own, if all have
    PieceEnd end = PieceEnd::reached;
    double highest_c = 0;
    // The cone that the log's heat work has completed at its end, on the scale; nothing: none.
    ConeReading heat;
};

// What a specification may ask (language reference, "Acceptance").
enum class AcceptanceKind : std::uint8_t { peak, soak, witness, duration };

struct AcceptanceItem {
    AcceptanceKind kind = AcceptanceKind::peak;
    double value = 0;     // peak: C; soak: seconds at least; witness: the cone; duration: seconds
    double tolerance = 0; // K around the asked peak; seconds
    std::string shelf;    // of a witness; empty: any
};

enum class Verdict : std::uint8_t { pass, fail, cannot_tell };

// Why an item can't be told, or on what its verdict rests.
enum class Ground : std::uint8_t {
    log,             // the log itself
    cone_read,       // a witness cone of that number
    other_cones,     // witness cones of other numbers
    flat_alone,      // the cone lies flat, and no hotter one stood beside it
    no_cone_read,    // none was read there: `found` is what the sensor's heat work comes to
    contradictory,   // the cones of that shelf contradict one another
    log_begins_late, // part of it is not in the log
    log_ends_early,
    gap_at_the_top,  // no readings for `found` seconds there
    not_in_schedule, // nothing is asked that it could be held against
};

struct AcceptanceVerdict {
    std::size_t item = 0;
    Verdict verdict = Verdict::cannot_tell;
    Ground ground = Ground::log;
    std::optional<double> found; // in the unit of the item's value; of a witness: cone position
    std::string shelf;           // where a witness decided
    std::optional<ConeLook> look;
};

struct JudgeInput {
    const Schedule* schedule = nullptr;
    const LogReading* reading = nullptr;
    std::size_t sensor = 0;
    const ConeScale* scale = nullptr;
    std::span<const AcceptanceItem> acceptance;
    std::span<const WitnessReading> witnesses;
    std::span<const ConeLookWork> looks;
};

struct Judgement {
    LogCurve curve; // from the log's first reading on
    Alignment alignment;
    std::vector<SegmentJudgement> segments;
    std::vector<PhaseJudgement> phases;
    ConeReading heat; // of the whole log, by the sensor
    std::vector<ShelfHeat> shelves;
    std::vector<AcceptanceVerdict> acceptance;
    Verdict overall = Verdict::cannot_tell; // of the acceptance; cannot_tell where there is none
};

// The reading must be judgeable and the sensor usable.
Judgement judge(const JudgeInput& input);

} // namespace fettle
