#include "compiler/meaning/kiln_book.h"

#include "compiler/meaning/kiln_profile.h"

namespace fettle {

const OwnTime* KilnBook::find(const Program& program, std::uint32_t kiln) const {
    const std::lock_guard lock(mutex_);
    const auto [entry, is_new] = kilns_.try_emplace(kiln);
    if (!is_new)
        return entry->second.get();
    const FiringWare usual; // says nothing, and so is taken for the usual load
    const DescribedKiln described = describe_kiln(program, kiln, std::span(&usual, 1));
    if (!described.model || !check_kiln_model(*described.model).empty())
        return nullptr;
    const Value& ceiling =
        program.profiles[kiln].fields[static_cast<std::size_t>(field::at(Holder::kiln, "ceiling"))];
    constexpr double hottest_sensible_c = 1400;
    entry->second = std::make_unique<OwnTime>(
        *described.model, ceiling.known() ? ceiling.number : hottest_sensible_c);
    return entry->second.get();
}

} // namespace fettle
