// `fettle record`: a kiln's book of firings.
#include "compiler/cli/command.h"
#include "compiler/cli/log_file.h"
#include "compiler/cli/output_folder.h"
#include "compiler/cli/reading.h"
#include "compiler/cli/scale.h"
#include "compiler/cli/unloading.h"
#include "compiler/judging/book.h"
#include "compiler/output/book_text.h"
#include "compiler/output/log_words.h"
#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <sys/stat.h>

namespace fettle {
namespace {

constexpr std::string_view parts[] = {"elements", "sensor"};

struct RecordArguments {
    ReadingOptions reading; // the book, then perhaps a firing and its log
    LogWords log;
    std::string cones, defects, meter, note, date;
    std::vector<std::string> fitted;
    std::string scale = "C";
    unsigned number = 0;
    unsigned width = 0;
};

class Recording {
  public:
    explicit Recording(const RecordArguments& arguments) : arguments_(arguments) {}

    ExitCode run() {
        const std::size_t words = arguments_.reading.inputs.size();
        if (words != 1 && words != 3) {
            say("error: `record` needs a book, and to add to it a firing and its log\n"
                "  fettle record loft.csv\n"
                "  fettle record loft.csv mugs.fettle:mugs log.csv");
            return ExitCode::usage;
        }
        if (const ExitCode code = open_book(words == 3 || !arguments_.fitted.empty());
            code != ExitCode::well)
            return code;
        if (words == 1 && arguments_.fitted.empty())
            return show();
        if (!arguments_.fitted.empty())
            add_fitted();
        if (words == 3) {
            if (const ExitCode code = add_firing(); code != ExitCode::well)
                return code;
        }
        return write();
    }

  private:
    const std::string& path() const { return arguments_.reading.inputs[0]; }

    ExitCode refuse(const std::string& why, ExitCode code) const {
        say(fmt::format("error: {}: {}", visible(path()), visible(why)));
        return code;
    }

    ExitCode open_book(bool may_begin) {
        if (path().ends_with(".fettle"))
            return refuse("that is a firing; the book comes first", ExitCode::usage);
        std::string problem;
        const auto text = DiskFiles().read(path(), problem);
        if (!text && (!problem.empty() || !may_begin))
            return refuse(problem.empty() ? "there is no such book" : problem,
                          ExitCode::unreadable);
        text_ = text ? *text : std::string(book_header());
        if (!text_.ends_with('\n'))
            text_ += '\n';
        auto read = read_book(text_);
        if (const auto* wrong = std::get_if<std::string>(&read))
            return refuse(*wrong, ExitCode::errors);
        book_ = std::get<Book>(std::move(read));
        // A book with other columns can be read, but not added to.
        if (may_begin && text_.find(book_header()) == std::string::npos)
            return refuse(fmt::format("its columns are not those that `record` writes; its first "
                                      "line should be\n  {}",
                                      book_header().substr(0, book_header().size() - 1)),
                          ExitCode::errors);
        return ExitCode::well;
    }

    ExitCode show() const {
        const bool plain = arguments_.reading.plain;
        return print(book_text(
            book_, path(),
            {.scale = scale_of(arguments_.scale),
             .width = arguments_.width != 0 ? arguments_.width : terminal_width(Channel::results),
             .plain = plain,
             .colour = !plain && wants_colour(Channel::results)}));
    }

    void add(const BookEntry& entry) {
        text_ += book_line(entry);
        added_ = true;
    }

    void add_fitted() {
        BookEntry entry{.date = arguments_.date};
        for (const std::string& part : arguments_.fitted)
            entry.fitted += (entry.fitted.empty() ? "" : " ") + part;
        if (arguments_.reading.inputs.size() == 1)
            entry.note = arguments_.note;
        add(entry);
    }

    // --- a firing ---

    ExitCode add_firing() {
        const auto options = log_options(arguments_.log);
        const JudgingData data = standard_judging_data();
        const auto notes = unloading_notes(arguments_.cones, arguments_.defects, data);
        if (!options || !notes)
            return ExitCode::usage;
        std::optional<double> meter;
        if (!arguments_.meter.empty() && !(meter = number_of(arguments_.meter))) {
            say(fmt::format("error: --meter takes what the meter shows in kWh, such as 10234.5, "
                            "not `{}`",
                            visible(arguments_.meter)));
            return ExitCode::usage;
        }
        const int number =
            arguments_.number != 0 ? static_cast<int>(arguments_.number) : next_number(book_);
        if (number < next_number(book_)) {
            say(fmt::format("error: the book is at firing {} already; numbers rise",
                            next_number(book_) - 1));
            return ExitCode::usage;
        }
        const std::string& log_path = arguments_.reading.inputs[2];
        std::string problem;
        const auto log = read_log_file(log_path, *options, problem);
        if (!log) {
            say(fmt::format("error: {}: {}", visible(log_path), visible(problem)));
            return ExitCode::unreadable;
        }
        if (!log->judgeable()) {
            for (const LogProblem& found : log->problems) {
                if (spoils_the_log(found.kind) || spoils_the_sensor(found.kind))
                    say(fmt::format("error: {}: {}", visible(log_path),
                                    visible(describe(found, *log))));
            }
            return ExitCode::errors;
        }
        return judge_it(*log, *notes, data, number, meter);
    }

    static std::optional<double> number_of(std::string_view text) {
        double value = 0;
        const auto [stop, wrong] = std::from_chars(text.data(), text.data() + text.size(), value);
        return wrong == std::errc() && stop == text.data() + text.size() && value >= 0
                   ? std::optional(value)
                   : std::nullopt;
    }

    ExitCode judge_it(const LogReading& log, const UnloadingNotes& notes, const JudgingData& data,
                      int number, std::optional<double> meter) {
        ReadingOptions options = arguments_.reading;
        options.inputs = {arguments_.reading.inputs[1]};
        Reading reading = read_program(options);
        if (exit_code(reading) == ExitCode::well && reading.firings.size() != 1) {
            say(fmt::format("error: which firing is the log of? Name one, as in `{}:NAME`",
                            visible(reading.inputs.paths.front())));
            return ExitCode::usage;
        }
        ExitCode code = exit_code(reading);
        if (code == ExitCode::well) {
            compile_firings(reading, options, [&](std::size_t, const CompiledFiring& compiled) {
                if (!compiled.ok)
                    return;
                JudgedFiring judged = judge_firing(reading.compilation->context(), compiled, log,
                                                   *log.main_sensor(), notes, data);
                judged.log_name = arguments_.reading.inputs[2];
                if (judged.judgement.alignment.looks_like_another) {
                    say(fmt::format("error: {} looks like the log of another firing than {}; "
                                    "`fettle judge` tells more",
                                    visible(judged.log_name), compiled.document.name));
                    code = ExitCode::errors;
                    return;
                }
                BookEntry entry = entry_of(judged, number);
                entry.meter_kwh = meter;
                entry.note = arguments_.note;
                entry.date = !arguments_.date.empty() ? arguments_.date
                             : log.first_date_s ? printed_date(*log.first_date_s).substr(0, 10)
                                                : "";
                add(entry);
            });
        }
        options.quiet = true;
        report(reading, options);
        return worse(code, exit_code(reading));
    }

    ExitCode write() const {
        if (!added_)
            return ExitCode::errors;
        const std::size_t slash = path().rfind('/');
        struct stat status {};
        const bool there = ::stat(path().c_str(), &status) == 0;
        OutputFolder folder(slash == std::string::npos ? "." : path().substr(0, slash));
        if (!folder.write(slash == std::string::npos ? path() : path().substr(slash + 1), text_,
                          there ? status.st_mode & 07777 : 0) ||
            !folder.commit()) {
            say(fmt::format("error: {}", visible(folder.problem())));
            return ExitCode::unreadable;
        }
        const auto read = read_book(text_);
        const auto lines = wear_lines(wear_of(std::get<Book>(read)));
        std::string text = fmt::format("Written into {}\n", visible(path()));
        for (const std::string& line : lines)
            text += fmt::format("  {}\n", line);
        return print(text);
    }

    const RecordArguments& arguments_;
    std::string text_;
    Book book_;
    bool added_ = false;
};

} // namespace

std::function<ExitCode()> prepare_record(Arguments& arguments) {
    const auto options = std::make_shared<RecordArguments>();
    declare(arguments, options->reading,
            "The book (CSV); to add to it, a firing (FILE:NAME) and its log");
    arguments.value("--cones", options->cones, "WORDS",
                    "The witness cones: \"middle: cone 6 touching, bottom: cone 6 bending\"");
    arguments.value("--defects", options->defects, "WORDS", "What is wrong with the ware");
    arguments.value("--meter", options->meter, "10234.5", "What the meter shows after it, in kWh");
    arguments.value("--note", options->note, "WORDS", "Anything else");
    arguments.value("--date", options->date, "2026-03-07", "The day, where the log has none");
    arguments.number("--number", options->number, 1, 1000000, "Of the firing (the next one)");
    arguments.choices("--fitted", options->fitted, parts,
                      "What was renewed before the next firing");
    declare(arguments, options->log);
    arguments.choice("--scale", options->scale, scale_words, "Degrees Celsius or Fahrenheit");
    arguments.number("--width", options->width, 40, 1000, "Columns (those of the terminal, or 80)");
    arguments.flag("--plain", options->reading.plain, "Simple signs only, no colours");
    arguments.example("fettle record loft.csv", "what is in the book, and what wears");
    arguments.example("fettle record loft.csv glaze.fettle:mugs log.csv --meter 10234.5",
                      "one firing more");
    arguments.example("fettle record loft.csv --fitted elements --date 2026-03-07", "new elements");
    return [options] { return Recording(*options).run(); };
}

} // namespace fettle
