// What a kiln's profile and a firing's load say, as the model that the runtime simulates: the one
// place where fields become a KilnModel.
#pragma once

#include "compiler/meaning/firing.h"
#include "runtime/kiln/kiln_model.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace fettle {

struct DescribedKiln {
    std::optional<KilnModel> model; // nothing: fields are missing
    // Those fields by name: "power", "lining (or both heat_capacity and heat_loss)".
    std::vector<std::string> missing;
    // What was taken for fields that were left out, for readers: "furniture 9kg (common practice:
    // 0.2 kg a litre)".
    std::vector<std::string> assumed;
};

// The kiln, empty.
DescribedKiln describe_kiln(const Program& program, std::uint32_t kiln);
// The same with the ware of a firing.
DescribedKiln describe_kiln(const Program& program, std::uint32_t kiln,
                            std::span<const FiringWare> ware);

// "power, volume and lining of loft": for messages.
std::string missing_words(const Program& program, std::uint32_t kiln,
                          const std::vector<std::string>& missing);

} // namespace fettle
