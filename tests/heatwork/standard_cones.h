// The cone tables of the standard library, for tests and benchmarks.
#pragma once

#include "compiler/ceramics/cone_data.h"

#include <fstream>
#include <iterator>
#include <string>
#include <variant>

namespace fettle {

inline std::string text_of(const std::string& path) {
    std::ifstream file(std::string(FETTLE_SOURCE_DIR "/") + path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

inline ConeTable table_of(const std::string& path, ConeKind kind) {
    const auto read = read_cone_table(text_of(path), kind);
    return std::holds_alternative<ConeTable>(read) ? std::get<ConeTable>(read) : ConeTable{};
}

inline ConeTable large_cones() {
    return table_of("stdlib/data/cones_large.csv", ConeKind::large);
}
inline ConeTable small_cones() {
    return table_of("stdlib/data/cones_small.csv", ConeKind::small);
}
inline ConeTable high_cones() {
    return table_of("stdlib/data/cones_pce.csv", ConeKind::high);
}

// Fitted once; large cones and the high ones above them.
inline const ConeScale& shelf_cones() {
    static const ConeScale scale = fit_shelf_cones(large_cones(), high_cones()).scale;
    return scale;
}

inline const ConeKinetics& cone_at(double position) {
    return *shelf_cones().find(position);
}

} // namespace fettle
