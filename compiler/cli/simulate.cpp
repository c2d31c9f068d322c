// `fettle simulate`: what the kiln will really do with a firing.
#include "compiler/cli/clock.h"
#include "compiler/cli/command.h"
#include "compiler/cli/reading.h"
#include "compiler/cli/scale.h"

#include "compiler/meaning/kiln_profile.h"
#include "compiler/output/prediction_files.h"

#include <fmt/format.h>

#include <atomic>
#include <thread>

namespace fettle {
namespace {

struct SimulateArguments {
    ReadingOptions reading;
    std::string scale = "C";
    std::string starts;
    std::string tariff;
    unsigned width = 0; // 0: that of the terminal
    std::string as = "text";
    unsigned runs = 0;
    unsigned seed = 1;
};

constexpr std::string_view form_words[] = {"text", "json", "svg", "html"};

// On so many threads; what is worked out is the same for any number of them.
InParallel on_threads(unsigned threads) {
    return [threads](std::size_t n, const std::function<void(std::size_t)>& work) {
        std::atomic<std::size_t> next = 0;
        const auto take = [&] {
            for (std::size_t i = next++; i < n; i = next++)
                work(i);
        };
        std::vector<std::thread> others;
        for (unsigned t = 1; t < threads && t < n; ++t)
            others.emplace_back(take);
        take();
        for (std::thread& other : others)
            other.join();
    };
}

// What came of one firing.
struct Simulated {
    std::string text;
    std::string problem; // an error at `span`
    std::string mend;
    Span span;
    bool falls_short = false; // the kiln never does what is asked
};

// The tariff that was named, or the only one that there is.
std::uint32_t find_tariff(const Program& program, std::string_view name) {
    std::uint32_t found = none;
    for (std::uint32_t i = 0; i < program.profiles.size(); ++i) {
        const Profile& profile = program.profiles[i];
        if (profile.kind != ProfileKind::tariff || profile.prices.empty())
            continue;
        const auto its_name = program.name(program.declarations[profile.declaration].name);
        if (!name.empty() && its_name == name)
            return i;
        if (name.empty() && found != none)
            return none; // several: which one is meant is not known
        if (name.empty())
            found = i;
    }
    return found;
}

std::optional<EnergyPrice> price_of(const Program& program, std::uint32_t tariff) {
    if (tariff == none)
        return std::nullopt;
    const Profile& profile = program.profiles[tariff];
    EnergyPrice price;
    const auto name = program.name(program.declarations[profile.declaration].name);
    price.tariff =
        profile.title.empty() ? std::string(name) : fmt::format("{} ({})", profile.title, name);
    const Value& currency =
        profile.fields[static_cast<std::size_t>(field::at(Holder::tariff, "currency"))];
    if (currency.is(ValueKind::text))
        price.currency = currency.as_text();
    constexpr double j_per_kwh = 3.6e6;
    for (const ProfilePrice& each : profile.prices) {
        const double per_kwh = each.price.number * j_per_kwh;
        const bool first = &each == &profile.prices.front();
        price.lowest_per_kwh = first ? per_kwh : std::min(price.lowest_per_kwh, per_kwh);
        price.highest_per_kwh = first ? per_kwh : std::max(price.highest_per_kwh, per_kwh);
    }
    return price;
}

std::string as_asked(std::string_view as, const FiringDocument& document,
                     const FiringPrediction& prediction, const std::optional<EnergyPrice>& price,
                     const ShowOptions& options) {
    const OutputOptions output{.scale = options.scale, .start_clock_s = options.start_clock_s};
    if (as == "json") {
        std::string text;
        append_prediction_json(text, document, prediction, price);
        return text;
    }
    if (as == "svg")
        return prediction_svg(document, prediction, output);
    if (as == "html")
        return prediction_page(document, prediction, price, output);
    return prediction_text(document, prediction, price, options);
}

Simulated simulate_one(const CompileContext& context, const CompiledFiring& compiled,
                       const SimulateArguments& arguments, const std::optional<EnergyPrice>& price,
                       const ShowOptions& options) {
    Simulated result;
    const Firing& firing = compiled.firing;
    if (firing.kiln == none) {
        result.span = firing.span;
        result.problem =
            fmt::format("{} names no kiln, so there is nothing to simulate it with", firing.name);
        result.mend = "write `kiln NAME` into the firing";
        return result;
    }
    const unsigned cores = std::max(1u, std::thread::hardware_concurrency());
    const FiringPrediction prediction =
        predict(context, compiled,
                {.runs = arguments.runs,
                 .seed = arguments.seed,
                 .in_parallel = on_threads(
                     arguments.reading.threads != 0 ? arguments.reading.threads : cores)});
    const Profile& kiln = context.program.profiles[firing.kiln];
    const Declaration& declaration = context.program.declarations[kiln.declaration];
    const Module& module = context.program.modules[declaration.module];
    result.span = module.span(module.child(declaration.node, 0));
    if (!prediction.missing.empty()) {
        result.problem =
            fmt::format("the model of the kiln needs {}",
                        missing_words(context.program, firing.kiln, prediction.missing));
        result.mend = "write these fields, or take them from a kiln of std.kilns: `kiln NAME from "
                      "electric_studio`";
        return result;
    }
    if (!prediction.prediction.problems.empty()) {
        result.problem =
            fmt::format("{} can't be simulated: {}", context.program.name(declaration.name),
                        prediction.prediction.problems.front().text);
        return result;
    }
    result.falls_short = prediction.prediction.end != FiringEnd::done;
    result.text = as_asked(arguments.as, compiled.document, prediction, price, options);
    return result;
}

ExitCode simulate_firings(const SimulateArguments& arguments) {
    ShowOptions options;
    options.scale = scale_of(arguments.scale);
    options.plain = arguments.reading.plain;
    options.colour = !arguments.reading.plain && wants_colour(Channel::results);
    options.width = arguments.width != 0 ? arguments.width : terminal_width(Channel::results);
    if (!read_starts(arguments.starts, options.start_clock_s))
        return ExitCode::usage;
    Reading reading = read_program(arguments.reading);
    if (arguments.as != "text" && reading.firings.size() > 1) {
        say(fmt::format("error: --as {} is for one firing: name it, as in FILE:NAME",
                        arguments.as));
        return ExitCode::usage;
    }
    const Program& program = reading.compilation->program();
    const std::uint32_t tariff = find_tariff(program, arguments.tariff);
    if (!arguments.tariff.empty() && tariff == none) {
        say(fmt::format("error: there is no tariff `{}` with a price", arguments.tariff));
        return ExitCode::usage;
    }
    const auto price = price_of(program, tariff);
    const bool sound = exit_code(reading) == ExitCode::well;
    std::vector<Simulated> results(sound ? reading.firings.size() : 0);
    if (sound) {
        compile_firings(
            reading, arguments.reading, [&](std::size_t i, const CompiledFiring& compiled) {
                if (compiled.ok)
                    results[i] =
                        simulate_one(reading.compilation->context(), compiled, arguments, price,
                                     options);
            });
    }
    std::string text;
    bool short_of_it = false;
    for (const Simulated& result : results) {
        if (!text.empty() && !result.text.empty() && arguments.as == "text")
            text += '\n';
        text += result.text;
        short_of_it = short_of_it || result.falls_short;
        if (result.problem.empty())
            continue;
        Diagnostic& diagnostic =
            reading.diagnostics.report(DiagnosticKind::missing_field, result.span, result.problem);
        if (!result.mend.empty())
            diagnostic.mend(result.mend);
    }
    const ExitCode printed = print(text);
    report(reading, arguments.reading);
    if (sound && reading.firings.empty()) {
        say(fmt::format("There is nothing to simulate: no firing is declared in {}.",
                        describe(reading.inputs)));
        return ExitCode::errors;
    }
    return worse(printed,
                 worse(exit_code(reading), short_of_it ? ExitCode::errors : ExitCode::well));
}

} // namespace

std::function<ExitCode()> prepare_simulate(Arguments& arguments) {
    const auto options = std::make_shared<SimulateArguments>();
    declare(arguments, options->reading, "Whose firings to simulate");
    arguments.choice("--scale", options->scale, scale_words, "Degrees Celsius or Fahrenheit");
    arguments.value("--starts", options->starts, "22:00",
                    "The time of day it is started: shows when it may be opened");
    arguments.value("--tariff", options->tariff, "NAME",
                    "The tariff to pay by (the only one there is)");
    arguments.choice("--as", options->as, form_words,
                     "As text, or one firing as JSON, as a drawing or as a page, on stdout");
    arguments.number("--runs", options->runs, 1, 100000,
                     "So many firings, with sensor, mains, load and start as they vary");
    arguments.number("--seed", options->seed, 0, 4294967295u,
                     "Where the numbers of --runs are drawn from (1)");
    arguments.number("--width", options->width, 40, 1000, "Columns (those of the terminal, or 80)");
    arguments.flag("--plain", options->reading.plain, "Simple signs only, no colours");
    arguments.example("fettle simulate mugs.fettle", "every firing of a file");
    arguments.example("fettle simulate class.fettle:slabs --starts 18:00",
                      "one of them, with clock times");
    arguments.example("fettle simulate mugs.fettle:mugs --runs 1000",
                      "and how far the next firings may lie apart");
    arguments.example("fettle simulate mugs.fettle:mugs --as html >mugs.html", "as a page");
    arguments.remark(
        "Behind it stands a model of the kiln, its lining and its load, which needs the "
        "kiln's\npower, volume and lining. Ends with 1 where the kiln never does what "
        "is asked.");
    return [options] { return simulate_firings(*options); };
}

} // namespace fettle
