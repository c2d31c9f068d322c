// Plays a generated header (HEADER, TABLE) with a kiln that is always where it should be: it must
// end finished, having asked for the table's peak, after the time of its segments.
#include HEADER

#include "runtime/player/player.h"

#include <cstdio>

namespace player = fettle::player;

int main() {
    const player::Table& table = fettle::firings::TABLE;
    player::Player kiln_side(table);
    std::int64_t asked_ms = table.delay_ms;
    for (std::uint16_t i = 0; i < table.segment_count; ++i)
        asked_ms += table.segments[i].duration_ms;
    if (kiln_side.start(0) != player::Refusal::none)
        return std::puts("it did not start"), 1;
    std::int32_t here = table.start_millicelsius, peak = here;
    std::int64_t now_ms = 0, timed_ms = 0;
    player::Now now{};
    for (; now_ms < player::longest_ms; now_ms += 1000) {
        now = kiln_side.tick(now_ms, {player::Sensor::good, here});
        if (now.state == player::State::finished)
            break;
        if (now.state != player::State::delayed && now.state != player::State::running)
            return std::printf("state %d, reason %d\n", int(now.state), int(now.reason)), 1;
        const player::Kind kind = table.segments[now.segment].kind;
        const bool by_clock =
            now.state == player::State::delayed || !player::takes_its_own_time(kind);
        timed_ms += by_clock ? 1000 : 0;
        if (now.heating == player::Heating::to_set_point)
            here = now.set_point_millicelsius;
        else if (now.heating == player::Heating::full)
            here += 30; // about 100C/h
        else if (here > table.start_millicelsius)
            here -= 10; // about 36C/h
        peak = here > peak ? here : peak;
    }
    if (now.state != player::State::finished)
        return std::puts("it did not finish"), 1;
    if (peak != player::peak_millicelsius(table))
        return std::printf("peak %d\n", int(peak)), 1;
    // A tick may fall on either side of each end.
    const std::int64_t off_ms = timed_ms - asked_ms;
    if (off_ms < -2000 * table.segment_count || off_ms > 2000 * table.segment_count)
        return std::printf("%lld ms off\n", static_cast<long long>(off_ms)), 1;
    return 0;
}
