#include "runtime/calibrate/calibrate.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

constexpr double reference_c = 1000; // heat_loss is measured there
constexpr double typical_c = 510;    // the mean of 20 and 1000 C

// Uncertainty of a reading where nothing better is known, and of the other witnesses.
constexpr double reading_k = 1.5;
constexpr double cone_sigma = 0.35;    // of a cone, as it is read by eye
constexpr double meter_share = 0.02;   // of what a meter says
constexpr double guess_sigma = 1.2;    // of the logarithm of a first guess: hardly a tie
constexpr double offset_guess_k = 30;  // of the offset
constexpr double shut_until_c = 300;   // a kiln is taken to be shut until then, where its
                                       // schedule does not say; below it, it may stand open
constexpr double near_the_room_k = 15; // where readings tell of drafts alone

// --- parameters
// -----------------------------------------------------------------------------------

// Logarithms of factors for capacity, loss and power; kelvin for the offset.
KilnModel with(const KilnModel& guess, const Vector& theta) {
    KilnModel kiln = guess;
    kiln.capacity_j_per_k *= std::exp(theta[0]);
    kiln.capacity_rise_j_per_k2 *= std::exp(theta[0]);
    const double loss = std::exp(theta[1]);
    kiln.direct_loss_w_per_k *= loss;
    for (LiningLayer& layer : kiln.lining) {
        layer.conductivity_w_per_m_k *= loss;
        layer.conductivity_rise_w_per_m_k2 *= loss;
    }
    kiln.power_w *= std::exp(theta[2]);
    kiln.sensor_offset_k += theta[3];
    return kiln;
}

// --- replaying a log
// ------------------------------------------------------------------------------

struct Replay {
    Prediction prediction;
    // Reading at a time of the schedule; carried on flat at the ends.
    double read_c(double time_s) const { return at(time_s, &PredictedPoint::read_c); }
    double kiln_c(double time_s) const { return at(time_s, &PredictedPoint::kiln_c); }

  private:
    double at(double time_s, double PredictedPoint::*value) const {
        const auto& curve = prediction.curve;
        const auto after = std::lower_bound(
            curve.begin(), curve.end(), time_s,
            [](const PredictedPoint& point, double time) { return point.time_s < time; });
        if (after == curve.begin())
            return (*after).*value;
        if (after == curve.end())
            return curve.back().*value;
        const PredictedPoint& before = *(after - 1);
        const double share = (time_s - before.time_s) / (after->time_s - before.time_s);
        return before.*value + share * ((*after).*value - before.*value);
    }
};

// Steps for all guesses; 0 s: those that suit the kiln at hand.
struct Steps {
    StepMethod method = StepMethod::by_stability;
    double step_s = 0;
};

Replay replay(const KilnModel& kiln, const CalibrationLog& log, const Steps& steps = {}) {
    KilnModel loaded = kiln;
    loaded.ware = log.ware;
    SimulateOptions options;
    options.sample_s = 0; // each step: straight lines between wider points would be seen in the fit
    // The same steps for every guess, so that the prediction changes smoothly with it.
    if (steps.step_s > 0) {
        options.method = steps.method;
        options.step_s = steps.step_s;
    }
    options.cool_to_c = shut_until_c - 100; // no reading below counts, unless the schedule has it
    return {simulate(log.schedule, loaded, options)};
}

// A log made ready: thinned, and on the schedule's clock.
struct Ready {
    const CalibrationLog* log;
    double shift_s = 0;
    Steps steps;
    std::vector<std::size_t> used; // readings that count
};

constexpr std::size_t most_readings = 600; // of one log; more tell the same again

// The first time at which the readings have climbed so far.
std::optional<double> climbed_at(const std::vector<double>& time_s, const std::vector<double>& c,
                                 double rise_k) {
    for (std::size_t i = 1; i < c.size(); ++i) {
        if (c[i] >= c[0] + rise_k && c[i] > c[i - 1])
            return time_s[i - 1] +
                   (time_s[i] - time_s[i - 1]) *
                       std::clamp((c[0] + rise_k - c[i - 1]) / (c[i] - c[i - 1]), 0.0, 1.0);
    }
    return std::nullopt;
}

// Where the log's clock stands when the schedule begins.
double shift_of(const CalibrationLog& log, const KilnModel& kiln) {
    constexpr double rise_k = 60, worth_it_s = 180;
    const Replay expected = replay(kiln, log);
    std::vector<double> time_s, read_c;
    for (const PredictedPoint& point : expected.prediction.curve) {
        time_s.push_back(point.time_s);
        read_c.push_back(point.read_c);
    }
    const auto of_log = climbed_at(log.time_s, log.read_c, rise_k);
    const auto of_model = climbed_at(time_s, read_c, rise_k);
    if (!of_log || !of_model || std::abs(*of_log - *of_model) < worth_it_s)
        return 0;
    return *of_log - *of_model;
}

// Whether a reading counts depends on the log alone, so that no guess is the better for counting
// fewer.
Ready made_ready(const CalibrationLog& log, const KilnModel& kiln) {
    constexpr double room_for_guesses = 0.6; // a better conductor needs shorter steps
    const Prediction first = replay(kiln, log).prediction;
    Ready ready{&log, shift_of(log, kiln), {first.method, room_for_guesses * first.step_s}, {}};
    const Segment& last = log.schedule.segments.back();
    const double shut_c = std::max(last.to_c < last.from_c ? last.to_c : shut_until_c,
                                   kiln.ambient_c + near_the_room_k);
    const auto hottest = static_cast<std::size_t>(
        std::max_element(log.read_c.begin(), log.read_c.end()) - log.read_c.begin());
    std::size_t end = hottest;
    while (end < log.read_c.size() && !(log.read_c[end] < shut_c))
        ++end;
    const std::size_t every = std::max<std::size_t>(1, end / most_readings);
    for (std::size_t i = 0; i < end; i += every) {
        if (log.time_s[i] >= ready.shift_s && std::isfinite(log.read_c[i]))
            ready.used.push_back(i);
    }
    return ready;
}

// What one log says of a guess: (what was seen − what is predicted) / its uncertainty.
void append_residuals(const Ready& ready, const KilnModel& kiln, const ConeScale& cones,
                      std::vector<double>& into) {
    const CalibrationLog& log = *ready.log;
    const Replay made = replay(kiln, log, ready.steps);
    for (const std::size_t i : ready.used) {
        const double time_s = log.time_s[i] - ready.shift_s;
        into.push_back((log.read_c[i] - made.read_c(time_s)) / reading_k);
        if (i < log.true_c.size())
            into.push_back((log.true_c[i] - made.kiln_c(time_s)) / reading_k);
    }
    if (log.cone)
        into.push_back((*log.cone - predicted_cone(cones, made.prediction).position) / cone_sigma);
    if (log.supplied_j)
        into.push_back((*log.supplied_j - made.prediction.supplied_j) /
                       (meter_share * *log.supplied_j));
}

// --- least squares
// --------------------------------------------------------------------------------

class Fitting {
  public:
    Fitting(const KilnModel& guess, std::vector<Ready> logs, const ConeScale& cones)
        : guess_(guess), logs_(std::move(logs)), cones_(cones) {
        bool told = false;
        for (const Ready& ready : logs_)
            told = told || ready.log->cone || !ready.log->true_c.empty();
        free_ = {true, true, true, told};
    }

    Vector run() {
        Vector theta = Vector::Zero(kiln_parameters);
        Vector residuals = of(theta);
        double damping = 1e-3;
        constexpr int most_rounds = 40;
        for (int round = 0; round < most_rounds; ++round) {
            const Matrix j = jacobian(theta, residuals);
            const Matrix normal = j.transpose() * j + prior();
            const Vector gradient = j.transpose() * residuals - prior() * theta;
            bool bettered = false;
            for (int attempt = 0; attempt < 8 && !bettered; ++attempt) {
                Matrix damped = normal;
                damped.diagonal() += damping * normal.diagonal();
                Vector step = damped.ldlt().solve(gradient);
                step = step.cwiseMax(-1.0 * reach()).cwiseMin(reach());
                const Vector next = theta + step;
                const Vector there = of(next);
                if (cost(there, next) < cost(residuals, theta)) {
                    const bool settled = step.cwiseQuotient(reach()).cwiseAbs().maxCoeff() < 1e-5;
                    theta = next;
                    residuals = there;
                    damping = std::max(damping / 5, 1e-9);
                    bettered = true;
                    if (settled)
                        return finish(theta, residuals);
                } else {
                    damping *= 6;
                }
            }
            if (!bettered)
                break;
        }
        return finish(theta, residuals);
    }

    const Matrix& covariance() const { return covariance_; }
    bool is_free(std::size_t n) const { return free_[n]; }
    // Root of the mean square of the readings' differences, K.
    double rms_k(const Vector& theta) const {
        const Vector r = of(theta);
        return reading_k * std::sqrt(r.squaredNorm() / std::max<double>(1, r.size()));
    }

  private:
    static Vector reach() { // of one step
        Vector most(kiln_parameters);
        most << 0.5, 0.5, 0.5, 15;
        return most;
    }
    Matrix prior() const {
        Vector weights(kiln_parameters);
        for (std::size_t i = 0; i < kiln_parameters; ++i) {
            const double sigma = i == 3 ? offset_guess_k : guess_sigma;
            weights[static_cast<Eigen::Index>(i)] = free_[i] ? 1 / (sigma * sigma) : 1e12;
        }
        return weights.asDiagonal();
    }
    double cost(const Vector& residuals, const Vector& theta) const {
        return residuals.squaredNorm() + theta.dot(prior() * theta);
    }
    Vector of(const Vector& theta) const {
        std::vector<double> all;
        const KilnModel kiln = with(guess_, theta);
        for (const Ready& ready : logs_)
            append_residuals(ready, kiln, cones_, all);
        return Eigen::Map<const Vector>(all.data(), static_cast<Eigen::Index>(all.size()));
    }
    // Of what is predicted: so minus that of the residuals.
    Matrix jacobian(const Vector& theta, const Vector& residuals) const {
        Matrix j = Matrix::Zero(residuals.size(), kiln_parameters);
        Vector small(kiln_parameters);
        small << 0.0005, 0.0005, 0.0005, 0.02;
        for (Eigen::Index p = 0; p < j.cols(); ++p) {
            if (!free_[static_cast<std::size_t>(p)])
                continue;
            Vector up = theta, down = theta;
            up[p] += small[p];
            down[p] -= small[p];
            j.col(p) = (of(down) - of(up)) / (2 * small[p]);
        }
        return j;
    }
    // Errors from the curvature and the scatter that is left; wider where one difference is like
    // the one before (a model that is a little wrong), by (1 + ρ) / (1 − ρ).
    Vector finish(const Vector& theta, const Vector& residuals) {
        const Matrix j = jacobian(theta, residuals);
        double squares = 0, neighbours = 0, before = 0;
        for (double each : residuals) {
            squares += each * each;
            neighbours += each * before;
            before = each;
        }
        const auto count = static_cast<double>(residuals.size());
        const double left = std::max(1.0, count - static_cast<double>(kiln_parameters));
        const double rho = squares > 0 ? std::clamp(neighbours / squares, 0.0, 0.98) : 0;
        const double alike = rho > 3 / std::sqrt(std::max(1.0, count)) ? (1 + rho) / (1 - rho) : 1;
        const Matrix normal = j.transpose() * j + prior();
        covariance_ = normal.inverse() * (squares / left * alike);
        return theta;
    }

    const KilnModel& guess_;
    std::vector<Ready> logs_;
    const ConeScale& cones_;
    std::array<bool, kiln_parameters> free_{};
    Matrix covariance_;
};

double rms_of(const Ready& ready, const KilnModel& kiln) {
    const Replay made = replay(kiln, *ready.log, ready.steps);
    double sum = 0;
    for (const std::size_t i : ready.used) {
        const double off = ready.log->read_c[i] - made.read_c(ready.log->time_s[i] - ready.shift_s);
        sum += off * off;
    }
    return std::sqrt(sum / static_cast<double>(std::max<std::size_t>(1, ready.used.size())));
}

std::vector<std::pair<double, double>> residuals_of(const Ready& ready, const KilnModel& kiln) {
    const Replay made = replay(kiln, *ready.log, ready.steps);
    std::vector<std::pair<double, double>> all;
    for (const std::size_t i : ready.used) {
        const double time_s = ready.log->time_s[i] - ready.shift_s;
        all.emplace_back(time_s, ready.log->read_c[i] - made.read_c(time_s));
    }
    return all;
}

// How much a figure of the profile changes for a change of its parameter.
double slope_of(const KilnModel& guess, const Vector& theta, std::size_t parameter) {
    Vector up = theta, down = theta;
    const auto p = static_cast<Eigen::Index>(parameter);
    constexpr double small = 1e-3;
    up[p] += small;
    down[p] -= small;
    return (profile_figures(with(guess, up))[parameter] -
            profile_figures(with(guess, down))[parameter]) /
           (2 * small);
}

void tell_parameters(const KilnModel& guess, const Vector& theta, const Fitting& fitting,
                     Calibration& result) {
    constexpr double well_known_share = 1.0 / 3, well_known_k = 10;
    constexpr double goes_together = 0.97;
    const auto before = profile_figures(guess), after = profile_figures(result.model);
    std::array<double, kiln_parameters> errors{};
    for (std::size_t i = 0; i < kiln_parameters; ++i) {
        const auto p = static_cast<Eigen::Index>(i);
        errors[i] = std::sqrt(std::max(0.0, fitting.covariance()(p, p)));
        FittedParameter& to = result.parameters[i];
        to.parameter = static_cast<KilnParameter>(i);
        to.before = before[i];
        to.value = after[i];
        to.fitted = fitting.is_free(i);
        if (!to.fitted)
            continue;
        to.standard_error = std::abs(slope_of(guess, theta, i)) * errors[i];
        to.determined = i == 3 ? to.standard_error < well_known_k : errors[i] < well_known_share;
    }
    for (std::size_t a = 0; a < kiln_parameters; ++a) {
        for (std::size_t b = a + 1; b < kiln_parameters; ++b) {
            if (!fitting.is_free(a) || !fitting.is_free(b) || errors[a] <= 0 || errors[b] <= 0)
                continue;
            const double together =
                fitting.covariance()(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)) /
                (errors[a] * errors[b]);
            const bool poorly =
                !result.parameters[a].determined || !result.parameters[b].determined;
            if (std::abs(together) > goes_together || (poorly && std::abs(together) > 0.9))
                result.confused.emplace_back(static_cast<KilnParameter>(a),
                                             static_cast<KilnParameter>(b));
        }
    }
}

} // namespace

std::array<double, kiln_parameters> profile_figures(const KilnModel& model) {
    KilnModel empty = model;
    empty.ware.mass_kg = 0;
    return {heat_capacity_j_per_k(empty, typical_c),
            steady_loss_w(model, reference_c) / (reference_c - model.ambient_c), model.power_w,
            model.sensor_offset_k};
}

Calibration calibrate(const KilnModel& kiln, const std::vector<CalibrationLog>& logs,
                      const ConeScale& cones) {
    Calibration result;
    result.problems = check_kiln_model(kiln);
    if (!result.problems.empty()) {
        result.end = CalibrationEnd::bad_model;
        return result;
    }
    if (logs.empty())
        return result;
    const KilnModel& guess = kiln;

    constexpr std::size_t least_readings = 30;
    constexpr double nothing_to_do_k = 150;
    std::vector<Ready> ready;
    for (std::size_t i = 0; i < logs.size(); ++i) {
        result.log = i;
        if (logs[i].time_s.size() < least_readings || logs[i].schedule.segments.empty()) {
            result.end = CalibrationEnd::too_short;
            return result;
        }
        ready.push_back(made_ready(logs[i], guess));
        if (ready.back().used.size() < least_readings) {
            result.end = CalibrationEnd::too_short;
            return result;
        }
    }
    Fitting fitting(guess, ready, cones);
    const Vector theta = fitting.run();
    result.model = with(guess, theta);
    result.end = CalibrationEnd::fitted;
    result.rms_before_k = fitting.rms_k(Vector::Zero(kiln_parameters));
    result.rms_after_k = fitting.rms_k(theta);
    for (std::size_t i = 0; i < ready.size(); ++i) {
        LogFit& fit = result.logs.emplace_back();
        fit.shift_s = ready[i].shift_s;
        fit.rms_before_k = rms_of(ready[i], guess);
        fit.rms_after_k = rms_of(ready[i], result.model);
        fit.residuals = residuals_of(ready[i], result.model);
        if (fit.rms_after_k > nothing_to_do_k) {
            result.end = CalibrationEnd::another_firing;
            result.log = i;
            return result;
        }
        if (ready.size() < 2)
            continue;
        std::vector<Ready> others = ready;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
        Fitting without(guess, others, cones);
        fit.rms_held_out_k = rms_of(ready[i], with(guess, without.run()));
    }
    tell_parameters(guess, theta, fitting, result);
    return result;
}

} // namespace fettle
