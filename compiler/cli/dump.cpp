#include "compiler/cli/dump.h"

#include "compiler/meaning/dump.h"
#include "compiler/output/words.h"
#include "compiler/syntax/dump.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

std::string dump_trees(const Reading& reading) {
    const Compilation& compilation = *reading.compilation;
    std::string text;
    for (const Module& module : compilation.program().modules) {
        const std::string& path = compilation.sources()[module.file].path();
        const std::vector<std::string>& asked = reading.inputs.paths;
        if (std::find(asked.begin(), asked.end(), path) == asked.end())
            continue;
        text += fmt::format("# {}\n{}", path, dump(module.tree));
    }
    return text;
}

std::string dump_program(const Reading& reading) {
    return dump(reading.compilation->program());
}

std::string or_dash(std::string_view word) {
    return std::string(word.empty() ? "-" : word);
}

std::string dump_segment(const Schedule& schedule, std::size_t index) {
    const Segment& segment = schedule.segments[index];
    const KilnState& state = schedule.states[segment.state];
    std::string text =
        fmt::format("  {} {} {} from {}C to {}C", index, schedule.phases[segment.phase].name,
                    to_word(segment.kind), segment.from_c, segment.to_c);
    if (segment.duration_s)
        text += fmt::format(" duration {}s", *segment.duration_s);
    if (const auto rate = segment.rate_k_per_h(); rate && segment.kind != SegmentKind::soak)
        text += fmt::format(" rate {}C/h", *rate);
    if (segment.waiting_within_k)
        text += fmt::format(" waiting within {}dC", *segment.waiting_within_k);
    if (!segment.to_cone.empty())
        text += fmt::format(" cone {}", segment.to_cone);
    text += fmt::format(" atmosphere {} vent {}", or_dash(to_word(state.atmosphere)),
                        or_dash(to_word(state.vent)));
    for (const ControlSetting& setting : state.settings)
        text += fmt::format(" set {} {}", setting.control, setting.value);
    text += '\n';
    for (const std::string& note : segment.notes)
        text += fmt::format("      note \"{}\"\n", note);
    for (const std::string& job : segment.jobs)
        text += fmt::format("      do \"{}\"\n", job);
    text += "      lines";
    for (const Origin& origin : segment.trail)
        text += fmt::format(" {}:{}", schedule.files[origin.file], origin.line);
    return text + '\n';
}

std::string dump_schedule(std::string_view name, const Schedule& schedule) {
    std::string text =
        fmt::format("firing {} start {}C delay {}s\n", name, schedule.start_c, schedule.delay_s);
    for (std::size_t i = 0; i < schedule.segments.size(); ++i)
        text += dump_segment(schedule, i);
    return text;
}

std::string dump_schedules(Reading& reading, const ReadingOptions& options) {
    std::vector<std::string> texts(reading.firings.size());
    compile_firings(reading, options, [&](std::size_t i, const CompiledFiring& compiled) {
        texts[i] = dump_schedule(compiled.firing.name, compiled.schedule);
    });
    return fmt::format("{}", fmt::join(texts, ""));
}

std::string or_dash(const std::optional<double>& number) {
    return number ? print_number(*number, 6) : "-";
}

std::string dump_steps(std::string_view name, const FiringDocument& document) {
    if (!document.steps)
        return fmt::format("firing {}: no controller, no steps\n", name);
    const Steps& steps = *document.steps;
    std::string text;
    for (const StepProgram& program : steps.programs) {
        text += fmt::format("program {} for {} start {}C delay {}s deviation {}dC\n", program.name,
                            document.controller.name, program.start_c, steps.delay_s,
                            print_number(program.deviation_c, 3));
        for (const StepRow& row : program.rows) {
            text += fmt::format("  {} {} target {} minutes {} rate {} soak {} waiting {} "
                                "segments {}\n",
                                row.step, to_word(row.kind), row.target, or_dash(row.duration_min),
                                or_dash(row.rate_per_h), or_dash(row.soak_min),
                                or_dash(row.waiting_within), fmt::join(row.segments, " "));
        }
        if (!program.then.empty())
            text += fmt::format("  then {}\n", program.then);
    }
    return text;
}

std::string dump_all_steps(Reading& reading, const ReadingOptions& options) {
    std::vector<std::string> texts(reading.firings.size());
    compile_firings(reading, options, [&](std::size_t i, const CompiledFiring& compiled) {
        texts[i] = dump_steps(compiled.firing.name, compiled.document);
    });
    return fmt::format("{}", fmt::join(texts, ""));
}

struct Stage {
    std::string_view name;
    std::string (*dump)(Reading& reading, const ReadingOptions& options);
};
constexpr Stage stages[] = {
    {"tree", [](Reading& reading, const ReadingOptions&) { return dump_trees(reading); }},
    {"program", [](Reading& reading, const ReadingOptions&) { return dump_program(reading); }},
    {"schedule", dump_schedules},
    {"steps", dump_all_steps},
};
constexpr std::string_view stage_names[] = {"tree", "program", "schedule", "steps"};

} // namespace

void declare_dump(Arguments& arguments, std::string& stage) {
    arguments.choice("--dump", stage, stage_names,
                     "Print what a stage hands to the next, and end there");
}

ExitCode dump_stage(Reading& reading, const ReadingOptions& options, const std::string& stage) {
    const auto* found = std::find_if(std::begin(stages), std::end(stages),
                                     [&](const Stage& each) { return each.name == stage; });
    const ExitCode printed = print(found->dump(reading, options));
    report(reading, options);
    return worse(printed, exit_code(reading));
}

} // namespace fettle
