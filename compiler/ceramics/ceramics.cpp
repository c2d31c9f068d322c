#include "compiler/ceramics/ceramics.h"

#include "compiler/ceramics/cone_words.h"

namespace fettle {

void Ceramics::fit() const {
    if (!fitted_before_.empty()) {
        scale_.cones.assign(fitted_before_.begin(), fitted_before_.end());
        return;
    }
    const auto large = read_cone_table(large_csv_, ConeKind::large);
    const auto high = read_cone_table(high_csv_, ConeKind::high);
    for (const auto* table : {&large, &high}) {
        if (const auto* problem = std::get_if<ConeDataProblem>(table)) {
            spoilt_by_ = describe(*problem);
            return;
        }
    }
    ConeFit fitted = fit_shelf_cones(std::get<ConeTable>(large), std::get<ConeTable>(high));
    for (const ConeTableProblem& problem : fitted.problems) {
        if (spoilt_by_.empty() && spoils_the_table(problem.kind))
            spoilt_by_ = describe(problem);
    }
    scale_ = std::move(fitted.scale);
}

const ConeScale& Ceramics::shelf_cones() const {
    std::call_once(fitted_, [this] { fit(); });
    return scale_;
}

const std::string& Ceramics::spoilt_by() const {
    shelf_cones();
    return spoilt_by_;
}

} // namespace fettle
