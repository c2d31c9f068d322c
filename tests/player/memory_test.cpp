// Playing takes nothing from the heap, and a player stays small. (That its object code asks for no
// heap, no exceptions and no floating point is checked for a bare processor by check_bare.sh.)
#include "test_kiln.h"

#include <cstdlib>
#include <gtest/gtest.h>
#include <new>

namespace {
std::size_t taken = 0;
}

void* operator new(std::size_t size) {
    ++taken;
    if (void* memory = std::malloc(size == 0 ? 1 : size)) {
        return memory;
    }
    throw std::bad_alloc();
}
void operator delete(void* memory) noexcept {
    std::free(memory);
}
void operator delete(void* memory, std::size_t) noexcept {
    std::free(memory);
}

namespace fettle {
namespace {

static_assert(sizeof(player::Player) <= 400);
static_assert(sizeof(player::Saved) <= 120);
static_assert(std::is_trivially_copyable_v<player::Player>);
static_assert(std::is_trivially_copyable_v<player::Saved>);

TEST(Memory, PlayingTakesNothingFromTheHeap) {
    for (const Schedule& schedule : {bisque(), crystalline(), raku()}) {
        Playing playing(schedule);
        const std::size_t before = taken;
        playing.run_to_segment(2);
        playing.player.pause();
        playing.run_ms(600'000);
        playing.player.resume();
        playing.lose_power(600'000);
        playing.player.skip(playing.now.segment, player::Asked::in_the_open);
        playing.run_out();
        playing.player.remaining_ms();
        EXPECT_EQ(taken, before);
        EXPECT_FALSE(playing.plays());
    }
    const std::size_t before = taken;
    int* volatile kept = new int;
    delete kept;
    EXPECT_EQ(taken, before + 1); // the counter counts
}

} // namespace
} // namespace fettle
