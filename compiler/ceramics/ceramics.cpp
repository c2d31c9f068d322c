#include "compiler/ceramics/ceramics.h"

namespace fettle {

const ConeScale& Ceramics::shelf_cones() const {
    std::call_once(fitted_, [this] {
        const auto large = read_cone_table(large_csv_, ConeKind::large);
        const auto high = read_cone_table(high_csv_, ConeKind::high);
        if (!std::holds_alternative<ConeTable>(large) || !std::holds_alternative<ConeTable>(high)) {
            return;
        }
        scale_ = fit_shelf_cones(std::get<ConeTable>(large), std::get<ConeTable>(high)).scale;
    });
    return scale_;
}

} // namespace fettle
