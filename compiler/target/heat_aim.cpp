#include "compiler/target/heat_aim.h"

#include <cmath>

namespace fettle {

namespace {

constexpr double least_work = 1e-6; // of the nearest cone: below it, nothing was fired

// From one cone of the scale to the next: there is no cone 0 between 01 and 1.
double cones_apart(double colder, double hotter) {
    return hotter - colder - (colder < 0 && hotter > 0 ? 1 : 0);
}

} // namespace

HeatComparison::HeatComparison(const ConeScale* scale, const ConeReading& reading,
                               std::span<const HeatStretch> schedule) {
    if (scale == nullptr || scale->cones.size() < 2) {
        return;
    }
    std::size_t colder = reading.complete.value_or(0);
    if (colder + 1 == scale->cones.size()) {
        --colder;
    }
    const double colder_work = fettle::work(scale->cones[colder], schedule);
    const double hotter_work = fettle::work(scale->cones[colder + 1], schedule);
    if (colder_work < least_work || hotter_work <= 0) {
        return;
    }
    const bool hotter_is_nearer =
        std::fabs(std::log(hotter_work)) < std::fabs(std::log(colder_work));
    cone_ = &scale->cones[hotter_is_nearer ? colder + 1 : colder];
    work_ = hotter_is_nearer ? hotter_work : colder_work;
    cones_per_log_work_ = cones_apart(scale->cones[colder].cone, scale->cones[colder + 1].cone) /
                          std::log(colder_work / hotter_work);
}

double HeatComparison::cones_off(double work) const {
    if (!known() || work <= 0) {
        return 0;
    }
    return std::log(work / work_) * cones_per_log_work_;
}

double HeatComparison::degrees_off(double work, double peak_c) const {
    if (!known() || work <= 0) {
        return 0;
    }
    return end_point(*cone_, steady_rate(*cone_, peak_c) * work / work_) - peak_c;
}

} // namespace fettle
