// The ceramic data that a compilation asks: the cones as kinetics and the chemistry of glazes, from
// the tables of the standard library. Read when first asked for; safe to ask from several threads.
#pragma once

#include "compiler/ceramics/cone_data.h"
#include "compiler/chemistry/tables.h"

#include <mutex>
#include <span>
#include <string>
#include <string_view>

namespace fettle {

class Ceramics {
  public:
    // The texts of data/cones_large.csv and data/cones_pce.csv, and where the tables of glaze
    // chemistry are; they must outlive this.
    Ceramics(
        std::string_view large_cones_csv, std::string_view high_cones_csv,
        DataText data = [](std::string_view) { return std::string_view(); })
        : large_csv_(large_cones_csv), high_csv_(high_cones_csv), chemistry_(data) {}
    // Of cones that were fitted before; they must outlive this, too.
    explicit Ceramics(
        std::span<const ConeKinetics> fitted,
        DataText data = [](std::string_view) { return std::string_view(); })
        : fitted_before_(fitted), chemistry_(data) {}

    // The scale on which a cone in a firing is meant. Empty when the tables are spoilt (which the
    // tests of the standard library rule out).
    const ConeScale& shelf_cones() const;
    const Chemistry& chemistry() const { return chemistry_; }
    // What spoils the tables; empty when they are good.
    const std::string& spoilt_by() const;

  private:
    void fit() const;
    std::string_view large_csv_, high_csv_;
    std::span<const ConeKinetics> fitted_before_;
    Chemistry chemistry_;
    mutable std::once_flag fitted_;
    mutable ConeScale scale_;
    mutable std::string spoilt_by_;
};

} // namespace fettle
