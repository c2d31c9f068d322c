// `fettle plan`: when to start a firing, and what that costs; or the week of a studio.
#include "compiler/cli/command.h"
#include "compiler/cli/plan_setting.h"
#include "compiler/cli/reading.h"
#include "compiler/source/characters.h"

#include "compiler/lowering/plan_firing.h"
#include "compiler/meaning/kiln_profile.h"
#include "compiler/output/phrases.h"
#include "compiler/output/prediction_text.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

constexpr std::string_view report_forms[] = {"text", "json"};
constexpr Moment day_min = 24 * 60;
constexpr Moment week_min = 7 * day_min;
constexpr int start_step_min = 5; // a time that can be keyed in, and remembered

struct PlanArguments {
    ReadingOptions reading;
    PlanWishes wishes;
    std::string form = "text";
    bool week = false;
    unsigned turnaround = 60;
    unsigned width = 0; // 0: that of the terminal
};

// One firing with what is known of it before any start is chosen.
struct Candidate {
    FiringPlan plan;
    const Profile* kiln = nullptr;
    std::optional<Moment> longest_delay; // that its controller can wait
    std::optional<RawWare> raw;
    std::string problem, mend; // empty: none
    Span span;
};

void refuse(Candidate& candidate, std::string problem, std::string mend) {
    candidate.problem = std::move(problem);
    candidate.mend = std::move(mend);
}

Candidate candidate_of(const CompileContext& context, const CompiledFiring& compiled) {
    Candidate candidate;
    const Program& program = context.program;
    const Firing& firing = compiled.firing;
    candidate.span = firing.span;
    if (firing.kiln == none) {
        refuse(candidate, fmt::format("{} names no kiln, so nothing can be planned", firing.name),
               "write `kiln NAME` into the firing");
        return candidate;
    }
    FiringPlan& plan = candidate.plan;
    plan.name = firing.name;
    plan.title = compiled.document.title;
    plan.kiln = compiled.document.kiln.name;
    plan.kiln_title = title_and_name(compiled.document.kiln);
    const FiringPrediction prediction = predict(context, compiled);
    if (!prediction.missing.empty()) {
        refuse(candidate,
               fmt::format("the model of the kiln of {} needs {}", firing.name,
                           missing_words(program, firing.kiln, prediction.missing)),
               "write these fields, or take them from a kiln of std.kilns");
        return candidate;
    }
    const auto planned = planned_firing(compiled, prediction);
    if (!planned) {
        const std::string why = prediction.usable()
                                    ? stopped_short(compiled.schedule, prediction, Scale::celsius)
                                    : prediction.prediction.problems.front().text;
        refuse(candidate,
               fmt::format("{} can't be planned: {}", firing.name,
                           why.empty() ? "its kiln never cools to be unloaded" : why),
               "`fettle simulate` tells more");
        return candidate;
    }
    candidate.kiln = &program.profiles[firing.kiln];
    candidate.longest_delay = longest_delay_of(program, *candidate.kiln);
    candidate.raw = raw_ware(compiled.document);
    plan.firing = *planned;
    if (compiled.schedule.delay_s > 0) {
        plan.remarks.push_back(
            fmt::format("The firing itself says `start after {}`: the start that is planned here "
                        "takes its place.",
                        print_duration(compiled.schedule.delay_s)));
    }
    return candidate;
}

// The starts to look at; where there are none, it was said why.
ExitCode find_window(const PlanFacts& facts, const PlanWishes& wishes, Candidate& candidate) {
    FiringPlan& plan = candidate.plan;
    const Zone& zone = facts.setting.zone;
    std::optional<Moment> latest;
    if (plan.ready_by) {
        latest = *plan.ready_by - plan.firing.ready_at;
        *latest -= *latest % start_step_min;
    }
    if (!find_loaded(wishes, zone, latest, plan.loaded))
        return ExitCode::usage;
    plan.earliest = plan.loaded ? *plan.loaded : *latest - day_min;
    plan.latest = latest ? *latest : *plan.loaded + 2 * day_min;
    if (plan.latest < plan.earliest) {
        say(fmt::format("error: {} can't be ready by {}: loaded on {} and started at once, it may "
                        "be unloaded on {} at the earliest",
                        plan.name, long_moment(zone, *plan.ready_by),
                        long_moment(zone, *plan.loaded),
                        long_moment(zone, *plan.loaded + plan.firing.ready_at)));
        return ExitCode::errors;
    }
    const auto& delay = candidate.longest_delay;
    if (plan.loaded && delay && plan.latest - *plan.loaded > *delay) {
        plan.latest = *plan.loaded + *delay;
        plan.remarks.push_back(
            fmt::format("The controller waits {} at most, so no later start was looked at.",
                        print_duration(60.0 * static_cast<double>(*delay))));
    }
    return ExitCode::well;
}

ExitCode plan_one(const PlanFacts& facts, const PlanWishes& wishes, Candidate& candidate) {
    FiringPlan& plan = candidate.plan;
    if (!find_ready_by(wishes, facts.setting.zone, plan.ready_by))
        return ExitCode::usage;
    if (const ExitCode none = find_window(facts, wishes, candidate); none != ExitCode::well)
        return none;
    PlanSetting setting = facts.setting;
    setting.attended = plan.attended;
    // What has to be ready by an hour waits least when it starts late.
    const Prefer prefer = plan.ready_by ? Prefer::later : Prefer::earlier;
    plan.choices =
        choose_starts(plan.firing, plan.earliest, plan.latest, setting, prefer, start_step_min);
    if (!plan.attended) {
        plan.remarks.push_back("Nobody said when somebody is there, so the top may fall into the "
                               "night: write `attended 08:00 to 22:00` into the kiln or the "
                               "studio, or add --attended \"08:00 to 22:00\".");
    }
    for (const StartChoice& choice : plan.choices) {
        if (!choice.proposed || !plan.loaded || !candidate.raw)
            continue;
        const auto wait = static_cast<int>(choice.start - *plan.loaded);
        if (std::string remark = remark_on_waiting(*candidate.raw, wait); !remark.empty())
            plan.remarks.push_back(std::move(remark));
    }
    return ExitCode::well;
}

// --- the week -----------------------------------------------------------------------------------

bool find_week(const PlanArguments& arguments, const Program& program, const PlanFacts& facts,
               const Profile* studio, StudioWeek& week) {
    const PlanWishes& wishes = arguments.wishes;
    const Zone& zone = facts.setting.zone;
    std::optional<Date> day;
    if (!read_day(wishes.on, day))
        return false;
    if (!day) {
        say("error: --week needs the day on which it begins: add --on 2026-11-30");
        return false;
    }
    if (!find_moment("--on", zone, *day, 0, week.begins))
        return false;
    week.ends = week.begins + week_min;
    if (!wishes.ready_by.empty()) {
        TypedTime time;
        if (!read_typed_time("--ready-by", wishes.ready_by, time))
            return false;
        if (!time.day) {
            say("error: with --week, --ready-by takes a day and a time, such as \"2026-12-04 "
                "17:00\"");
            return false;
        }
        Moment ready = 0;
        if (!find_moment("--ready-by", zone, *time.day, time.minute, ready))
            return false;
        if (ready <= week.begins || ready > week.begins + 4 * week_min) {
            say("error: --ready-by lies before the week, or more than four weeks behind it");
            return false;
        }
        week.ends = ready;
    }
    week.turnaround = static_cast<int>(arguments.turnaround);
    if (studio != nullptr) {
        const auto name = program.name(program.declarations[studio->declaration].name);
        week.studio =
            studio->title.empty() ? std::string(name) : fmt::format("{} ({})", studio->title, name);
        if (const double kw = supply_kw_of(*studio); kw > 0)
            week.supply_kw = kw;
    }
    return true;
}

// False: a firing does not fit, which the text says.
bool fill_week(const PlanFacts& facts, const std::vector<Candidate>& candidates, StudioWeek& week) {
    std::vector<WeekFiring> firings;
    std::vector<const Profile*> kilns;
    for (const Candidate& candidate : candidates) {
        week.firings.push_back(candidate.plan);
        const auto found = std::find(kilns.begin(), kilns.end(), candidate.kiln);
        const auto kiln = static_cast<std::size_t>(found - kilns.begin());
        if (found == kilns.end())
            kilns.push_back(candidate.kiln);
        firings.push_back({nullptr, kiln, candidate.plan.attended});
    }
    for (std::size_t i = 0; i < firings.size(); ++i)
        firings[i].firing = &week.firings[i].firing;
    WeekSetting setting;
    setting.setting = facts.setting;
    setting.supply_kw = week.supply_kw;
    setting.begins = week.begins;
    setting.ends = week.ends;
    setting.turnaround = week.turnaround;
    week.plan = plan_week(firings, setting);
    for (std::size_t i = 0; i < candidates.size(); ++i) {
        const WeekEntry& entry = week.plan.entries[i];
        if (!entry.fits || !candidates[i].raw)
            continue;
        const auto wait = static_cast<int>(entry.start - entry.load_by);
        if (std::string remark = remark_on_waiting(*candidates[i].raw, wait); !remark.empty())
            week.firings[i].remarks.push_back(std::move(remark));
    }
    return std::all_of(week.plan.entries.begin(), week.plan.entries.end(),
                       [](const WeekEntry& entry) { return entry.fits; });
}

// ------------------------------------------------------------------------------------------------

// What was made of the files; false: something is wrong, and it was said or reported.
bool find_candidates(Reading& reading, const ReadingOptions& options,
                     std::vector<Candidate>& candidates) {
    if (exit_code(reading) != ExitCode::well)
        return false;
    std::vector<Candidate> found(reading.firings.size());
    std::vector<char> whole(reading.firings.size(), 0);
    compile_firings(reading, options, [&](std::size_t i, const CompiledFiring& compiled) {
        if (!compiled.ok)
            return;
        found[i] = candidate_of(reading.compilation->context(), compiled);
        whole[i] = 1;
    });
    bool all = true;
    for (std::size_t i = 0; i < found.size(); ++i) {
        all = all && whole[i] != 0 && found[i].problem.empty();
        if (found[i].problem.empty())
            continue;
        reading.diagnostics.report(DiagnosticKind::missing_field, found[i].span, found[i].problem)
            .mend(found[i].mend);
    }
    candidates = std::move(found);
    return all && exit_code(reading) == ExitCode::well;
}

ExitCode plan_firings(const PlanArguments& arguments) {
    ShowOptions options;
    options.plain = arguments.reading.plain;
    options.colour = !arguments.reading.plain && wants_colour(Channel::results);
    options.width = arguments.width != 0 ? arguments.width : terminal_width(Channel::results);
    const PlanWishes& wishes = arguments.wishes;
    if (!arguments.week && wishes.ready_by.empty() && wishes.loaded.empty()) {
        say("error: say when it has to be ready (--ready-by 08:00 --on 2026-12-04), or when it is "
            "loaded (--loaded 17:30 --on 2026-12-03), or both");
        return ExitCode::usage;
    }
    Reading reading = read_program(arguments.reading);
    std::vector<Candidate> candidates;
    const bool sound = find_candidates(reading, arguments.reading, candidates);
    report(reading, arguments.reading);
    if (!sound)
        return exit_code(reading) == ExitCode::well ? ExitCode::errors : exit_code(reading);
    if (candidates.empty()) {
        say(fmt::format("There is nothing to plan: no firing is declared in {}.",
                        describe(reading.inputs)));
        return ExitCode::errors;
    }
    const Program& program = reading.compilation->program();
    std::vector<const Profile*> kilns;
    for (const Candidate& candidate : candidates)
        kilns.push_back(candidate.kiln);
    const Profile* studio = nullptr;
    PlanFacts facts;
    if (!find_studio(program, wishes.studio, kilns, studio) ||
        !find_facts(program, wishes, studio, facts))
        return ExitCode::usage;
    for (Candidate& candidate : candidates) {
        const auto own = wishes.attended.empty() ? hours_of(*candidate.kiln) : std::nullopt;
        candidate.plan.attended = own ? own : facts.setting.attended;
    }
    const bool json = arguments.form == "json";
    if (arguments.week) {
        StudioWeek week;
        if (!find_week(arguments, program, facts, studio, week))
            return ExitCode::usage;
        const bool fits = fill_week(facts, candidates, week);
        const ExitCode printed =
            print(json ? week_json(facts, week) : week_text(facts, week, options));
        return worse(printed, fits ? ExitCode::well : ExitCode::errors);
    }
    std::vector<FiringPlan> plans;
    ExitCode worst = ExitCode::well;
    for (Candidate& candidate : candidates) {
        const ExitCode planned = plan_one(facts, wishes, candidate);
        if (planned == ExitCode::usage)
            return planned; // the same words are wrong for all of them
        worst = worse(worst, planned);
        if (planned == ExitCode::well)
            plans.push_back(std::move(candidate.plan));
    }
    std::string text = json && worst == ExitCode::well ? plan_json(facts, plans) : std::string();
    for (const FiringPlan& plan : plans) {
        if (!json)
            text += (text.empty() ? "" : "\n") + plan_text(facts, plan, options);
    }
    return worse(print(text), worst);
}

} // namespace

std::function<ExitCode()> prepare_plan(Arguments& arguments) {
    const auto options = std::make_shared<PlanArguments>();
    PlanWishes& wishes = options->wishes;
    declare(arguments, options->reading, "Whose firings to plan");
    arguments.value("--ready-by", wishes.ready_by, "08:00",
                    "When it is to be cool enough to unload");
    arguments.value("--loaded", wishes.loaded, "17:30", "When the kiln is loaded");
    arguments.value("--on", wishes.on, "2026-12-04",
                    "The day of --ready-by, or else of --loaded; of --week the first");
    arguments.value("--tariff", wishes.tariff, "NAME",
                    "What the power costs (the studio's; the only one)");
    arguments.value("--attended", wishes.attended, "HOURS",
                    "When somebody is there: \"08:00 to 22:00\" (the kiln's; the studio's)");
    arguments.value("--zone", wishes.zone, "Europe/London",
                    "Whose clock: changes to summer time are counted (the studio's)");
    arguments.value("--studio", wishes.studio, "NAME",
                    "Whose supply, hours and tariff (the one with that kiln)");
    arguments.flag("--week", options->week, "One calendar for all the firings, on one supply");
    arguments.number("--turnaround", options->turnaround, 0, 24 * 60,
                     "Minutes to unload a kiln and load it again, with --week (60)");
    arguments.choice("--report", options->form, report_forms, "For people, or for programs");
    arguments.number("--width", options->width, 40, 1000, "Columns (those of the terminal, or 80)");
    arguments.flag("--plain", options->reading.plain, "Simple signs only, no colours");
    arguments.example("fettle plan mugs.fettle --ready-by 08:00 --on 2026-12-04",
                      "the cheapest start for that");
    arguments.example("fettle plan mugs.fettle --loaded \"2026-12-02 17:30\"",
                      "the cheapest in the two days from then on");
    arguments.example("fettle plan studio --week --on 2026-11-30",
                      "all firings of a folder, kiln by kiln");
    arguments.remark("It needs a day, and never asks the clock of this machine, so that the same "
                     "words always\ngive the same plan. Ends with 1 where something can't be ready "
                     "in time.");
    return [options] { return plan_firings(*options); };
}

} // namespace fettle
