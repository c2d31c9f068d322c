// Answers what expressions ask about a schedule.
#pragma once

#include "compiler/meaning/firing.h"
#include "runtime/heatwork/heat_work.h"
#include "runtime/schedule/curve.h"

#include <optional>
#include <vector>

namespace fettle {

// For rules; the questions about whole firings of tests are answered elsewhere (prove.h).
class CurveQuestions : public FiringQuestions {
  public:
    // With no firing given, nothing is confirmed.
    CurveQuestions(const Program& program, const Ceramics& ceramics, const Schedule& schedule,
                   const ConeReading& reading, Naming naming = Naming::no,
                   const Firing* firing = nullptr)
        : program_(program), ceramics_(ceramics), schedule_(schedule), reading_(reading),
          firing_(firing), curve_(schedule, Estimates::use, naming) {}

    Value ask_curve(BuiltinId question, std::span<const Value> arguments) override;
    Value firing_field(std::uint32_t, std::uint32_t) override { return Value::poison(); }
    std::uint32_t make_firing(DeclarationId, std::span<const Value>) override { return none; }
    std::uint32_t declared_firing(DeclarationId) override { return none; }
    bool keeps_every_rule(std::uint32_t) override { return false; }
    bool breaks_rule(std::uint32_t, std::string_view) override { return false; }

    // Segments that decided the answers since the last call, ascending; only with Naming::yes.
    std::vector<std::uint32_t> take_segments();

  private:
    Value answer(const CurveAnswer& found, double factor = 1);
    Value cone_asked();

    const Program& program_;
    const Ceramics& ceramics_;
    const Schedule& schedule_;
    const ConeReading& reading_; // at the end of the schedule
    const Firing* firing_;
    Curve curve_;
    std::optional<CurveAnswer> peak_; // asked by many rules
    std::vector<std::uint32_t> segments_;
};

// The hottest complete cone of a schedule on the scale of shelf cones. Cooling that is left to the
// kiln is left out, as in the published charts; the kiln's model (predict.h) counts it.
ConeReading reading_of_schedule(const Ceramics& ceramics, const Schedule& schedule);
// What a segment adds to it.
void append_table_stretches(const Segment& segment, std::vector<HeatStretch>& stretches);

} // namespace fettle
