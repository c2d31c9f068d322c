// Answers what expressions ask about a schedule.
#pragma once

#include "compiler/meaning/evaluate.h"
#include "runtime/heatwork/heat_work.h"
#include "runtime/schedule/curve.h"

#include <optional>
#include <vector>

namespace fettle {

// For rules; the questions about whole firings of tests are answered elsewhere (prove.h).
class CurveQuestions : public FiringQuestions {
  public:
    CurveQuestions(const Program& program, const Ceramics& ceramics, const Schedule& schedule,
                   Naming naming = Naming::no)
        : program_(program), ceramics_(ceramics), schedule_(schedule),
          curve_(schedule, Estimates::use, naming) {}

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

    const Program& program_;
    const Ceramics& ceramics_;
    const Schedule& schedule_;
    Curve curve_;
    std::optional<ConeReading> reading_;
    std::vector<std::uint32_t> segments_;
};

// The hottest complete cone of a schedule on the scale of shelf cones.
ConeReading reading_of_schedule(const Ceramics& ceramics, const Schedule& schedule);

} // namespace fettle
