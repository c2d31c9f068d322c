// `fettle glaze`: the chemistry of glazes, batch sheets, and recipes worked out backwards.
#include "compiler/cli/command.h"
#include "compiler/cli/disk.h"
#include "compiler/cli/glaze_backwards.h"
#include "compiler/cli/output_folder.h"
#include "compiler/cli/reading.h"
#include "compiler/output/glaze_files.h"
#include "compiler/output/glaze_plane.h"
#include "compiler/output/glaze_text.h"
#include "compiler/source/characters.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

namespace fettle {
namespace {

constexpr std::string_view forms[] = {"text", "json", "csv", "card", "svg"};
constexpr std::string_view endings[] = {".txt", ".json", ".csv", ".html", ".svg"};

struct GlazeArguments {
    ReadingOptions reading;
    std::string as = "text";
    std::string into;
    std::string batch;
    unsigned width = 0;
    BackwardsArguments backwards;
};

std::optional<double> read_mass_kg(const std::string& text) {
    const auto read = parse_quantity(text);
    const auto* quantity = std::get_if<Quantity>(&read);
    if (quantity == nullptr || quantity->dimension != dimension::mass || !(quantity->value > 0))
        return std::nullopt;
    return quantity->value;
}

struct Page {
    std::string name, text;
};

class Glazes {
  public:
    Glazes(const GlazeArguments& arguments, std::optional<double> batch_kg)
        : arguments_(arguments), batch_kg_(batch_kg) {
        text_options_.plain = arguments.reading.plain;
        text_options_.colour =
            !arguments.reading.plain && arguments.into.empty() && wants_colour(Channel::results);
        text_options_.width =
            arguments.width != 0 ? arguments.width : terminal_width(Channel::results);
    }

    void add(const GlazeReport& report) {
        std::optional<Batch> batch;
        if (batch_kg_)
            batch = batch_of(report, *batch_kg_);
        Page page{std::string(report.name), {}};
        const bool first = pages_.empty() || !arguments_.into.empty();
        if (arguments_.as == "json") {
            append_glaze_json(page.text, report, batch,
                              arguments_.into.empty() ? JsonLayout::compact : JsonLayout::indented);
        } else if (arguments_.as == "csv") {
            page.text = batch ? batch_csv(report, *batch, first) : glaze_csv(report, first);
        } else if (arguments_.as == "card") {
            page.text = glaze_card(report, batch);
        } else if (arguments_.as == "svg") {
            page.text = plane_svg(report, true);
        } else {
            page.text = batch ? batch_text(report, *batch, text_options_)
                              : glaze_text(report, text_options_);
            if (!first)
                page.text.insert(0, "\n");
        }
        pages_.push_back(std::move(page));
    }

    // On one page where it is read; elsewhere each member for itself.
    void add(const FamilyReport& family) {
        if (arguments_.as == "text" && !batch_kg_) {
            Page page{std::string(family.name), family_text(family, text_options_)};
            if (!pages_.empty() && arguments_.into.empty())
                page.text.insert(0, "\n");
            pages_.push_back(std::move(page));
            return;
        }
        for (const FamilyReport::Member& member : family.members)
            add(member.report);
    }

    ExitCode write() const {
        if (arguments_.into.empty() || arguments_.into == "-") {
            const bool alone = arguments_.as == "card" || arguments_.as == "svg";
            if (alone && pages_.size() > 1) {
                say(fmt::format("error: only one glaze fits on stdout as {}: name one, as in "
                                "FILE:{}, or write files with --into DIR",
                                arguments_.as, pages_.front().name));
                return ExitCode::usage;
            }
            std::vector<std::string_view> texts;
            for (const Page& page : pages_)
                texts.push_back(page.text);
            return print(texts);
        }
        OutputFolder folder(tidy_path(arguments_.into));
        const auto form = std::find(std::begin(forms), std::end(forms), arguments_.as);
        for (const Page& page : pages_) {
            const std::string name =
                page.name + ".glaze" + std::string(endings[form - std::begin(forms)]);
            if (!folder.write(name, page.text))
                break;
        }
        if (!folder.commit()) {
            say(fmt::format("error: {}", visible(folder.problem())));
            return ExitCode::unreadable;
        }
        if (!arguments_.reading.quiet) {
            for (const std::string& file : folder.written())
                say(fmt::format("Wrote {}", visible(file)));
        }
        return ExitCode::well;
    }

  private:
    const GlazeArguments& arguments_;
    std::optional<double> batch_kg_;
    GlazeTextOptions text_options_;
    std::vector<Page> pages_;
};

ExitCode run_glaze(const GlazeArguments& arguments) {
    std::optional<double> batch_kg;
    if (!arguments.batch.empty()) {
        batch_kg = read_mass_kg(arguments.batch);
        if (!batch_kg) {
            say(fmt::format("error: --batch takes a weight such as 5kg or 10lb, not `{}`",
                            visible(arguments.batch)));
            return ExitCode::usage;
        }
    }
    Reading reading = read_program(arguments.reading, Picked::glazes);
    if (exit_code(reading) != ExitCode::well) {
        report(reading, arguments.reading);
        return exit_code(reading);
    }
    if (asked_backwards(arguments.backwards)) {
        report(reading, arguments.reading);
        return work_backwards(reading, arguments.backwards, arguments.as);
    }
    const Program& program = reading.compilation->program();
    Glazes glazes(arguments, batch_kg);
    const Chemistry& chemistry = reading.compilation->context().ceramics.chemistry();
    for (DeclarationId id : reading.glazes) {
        const Profile& profile = program.profiles[program.declarations[id].profile];
        if (profile.family == none) {
            glazes.add(report_on_glaze(program, chemistry, profile));
        } else {
            glazes.add(report_on_family(program, chemistry, profile));
        }
    }
    report(reading, arguments.reading);
    if (reading.glazes.empty()) {
        say(fmt::format("There is nothing to show: no glaze with a recipe is declared in {}.",
                        describe(reading.inputs)));
        return ExitCode::errors;
    }
    return glazes.write();
}

} // namespace

std::function<ExitCode()> prepare_glaze(Arguments& arguments) {
    const auto options = std::make_shared<GlazeArguments>();
    declare(arguments, options->reading, "Whose glazes to show; FILE:NAME for one of them", true);
    arguments.choice("--as", options->as, forms, "What to make (text)");
    arguments.value("--into", options->into, "DIR", "Write files into this folder",
                    Arguments::Option::Value::folder);
    arguments.value("--batch", options->batch, "5kg",
                    "A sheet to weigh by, for so much dry glaze, the additions in it");
    declare(arguments, options->backwards);
    arguments.number("--width", options->width, 60, 1000, "Columns (those of the terminal, or 80)");
    arguments.flag("--plain", options->reading.plain, "Simple signs only, no colours");
    arguments.example("fettle glaze glazes.fettle", "every glaze of a file");
    arguments.example("fettle glaze glazes.fettle:ash_blue --batch 5kg", "a sheet to weigh by");
    arguments.example("fettle glaze glazes.fettle --as card --into cards", "a page of each");
    arguments.example("fettle glaze glazes.fettle --make \"0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2\" "
                      "--from spar,whiting,kaolin,quartz",
                      "a recipe for a unity formula");
    arguments.example("fettle glaze glazes.fettle:ash_blue --replace whiting --by wollastonite",
                      "the same formula from another material");
    return [options] { return run_glaze(*options); };
}

} // namespace fettle
