#!/usr/bin/env bash
# The player is built for a processor with no operating system under it, as C++17, with every
# warning an error: it must need nothing but what the compiler itself brings, no heap, no
# exceptions, no floating point, no start-up code.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.." || exit
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

warnings=(-Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Werror)
bare=(-mcpu=cortex-m0 -mthumb -Os -ffreestanding -fno-exceptions -fno-rtti -nostdlib)

says() { # NAME COMMAND...: one check
    local name=$1 words
    shift
    if words=$("$@" 2>&1); then
        echo "ok $name"
    else
        echo "not ok $name: ${words//$'\n'/ | }"
    fi
}
compiles() { # COMPILER OPTIONS...
    local source
    for source in runtime/player/*.cpp; do
        "$@" -std=c++17 "${warnings[@]}" -I. -c "$source" \
            -o "$work/$(basename "$source" .cpp).o" || return 1
    done
}
needs_only_the_compiler() {
    local wanted
    wanted=$(arm-none-eabi-nm -u "$work"/*.o | awk 'NF == 2 && $1 == "U" { print $2 }' | sort -u |
        grep -v -e '^_ZNK\?6fettle6player' -e '^memcpy$' -e '^memset$' \
            -e '^__aeabi_u\?ldivmod$' -e '^__aeabi_lmul$' -e '^__aeabi_u\?idiv\(mod\)\?$')
    [ -z "$wanted" ] || { echo "it also needs $wanted"; return 1; }
}
has_no_start_up_code_or_data() {
    local sections
    sections=$(arm-none-eabi-size -A "$work"/*.o |
        awk '$1 ~ /^\.(init_array|ctors|data|bss|tbss)/ && $2 > 0 { print $1 }')
    [ -z "$sections" ] || { echo "it has $sections"; return 1; }
}
links_alone() {
    cat >"$work/bare.cc" <<'END'
#include "runtime/player/player.h"
using namespace fettle::player;
constexpr const char* phases[] = {"up"};
constexpr Segment segments[] = {{Kind::ramp, 600000, 3600000, 0, 0, 0, nullptr}};
constexpr Table table = {"bare", 20000, no_ceiling, 0, segments, 1, phases, 1};
static_assert(fault_of(table) == TableFault::none);
extern "C" void* memcpy(void* to, const void* from, unsigned size) {
    for (unsigned i = 0; i < size; ++i) { static_cast<char*>(to)[i] = static_cast<const char*>(from)[i]; }
    return to;
}
extern "C" void* memset(void* to, int value, unsigned size) {
    for (unsigned i = 0; i < size; ++i) { static_cast<char*>(to)[i] = static_cast<char>(value); }
    return to;
}
extern "C" int start() {
    Player player(table);
    player.start(0);
    Player again(table);
    again.restore(player.save(), 0, off_time_unknown);
    return static_cast<int>(player.tick(1000, {Sensor::good, 20000}).heating) +
           static_cast<int>(again.tick(0, {Sensor::good, 20000}).heating);
}
END
    arm-none-eabi-g++ -std=c++17 "${bare[@]}" -fno-tree-loop-distribute-patterns -I. \
        -x c++ "$work/bare.cc" -x none "$work"/{player,restart,watch}.o -lgcc -Wl,-e,start \
        -o "$work/bare.elf" || return 1
    arm-none-eabi-size "$work/bare.elf" >"$work/size"
}
is_small() {
    local text
    text=$(awk 'NR == 2 { print $1 }' "$work/size")
    [ "$text" -lt 16384 ] || { echo "the code is $text bytes"; return 1; }
}

says "the player compiles for a bare processor" compiles arm-none-eabi-g++ "${bare[@]}"
says "the player needs only the compiler" needs_only_the_compiler
says "the player has no start-up code and no data" has_no_start_up_code_or_data
says "the player links with nothing else" links_alone
says "the player is under 16 KiB with all it needs" is_small
says "the player compiles as C++17 with g++" compiles g++ -O2
says "the player compiles as C++17 with clang" compiles clang++ -O2
