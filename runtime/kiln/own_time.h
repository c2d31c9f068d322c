// How long a kiln takes where it goes its own way: climbing at full power, cooling shut, cooling
// open. Worked out once for a kiln and then asked often, cheaply: an estimate to stand beside a
// schedule, which `simulate` makes better for the firing at hand.
//
// A climb is one from cold. A fall begins when the kiln has climbed there at 100 K/h and stood for
// a quarter of an hour. Both are known for an empty kiln and for a load, and taken as linear in the
// mass of the ware, as they nearly are.
#pragma once

#include "runtime/kiln/kiln_model.h"
#include "runtime/schedule/schedule.h"

#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <vector>

namespace fettle {

// May be asked from several threads.
class OwnTime {
  public:
    // A sound model with the load that is usual in this kiln, and the hottest it is ever asked for.
    OwnTime(const KilnModel& model, double top_c);

    const KilnModel& model() const { return model_; }
    // Of ware with this mass; where it is not known, the usual load. `top_c` is the hottest that
    // the firing was before. Points from {0, from_c} to the end; nothing where the kiln never gets
    // there.
    std::optional<std::vector<EstimatedPoint>> course(SegmentKind kind, double from_c, double to_c,
                                                      double top_c,
                                                      std::optional<double> ware_kg) const;
    // The fastest climb at a temperature, at full power from cold; 0 where it never gets so hot.
    double fastest_climb_k_per_h(double at_c, std::optional<double> ware_kg) const;

  private:
    // Times at temperatures `grid_k` apart, of an empty kiln and of one with the usual load.
    struct Times {
        std::vector<double> empty_s, loaded_s; // infinite where it never gets there
        double first_c = 0;                    // of the grid
    };
    double time_at(const Times& times, double at_c, double load) const;
    const Times& climb() const;
    const Times& fall(SegmentKind kind, double top_c) const;
    double load_of(std::optional<double> ware_kg) const;

    KilnModel model_;
    double hottest_c_;
    mutable std::mutex mutex_;
    mutable std::unique_ptr<Times> climb_;
    mutable std::map<std::pair<SegmentKind, int>, std::unique_ptr<Times>> falls_; // by where from
};

// A rate that no kiln of this power beats at a temperature, from cold: from the heat that chamber
// and ware take, and what a wall takes whose face climbs steadily (Carslaw & Jaeger, 2nd ed.,
// sec. 2.5: 2 √(kρc · rate · rise / π) a square metre). Quick, and within a third or so; the course
// above is what holds.
double quick_fastest_climb_k_per_h(const KilnModel& model, double at_c);

} // namespace fettle
