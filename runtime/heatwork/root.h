// The root of a rising function between two bounds.
#pragma once

#include <cmath>

namespace fettle {

// f(low) < 0 <= f(high) must hold; both values are passed in. Regula falsi with the Illinois
// weights, and a bisection whenever the bracket has not halved in three steps, so it always ends.
// Precise to `tolerance` in x. Deterministic.
template <class Function>
double root_of_rising(Function f, double low, double f_low, double high, double f_high,
                      double tolerance) {
    int same_side = 0;
    double width = high - low;
    for (int step = 1; step < 200 && high - low > tolerance; ++step) {
        double x = (low * f_high - high * f_low) / (f_high - f_low);
        if (step % 3 == 0) {
            if (high - low > width / 2)
                x = (low + high) / 2;
            width = high - low;
        }
        if (!(x > low && x < high))
            x = (low + high) / 2;
        const double value = f(x);
        if (value < 0) {
            low = x;
            f_low = value;
            if (same_side == -1)
                f_high /= 2;
            same_side = -1;
        } else {
            high = x;
            f_high = value;
            if (value == 0)
                return x;
            if (same_side == 1)
                f_low /= 2;
            same_side = 1;
        }
    }
    return (low + high) / 2;
}

} // namespace fettle
