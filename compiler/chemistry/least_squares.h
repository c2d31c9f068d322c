// Least squares with no amount below zero (Lawson & Hanson, Solving Least Squares Problems, 1974,
// chapter 23): the recipe whose oxides come closest to those that are wanted.
#pragma once

#include <cstddef>
#include <vector>

namespace fettle {

// Columns one after the other: `at(row, column)`.
struct Matrix {
    std::size_t rows = 0, columns = 0;
    std::vector<double> values;

    Matrix(std::size_t row_count, std::size_t column_count)
        : rows(row_count), columns(column_count), values(row_count * column_count) {}
    double& at(std::size_t row, std::size_t column) { return values[column * rows + row]; }
    double at(std::size_t row, std::size_t column) const { return values[column * rows + row]; }
};

struct NonNegativeSolution {
    std::vector<double> amounts; // of each column; not below zero
    double rest = 0;             // length of what is left over
    bool finished = true;        // false: stopped after 3 · columns rounds, which no one has seen
};

// The amounts x ≥ 0 with the least |a·x − wanted|. Columns that could stand for one another give
// one solution of several; it is then one with few columns in it, and always the same.
NonNegativeSolution solve_non_negative(const Matrix& a, const std::vector<double>& wanted);

} // namespace fettle
