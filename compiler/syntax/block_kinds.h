// The kinds of block, and the words by which a statement of each may start.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace fettle {

enum class BlockKind : std::uint8_t {
    file,
    profile,
    ware,
    library,
    rule,
    test,
    firing,
    steps,
    load,
    accept,
    recipe,
    memory
};

// For the blocks that take any field, only the words with a form of their own.
std::span<const std::string_view> words_of(BlockKind place);

// "a phase", "a firing": what such a block belongs to.
std::string_view to_string(BlockKind place);

bool is_word_of(BlockKind place, std::string_view word);

// A block in which any word may start a field.
constexpr bool takes_fields(BlockKind place) {
    return place == BlockKind::profile || place == BlockKind::ware || place == BlockKind::library;
}

// A block that stands in a firing or a profile.
constexpr bool is_inner_block(BlockKind place) {
    return place == BlockKind::recipe || place == BlockKind::accept || place == BlockKind::load ||
           place == BlockKind::ware;
}

// What people write who think of another word ("hold" for "soak"); empty: nothing.
std::string_view synonym_of(std::string_view word);

} // namespace fettle
