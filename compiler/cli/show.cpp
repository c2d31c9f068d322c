// `fettle show`: the table and the curve of firings on the terminal.
#include "compiler/output/show.h"

#include "compiler/cli/clock.h"
#include "compiler/cli/command.h"
#include "compiler/cli/compared.h"
#include "compiler/cli/reading.h"
#include "compiler/cli/scale.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

namespace fettle {
namespace {

struct ShowArguments {
    ReadingOptions reading;
    std::string scale = "C";
    std::string starts;
    unsigned width = 0; // 0: that of the terminal
    bool why = false;
    bool split = false;
    bool compare = false;
    std::string on; // controllers, with commas
};

ExitCode say_nothing_to_show(const Reading& reading) {
    say(fmt::format("There is nothing to show: no firing is declared in {}.",
                    describe(reading.inputs)));
    return ExitCode::errors;
}

// One after the other.
ExitCode show_each(const ShowArguments& arguments, const ShowOptions& options, Reading& reading) {
    // A mistake anywhere in the files may have hidden a line: then no table is safe to read off.
    const bool sound = exit_code(reading) == ExitCode::well;
    std::vector<std::string> pages(sound ? reading.firings.size() : 0);
    if (sound) {
        compile_firings(reading, arguments.reading,
                        [&](std::size_t i, const CompiledFiring& compiled) {
                            if (compiled.ok)
                                pages[i] = show(compiled.document, options);
                        });
    }
    std::string text;
    for (const std::string& page : pages) {
        if (!text.empty() && !page.empty())
            text += '\n';
        text += page;
    }
    const ExitCode printed = print(text);
    report(reading, arguments.reading);
    if (sound && reading.firings.empty())
        return say_nothing_to_show(reading);
    return worse(printed, exit_code(reading));
}

ExitCode show_firings(const ShowArguments& arguments) {
    ShowOptions options;
    options.scale = scale_of(arguments.scale);
    options.why = arguments.why;
    options.plain = arguments.reading.plain;
    options.colour = !arguments.reading.plain && wants_colour(Channel::results);
    options.width = arguments.width != 0 ? arguments.width : terminal_width(Channel::results);
    if (!read_starts(arguments.starts, options.start_clock_s))
        return ExitCode::usage;
    Reading reading = read_program(arguments.reading);
    if (arguments.split)
        reading.compilation->split_programs();
    // With a mistake in the files, a controller may be hidden by it.
    if (exit_code(reading) != ExitCode::well)
        return show_each(arguments, options, reading);
    const auto controllers = find_controllers(*reading.compilation, arguments.on);
    if (!controllers)
        return ExitCode::usage;
    if (arguments.compare || controllers->size() == 2)
        return show_compared(reading, *controllers, arguments.reading, options);
    if (!controllers->empty())
        reading.compilation->make_tables_for(controllers->front());
    return show_each(arguments, options, reading);
}

} // namespace

std::function<ExitCode()> prepare_show(Arguments& arguments) {
    const auto options = std::make_shared<ShowArguments>();
    declare(arguments, options->reading, "Whose firings to show");
    arguments.choice("--scale", options->scale, scale_words, "Degrees Celsius or Fahrenheit");
    arguments.flag("--why", options->why, "Tell for each step where it comes from, and all rules");
    arguments.flag("--split", options->split, "Make several programs of a table that is too long");
    arguments.flag("--compare", options->compare, "Two firings side by side: what differs");
    arguments.value("--on", options->on, "NAME[,NAME]",
                    "The table for another controller; with two names, one firing on both");
    arguments.value("--starts", options->starts, "22:00",
                    "The time of day it is started: shows the time of each step");
    arguments.number("--width", options->width, 40, 1000, "Columns (those of the terminal, or 80)");
    arguments.flag("--plain", options->reading.plain, "Simple signs only, no colours");
    arguments.example("fettle show mugs.fettle", "every firing of a file");
    arguments.example("fettle show class.fettle:slabs --scale F", "one of them, in Fahrenheit");
    arguments.example("fettle show mugs.fettle --starts 22:00", "with clock times");
    arguments.example("fettle show mugs.fettle --why", "and where each number comes from");
    arguments.example("fettle show class.fettle:slabs mugs.fettle:mugs --compare",
                      "what differs between two");
    arguments.example("fettle show mugs.fettle:mugs --on loft_pad,annex_pad",
                      "one of them as two controllers fire it");
    return [options] { return show_firings(*options); };
}

} // namespace fettle
