#include "compiler/meaning/ware_questions.h"

#include "compiler/ceramics/ware.h"

#include <cmath>

namespace fettle {
namespace {

// Fields of a body; the first that is not given is remembered.
class BodyFields {
  public:
    explicit BodyFields(const Profile& body) : body_(body) {}

    double operator()(std::string_view name) {
        const Value& value = body_.fields[static_cast<std::size_t>(field::at(Holder::body, name))];
        if (!value.known() && missing_.is(ValueKind::nothing))
            missing_ = value;
        return value.known() ? value.number : 0;
    }
    Value or_missing(double answer) const {
        return missing_.is(ValueKind::nothing) ? Value::quantity(answer) : missing_;
    }

  private:
    const Profile& body_;
    Value missing_;
};

} // namespace

Value ask_ware(const Profile& body, BuiltinId question, double thickness_m, double rate_k_per_h) {
    BodyFields of_body(body);
    const double conductivity = of_body("conductivity");
    const double density = of_body("density");
    const double specific_heat = of_body("specific_heat");
    const double lag_k =
        core_lag_k(thickness_m, rate_k_per_h, diffusivity(conductivity, density, specific_heat));
    switch (question) {
    case BuiltinId::core_lag: return of_body.or_missing(lag_k);
    case BuiltinId::wall_stress: {
        const double expansion = of_body("expansion");
        const double stiffness = of_body("stiffness");
        return of_body.or_missing(
            greatest_tension_pa(stress_of_lag(lag_k, expansion, stiffness, usual_poisson)));
    }
    case BuiltinId::inversion_strain: {
        const double quartz = of_body("free_quartz");
        return of_body.or_missing(std::abs(inversion_strain(lag_k, quartz_inversion, quartz)));
    }
    default: return Value::poison();
    }
}

} // namespace fettle
