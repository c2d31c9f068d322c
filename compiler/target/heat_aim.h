// Heat work of two tables beside one another, by the cone that is nearest to where the first one
// ends: two cones would tell the same as long as the tables are near to each other.
#pragma once

#include "runtime/heatwork/heat_work.h"

#include <span>

namespace fettle {

class HeatComparison {
  public:
    // `known` is false, and all answers are 0, where the scale is missing or nothing is fired.
    HeatComparison(const ConeScale* scale, const ConeReading& reading,
                   std::span<const HeatStretch> schedule);

    bool known() const { return cone_ != nullptr; }
    const ConeKinetics& cone() const { return *cone_; }
    double schedule_work() const { return work_; }
    // How much more heat work than the schedule's, in cones: 0.5 is half a cone.
    double cones_off(double work) const;
    // The same in degrees: how much higher a steady climb to the peak would have to end.
    double degrees_off(double work, double peak_c) const;

  private:
    const ConeKinetics* cone_ = nullptr;
    double work_ = 0;
    double cones_per_log_work_ = 0;
};

} // namespace fettle
