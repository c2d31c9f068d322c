#include "compiler/chemistry/least_squares.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

using Vector = std::vector<double>;

double dot(const double* a, const double* b, std::size_t count) {
    double sum = 0;
    for (std::size_t i = 0; i < count; ++i)
        sum += a[i] * b[i];
    return sum;
}

// Least squares over some columns, by Householder reflections; empty where they depend on one
// another.
Vector solve(const Matrix& a, const std::vector<std::size_t>& columns, Vector right) {
    const std::size_t n = columns.size(), m = a.rows;
    if (n > m)
        return {};
    Matrix q(m, n);
    for (std::size_t k = 0; k < n; ++k) {
        for (std::size_t row = 0; row < m; ++row)
            q.at(row, k) = a.at(row, columns[k]);
    }
    for (std::size_t k = 0; k < n; ++k) {
        double* const v = &q.at(k, k);
        const std::size_t length = m - k;
        double whole = 0;
        for (std::size_t row = 0; row < m; ++row)
            whole += a.at(row, columns[k]) * a.at(row, columns[k]);
        const double norm = std::sqrt(dot(v, v, length));
        if (norm <= 1e-11 * std::sqrt(whole))
            return {};
        const double head = v[0] > 0 ? -norm : norm; // of R, on its diagonal
        v[0] -= head;
        const double square = dot(v, v, length);
        const auto reflect = [&](double* other) {
            const double times = 2 * dot(v, other, length) / square;
            for (std::size_t i = 0; i < length; ++i)
                other[i] -= times * v[i];
        };
        for (std::size_t later = k + 1; later < n; ++later)
            reflect(&q.at(k, later));
        reflect(&right[k]);
        v[0] = head; // the rest of the reflection is not needed again
    }
    Vector x(n);
    for (std::size_t k = n; k-- > 0;) {
        double sum = right[k];
        for (std::size_t later = k + 1; later < n; ++later)
            sum -= q.at(k, later) * x[later];
        x[k] = sum / q.at(k, k);
    }
    return x;
}

// As far from `x` towards `trial` as nothing falls below zero; the columns that come to nothing go
// out of use. True when the trial is reached.
bool step_towards(const Vector& trial, Vector& x, std::vector<std::size_t>& used,
                  std::vector<bool>& in_use) {
    double step = 1;
    std::size_t first = used.size(); // to come to nothing
    for (std::size_t k = 0; k < used.size(); ++k) {
        if (trial[k] > 0)
            continue;
        const double way = x[used[k]] / (x[used[k]] - trial[k]);
        if (way < step || first == used.size()) {
            step = std::min(step, way);
            first = k;
        }
    }
    for (std::size_t k = 0; k < used.size(); ++k)
        x[used[k]] += step * (trial[k] - x[used[k]]);
    if (first == used.size())
        return true;
    std::vector<std::size_t> kept;
    for (std::size_t k = 0; k < used.size(); ++k) {
        if (k != first && x[used[k]] > 0) {
            kept.push_back(used[k]);
        } else {
            x[used[k]] = 0;
            in_use[used[k]] = false;
        }
    }
    used = std::move(kept);
    return used.empty();
}

Vector left_over(const Matrix& a, const Vector& x, const Vector& wanted) {
    Vector rest = wanted;
    for (std::size_t column = 0; column < a.columns; ++column) {
        if (x[column] == 0)
            continue;
        for (std::size_t row = 0; row < a.rows; ++row)
            rest[row] -= a.at(row, column) * x[column];
    }
    return rest;
}

} // namespace

NonNegativeSolution solve_non_negative(const Matrix& a, const std::vector<double>& wanted) {
    NonNegativeSolution solution;
    Vector x(a.columns);
    std::vector<bool> in_use(a.columns), barred(a.columns);
    std::vector<std::size_t> used;
    Vector lengths(a.columns);
    for (std::size_t column = 0; column < a.columns; ++column)
        lengths[column] =
            std::sqrt(dot(&a.values[column * a.rows], &a.values[column * a.rows], a.rows));
    const double scale = std::sqrt(dot(wanted.data(), wanted.data(), wanted.size()));
    const std::size_t most_rounds = 3 * a.columns + 3;
    for (std::size_t round = 0;; ++round) {
        const Vector rest = left_over(a, x, wanted);
        solution.rest = std::sqrt(dot(rest.data(), rest.data(), rest.size()));
        // The column that would take most of what is left.
        std::size_t best = a.columns;
        double most = 1e-11 * scale;
        for (std::size_t column = 0; column < a.columns; ++column) {
            if (in_use[column] || barred[column] || lengths[column] == 0)
                continue;
            const double gain =
                dot(&a.values[column * a.rows], rest.data(), a.rows) / lengths[column];
            if (gain > most) {
                most = gain;
                best = column;
            }
        }
        if (best == a.columns || solution.rest <= 1e-12 * scale)
            break;
        if (round == most_rounds) {
            solution.finished = false;
            break;
        }
        in_use[best] = true;
        used.push_back(best);
        Vector trial = solve(a, used, wanted);
        if (trial.empty() || trial.back() <= 0) { // it adds nothing to those in use
            in_use[best] = false;
            barred[best] = true;
            used.pop_back();
            continue;
        }
        std::fill(barred.begin(), barred.end(), false);
        while (!step_towards(trial, x, used, in_use))
            trial = solve(a, used, wanted);
    }
    solution.amounts = std::move(x);
    return solution;
}

} // namespace fettle
