// A kiln and a firing for the tests, and a builder of schedules.
#pragma once

#include "runtime/kiln/simulate.h"

namespace fettle {

// Invented: 180 litres, 12 kW, 75 mm of insulating brick and 25 mm of fibre, 25 kg of ware.
inline KilnModel class_kiln() {
    KilnModel model;
    constexpr double volume_m3 = 0.18;
    model.power_w = 12000;
    model.inner_area_m2 = area_of_chamber_m2(volume_m3);
    model.area_growth_per_m = area_growth_per_m(volume_m3);
    model.opening_area_m2 = model.inner_area_m2 / 6;
    model.capacity_j_per_k = 45 * 850;
    model.capacity_rise_j_per_k2 = 45 * 0.3;
    model.lining = {{0.075, 0.103, 0.000125, 520, 1050}, {0.025, 0.02, 0.00025, 128, 1130}};
    model.direct_loss_w_per_k = 0.7;
    model.ware.mass_kg = 25;
    model.ware.sinks[0] = {25 * 0.01 * 2.26e6, 60, 110, 900};
    model.ware.sinks[1] = {25 * 300e3, 400, 650, 1200};
    return model;
}

class Scheduled {
  public:
    explicit Scheduled(double start_c = 20) { schedule.start_c = at_c_ = start_c; }
    Scheduled& ramp(double to_c, double k_per_h) {
        return add(SegmentKind::ramp, to_c, std::abs(to_c - at_c_) / k_per_h * 3600);
    }
    Scheduled& soak(double seconds) { return add(SegmentKind::soak, at_c_, seconds); }
    Scheduled& waiting(double within_k) {
        schedule.segments.back().waiting_within_k = within_k;
        return *this;
    }
    Scheduled& full(double to_c) { return add(SegmentKind::full, to_c, 0); }
    Scheduled& free(double to_c) { return add(SegmentKind::free, to_c, 0); }
    Scheduled& opened(double to_c) { return add(SegmentKind::opened, to_c, 0); }

    Schedule schedule;

  private:
    Scheduled& add(SegmentKind kind, double to_c, double seconds) {
        Segment& segment = schedule.segments.emplace_back();
        segment.kind = kind;
        segment.from_c = at_c_;
        segment.to_c = at_c_ = to_c;
        if (seconds > 0)
            segment.duration_s = seconds;
        return *this;
    }
    double at_c_;
};

// 13 h 47 min to 1222 C.
inline Schedule stoneware() {
    return Scheduled()
        .ramp(120, 50)
        .ramp(600, 100)
        .soak(1200)
        .ramp(900, 150)
        .ramp(1222, 73)
        .soak(900)
        .schedule;
}

} // namespace fettle
