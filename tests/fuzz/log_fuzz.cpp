// Any bytes as a log, in pieces cut anywhere: no crash, memory that stays bounded, times that rise,
// and the same reading however it was cut. What can be judged is judged.
#include "runtime/log/judge.h"
#include "runtime/log/read_log.h"

#include "compiler/ceramics/ceramics.h"
#include "compiler/compiler.h"
#include "compiler/output/log_words.h"

#include <cmath>
#include <cstdlib>

namespace fettle {
namespace {

void demand(bool holds) {
    if (!holds)
        std::abort();
}

LogReading in_pieces(std::string_view text, const LogOptions& options, std::size_t piece) {
    LogReader reader(options);
    for (std::size_t at = 0; at < text.size(); at += piece)
        reader.feed(text.substr(at, piece));
    return reader.finish();
}

const Schedule& some_schedule() {
    static const Schedule schedule = [] {
        Schedule made;
        made.phases = {{"up", "", ""}, {"down", "", ""}};
        made.states = {{}};
        const auto add = [&](SegmentKind kind, double from, double to, double seconds) {
            Segment segment;
            segment.kind = kind;
            segment.from_c = from;
            segment.to_c = to;
            segment.phase = to < from ? 1 : 0;
            if (seconds > 0)
                segment.duration_s = seconds;
            made.segments.push_back(segment);
        };
        add(SegmentKind::ramp, 20, 600, 14400);
        add(SegmentKind::soak, 600, 600, 1800);
        add(SegmentKind::ramp, 600, 1220, 18000);
        add(SegmentKind::soak, 1220, 1220, 900);
        add(SegmentKind::free, 1220, 100, 0);
        return made;
    }();
    return schedule;
}

void check(const LogReading& reading) {
    for (std::size_t i = 1; i < reading.time_s.size(); ++i)
        demand(reading.time_s[i] > reading.time_s[i - 1]);
    for (const LogAssumption& assumption : reading.assumptions)
        demand(!describe(assumption, reading).empty());
    for (const LogProblem& problem : reading.problems)
        demand(!describe(problem, reading).empty());
    if (!reading.judgeable())
        return;
    static const Ceramics ceramics(StandardLibrary::text("data/cones_large.csv"),
                                   StandardLibrary::text("data/cones_pce.csv"));
    const std::vector<AcceptanceItem> items = {{AcceptanceKind::peak, 1220, 6, ""},
                                               {AcceptanceKind::soak, 600, 6, ""},
                                               {AcceptanceKind::duration, 36000, 600, ""}};
    const Judgement answer = judge({&some_schedule(),
                                    &reading,
                                    *reading.main_sensor(),
                                    &ceramics.shelf_cones(),
                                    items,
                                    {},
                                    {}});
    demand(answer.segments.size() == 5 && answer.acceptance.size() == 3);
    double last = 0;
    for (const SegmentJudgement& segment : answer.segments) {
        demand(segment.piece.from_s >= last - 1e-6 && segment.piece.to_s >= segment.piece.from_s);
        demand(std::isfinite(segment.ended_c));
        last = segment.piece.to_s;
    }
}

} // namespace
} // namespace fettle

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
    using namespace fettle;
    if (size < 2 || size > 200000)
        return 0;
    LogOptions options;
    options.most_points = 16 + data[0] % 64;
    if (data[0] & 0x80)
        options.interval_s = 60;
    if (data[0] & 0x40)
        options.thermocouple = thermocouple_types[data[1] % 5];
    const std::string_view text(reinterpret_cast<const char*>(data) + 2, size - 2);
    const LogReading whole = in_pieces(text, options, text.size() + 1);
    check(whole);
    const LogReading cut = in_pieces(text, options, 1 + data[1]);
    if (cut.time_s != whole.time_s || cut.rows != whole.rows ||
        cut.problems.size() != whole.problems.size())
        std::abort();
    return 0;
}
