// "Did you mean": the nearest of the words that could stand here.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace fettle {

// The number of letters to put in, leave out, replace or swap with their neighbour (each stretch of
// text is changed once) to come from `a` to `b`; `limit + 1` where it is more than `limit`.
std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t limit);

// Those of `candidates` that `wanted` may be a slip for, the best first, `most` at the most. A
// third of the letters may be wrong; letters that differ only in case count as right; the same
// words in another order ("bisque_gentle") and the beginning of one candidate alone ("thick" for
// "thickness") count as one slip. What is equally near comes in the order of the alphabet.
std::vector<std::string_view> nearest_all(std::string_view wanted,
                                          std::span<const std::string_view> candidates,
                                          std::size_t most = 3);

// The best of them, if there is one.
std::optional<std::string_view> nearest(std::string_view wanted,
                                        std::span<const std::string_view> candidates);

} // namespace fettle
