// Which of two lists belong together, without changing their order.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

namespace fettle {

struct Paired {
    std::optional<std::size_t> a, b; // indices; nothing: only the other list has it
};

// `likeness` is 0 for two that can't be held against each other, else above 0: the more, the
// better. The sum is the largest that there is. Lists of more than some thousand entries each are
// paired by their place.
std::vector<Paired> pair_up(std::size_t a_count, std::size_t b_count,
                            const std::function<int(std::size_t, std::size_t)>& likeness);

} // namespace fettle
