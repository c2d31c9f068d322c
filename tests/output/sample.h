// Firings of the invented Harbour Row studio, made by hand, for the tests and benchmarks of
// outputs.
#pragma once

#include "compiler/lowering/document.h"

#include <memory>

namespace fettle::sample {

// A document with what it points to. Stays where it is: the document points into it.
struct Firing {
    Schedule schedule;
    SourceOrigin source;
    FiringDocument document;

    // Starts a phase; what is added after belongs to it.
    void phase(std::string name, std::string title = "");
    // Holds from the next segment on.
    void state(KilnState state);
    Segment& ramp(double to_c, double rate_k_per_h);
    Segment& soak(double minutes);
    // `full`, `free` or `opened`, with an estimate in hours or without.
    Segment& own_time(SegmentKind kind, double to_c, std::optional<double> estimate_h = {});

  private:
    Segment& add(SegmentKind kind, double to_c);
};

using FiringPtr = std::unique_ptr<Firing>;

// Only the names that every document has; no phases.
FiringPtr empty();
// Four phases, free cooling without an estimate, a confirmation, all rules kept.
FiringPtr bisque();
// A gas glaze firing of a mixed load: cones, reduction, a drop at full speed, estimates, waiting,
// notes, jobs, checks of every result, acceptance.
FiringPtr reduction_glaze();
// The bisque with a table for a controller of each form.
FiringPtr with_steps(StepForm form);
// One phase of `count` segments, up and down.
FiringPtr many_segments(std::size_t count);
// Titles that could do harm: control characters, quotes, right-to-left text, 500 letters.
FiringPtr odd_texts();

} // namespace fettle::sample
