#include "tests/output/sample.h"

#include "runtime/schedule/curve.h"

#include <algorithm>
#include <cmath>

namespace fettle::sample {

void Firing::phase(std::string name, std::string title) {
    schedule.phases.push_back({std::move(name), std::move(title), ""});
}

void Firing::state(KilnState state) {
    schedule.states.push_back(std::move(state));
}

Segment& Firing::add(SegmentKind kind, double to_c) {
    Segment segment;
    segment.kind = kind;
    segment.from_c = schedule.segments.empty() ? schedule.start_c : schedule.segments.back().to_c;
    segment.to_c = to_c;
    segment.phase = static_cast<std::uint32_t>(schedule.phases.size() - 1);
    segment.state = static_cast<std::uint32_t>(schedule.states.size() - 1);
    const auto line = static_cast<std::uint32_t>(12 + schedule.segments.size());
    segment.trail = {{0, line}, {0, 4}};
    schedule.segments.push_back(std::move(segment));
    return schedule.segments.back();
}

Segment& Firing::ramp(double to_c, double rate_k_per_h) {
    Segment& segment = add(SegmentKind::ramp, to_c);
    segment.duration_s = std::fabs(segment.to_c - segment.from_c) / rate_k_per_h * 3600;
    return segment;
}

Segment& Firing::soak(double minutes) {
    Segment& segment =
        add(SegmentKind::soak,
            schedule.segments.empty() ? schedule.start_c : schedule.segments.back().to_c);
    segment.duration_s = minutes * 60;
    return segment;
}

Segment& Firing::own_time(SegmentKind kind, double to_c, std::optional<double> estimate_h) {
    Segment& segment = add(kind, to_c);
    if (estimate_h) {
        segment.estimated_duration_s = *estimate_h * 3600;
    }
    return segment;
}

FiringPtr empty() {
    auto firing = std::make_unique<Firing>();
    firing->schedule.states.push_back({});
    firing->schedule.files = {"harbour_row/mugs.fettle"};
    firing->source = {"harbour_row.firings",
                      "1.2.0",
                      {{"harbour_row/mugs.fettle",
                        "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"}}};
    FiringDocument& document = firing->document;
    document.compiler_version = "0.1.0";
    document.source = &firing->source;
    document.name = "mugs";
    document.schedule = &firing->schedule;
    return firing;
}

FiringPtr bisque() {
    auto firing = empty();
    FiringDocument& document = firing->document;
    document.title = "Mugs, Tuesday class";
    document.template_name = "gentle_bisque";
    document.about = "Bisque that forgives thick or damp ware.";
    document.arguments = {{"thickness", "6mm"}, {"top", "cone 04"}};
    document.body = {"heron_grey", "Heron grey, a grogged stoneware"};
    document.kiln = {"loft", "The loft kiln"};
    document.controller = {"loft_pad", ""};
    document.fuel = Fuel::electric;
    document.load = {{.name = "",
                      .body = document.body,
                      .glaze = {},
                      .thickness_mm = 6,
                      .moisture = 0.01,
                      .mass_kg = std::nullopt,
                      .shelf = {}}};
    document.confirms = {{"Bone dry: a cold glass at the spyhole stays clear", ""}};

    firing->schedule.delay_s = 8 * 3600;
    firing->phase("drying", "Drive off the last water before it can boil");
    firing->state({Atmosphere::unknown, Vent::open, {}});
    firing->ramp(90, 60);
    firing->soak(60);
    firing->phase("burnout", "Chemical water leaves, then carbon: keep air moving");
    firing->ramp(600, 100);
    firing->soak(20);
    firing->ramp(900, 60).notes = {"The smell of burning should be gone by the end of this climb."};
    firing->phase("finish", "Bond the clay, leave it thirsty for glaze");
    firing->state({Atmosphere::unknown, Vent::closed, {}});
    firing->ramp(1052.7, 60).to_cone = "04";
    firing->soak(10);
    firing->phase("cooling");
    firing->own_time(SegmentKind::free, 100).jobs = {"Open only below 100C; unload below 50C."};

    document.heat_work = {"04", "03", 0.04};
    document.checks = {{.rule = "std.rules.quartz_rise",
                        .title = "Cross the quartz inversion slowly on the way up",
                        .level = CheckLevel::caution,
                        .result = CheckResult::holds,
                        .found = 100.0,
                        .allowed = 150.0,
                        .sense = Check::Sense::most,
                        .unit = "C/h",
                        .reason = "Free quartz expands by about a hundredth at 573 degrees."},
                       {.rule = "kiln_limit",
                        .title = "Stay below the kiln's ceiling",
                        .level = CheckLevel::error,
                        .result = CheckResult::holds,
                        .found = 1052.7,
                        .allowed = 1280.0,
                        .sense = Check::Sense::most,
                        .unit = "C"}};
    return firing;
}

FiringPtr reduction_glaze() {
    auto firing = empty();
    FiringDocument& document = firing->document;
    document.name = "long_tables";
    document.title = "Dinner set and tiles, gas kiln";
    document.about = "Reduction from 900C, a clean top, and a held drop for the ash blue.";
    document.kiln = {"yard", "The yard kiln"};
    document.fuel = Fuel::gas;
    document.load = {{"plates",
                      {"heron_grey", ""},
                      {"ash_blue", ""},
                      7,
                      0.005,
                      22,
                      "middle",
                      "bisque",
                      "cone 06"},
                     {"tiles", {"red_clay", ""}, {}, 8, std::nullopt, 5.5, "bottom"}};
    document.confirms = {{"Carbon monoxide alarm tested", "kiln keeper"},
                         {"Shelves washed, cones set on every shelf", ""}};

    firing->phase("warming", "Overnight on the pilot, to dry the glaze");
    firing->state({Atmosphere::oxidation, Vent::open, {{"damper", "open"}, {"gas", "5mbar"}}});
    firing->ramp(120, 50);
    firing->soak(90).waiting_within_k = 5;
    firing->phase("climb", "Steady to red heat");
    firing->state({Atmosphere::oxidation, Vent::propped, {{"damper", "open"}, {"gas", "20mbar"}}});
    firing->ramp(900, 150);
    firing->phase("body_reduction", "Colour the clay before the glaze seals it");
    firing->state({Atmosphere::reduction, Vent::closed, {{"damper", "half"}, {"gas", "30mbar"}}});
    firing->soak(45).jobs = {"Damper in until a soft flame of a hand's length stands at the top "
                             "spyhole; write down the damper mark."};
    firing->phase("glaze_climb", "Light reduction to the top");
    Segment& climb = firing->ramp(1221.4, 80);
    climb.to_cone = "9";
    climb.notes = {"A slow last hundred degrees evens the kiln out, top and bottom."};
    firing->state({Atmosphere::neutral, Vent::closed, {{"damper", "half"}, {"gas", "25mbar"}}});
    firing->soak(20);
    firing->phase("drop", "Let it fall fast past the top of the glaze's set");
    firing->state({Atmosphere::oxidation, Vent::closed, {{"damper", "open"}, {"gas", "off"}}});
    firing->own_time(SegmentKind::opened, 1040, 0.6);
    firing->phase("hold", "Grow the crystals that make it matt");
    firing->state({Atmosphere::oxidation, Vent::closed, {{"damper", "shut"}, {"gas", "8mbar"}}});
    firing->soak(60);
    firing->ramp(900, 70);
    firing->phase("cooling");
    firing->state({Atmosphere::oxidation, Vent::closed, {{"damper", "shut"}, {"gas", "off"}}});
    firing->own_time(SegmentKind::free, 80, 19.5);

    document.heat_work = {"9", "10", 0.31};
    document.checks = {
        {.rule = "std.rules.steam",
         .title = "Below boiling until the ware is dry",
         .level = CheckLevel::error,
         .result = CheckResult::holds},
        {.rule = "std.rules.body_limit",
         .title = "Stay within what the body can bear",
         .level = CheckLevel::error,
         .result = CheckResult::waived,
         .group = "tiles",
         .found = 1221.4,
         .allowed = 1180.0,
         .sense = Check::Sense::most,
         .unit = "C",
         .reason = "Red clay bloats and slumps above its maturing range.",
         .remedy = "Fire the tiles apart, no higher than 1180C.",
         .waiver = "the tiles are tests, each on its own saucer",
         .segments = {4, 5}},
        {.rule = "std.rules.quartz_rise",
         .title = "Cross the quartz inversion slowly on the way up",
         .level = CheckLevel::caution,
         .result = CheckResult::broken,
         .group = "plates",
         .found = 150.0,
         .allowed = 80.0,
         .sense = Check::Sense::most,
         .unit = "C/h",
         .reason = "Free quartz expands by about a hundredth of its volume at 573 degrees.",
         .remedy = "Slow the ramp between 540C and 630C, or add a soak before it.",
         .segments = {2}},
        {.rule = "std.rules.cristobalite_fall",
         .title = "Cool slowly past 225 degrees where there is cristobalite",
         .level = CheckLevel::advice,
         .result = CheckResult::unknown,
         .group = "plates",
         .reason = "fill in `cristobalite` of heron_grey to have it checked"},
        {.rule = "std.rules.elements_in_reduction",
         .level = CheckLevel::error,
         .result = CheckResult::not_applicable}};
    document.accept = {{.kind = "peak", .value = {}, .tolerance = 6, .unit = "C"},
                       {.kind = "soak", .value = 900, .tolerance = 5, .unit = "s"},
                       {.kind = "witness", .cone = "9", .shelf = "middle"},
                       {.kind = "duration", .value = {}, .tolerance = 1200, .unit = "s"}};
    return firing;
}

FiringPtr with_steps(StepForm form) {
    auto firing = bisque();
    Steps steps{.form = form, .scale = Scale::fahrenheit, .time_step_s = 60, .programs = {}};
    const auto starts_s = Curve(firing->schedule, Estimates::use).starts_s();
    StepProgram program{.name = "mugs", .start_c = 20, .rows = {}, .then = {}, .deviation_c = 0.05};
    const auto& segments = firing->schedule.segments;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        StepRow row{.step = static_cast<std::uint32_t>(i + 1),
                    .target = std::round(to_scale(segments[i].to_c, steps.scale)),
                    .kind = segments[i].kind,
                    .segments = {static_cast<std::uint32_t>(i)},
                    .phase = firing->schedule.phases[segments[i].phase].name,
                    .from_c = segments[i].from_c,
                    .to_c = segments[i].to_c,
                    .starts_s = starts_s[i],
                    .ends_s = starts_s[i + 1]};
        const auto minutes = segments[i].duration_s
                                 ? std::optional(std::round(*segments[i].duration_s / 60))
                                 : std::nullopt;
        const bool soak = segments[i].kind == SegmentKind::soak;
        if (form == StepForm::duration_target) {
            row.duration_min = minutes;
        }
        if (form != StepForm::duration_target && !soak) {
            row.rate_per_h = segments[i].rate_k_per_h();
        }
        if (form != StepForm::duration_target && soak) {
            row.soak_min = minutes;
        }
        program.rows.push_back(row);
    }
    steps.programs.push_back(program);
    firing->document.steps = steps;
    return firing;
}

FiringPtr many_segments(std::size_t count) {
    auto firing = empty();
    firing->document.title = "Up and down";
    firing->phase("cycles", "Crystalline cycle");
    for (std::size_t i = 0; i < count; ++i) {
        firing->ramp(i % 2 == 0 ? 1080 + 20 * static_cast<double>(i % 3) : 1010, 200);
    }
    return firing;
}

FiringPtr odd_texts() {
    auto firing = empty();
    FiringDocument& document = firing->document;
    FiringDocument& kept = document;
    document.title =
        "Bell\a, escape \x1b[31mred\x1b[0m, \"quotes\", back\\slash, tab\tand\r\nlines";
    document.about = "Right to left: \xD7\x9B\xD7\x91\xD7\xA9\xD7\x9F \xD7\x9C\xD7\x91\xD7\x9F, an "
                     "override \xE2\x80\xAE"
                     "desrever, wide: \xE9\x99\xB6\xE8\x8A\xB8, bad \xFF bytes \xC3";
    document.body = {"long_body", kept.kept.keep(std::string(500, 'w'))};
    document.confirms = {
        {kept.kept.keep("Five hundred letters: " + std::string(500, 'x')), "=1+1"}};
    firing->schedule.files = {"odd \"name\".fettle"};
    firing->phase("\xD7\xA9\xD7\x9C\xD7\x91", "\xD7\x9B\xD7\x91\xD7\xA9\xD7\x9F \"1\", 2");
    firing->state({Atmosphere::unknown, Vent::unknown, {{"damper", "=HYPERLINK(\"x\")"}}});
    firing->ramp(600, 100).notes = {"=cmd()", "semi;colon, comma", "line\nbreak"};
    firing->phase("\xE9\x99\xB6\xE8\x8A\xB8\xE5\xAE\xB6", std::string(500, 'y'));
    firing->ramp(1000, 100).jobs = {"\x1b]0;owned\x07 turn the dial"};
    document.arguments = {{"note", "\"a\", b"}};
    return firing;
}

} // namespace fettle::sample
