#include "compiler/output/judgement.h"

#include "compiler/output/judgement_words.h"
#include "compiler/output/log_words.h"
#include "compiler/output/page.h"
#include "compiler/output/phrases.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

void put_heading(Page& page, std::string_view text) {
    page.blank();
    page.line(text, Ink::strong);
}

std::string log_line(const JudgedFiring& judged) {
    const LogReading& reading = *judged.reading;
    std::string text = fmt::format("{}, `{}`: {} readings over {}", judged.log_name,
                                   reading.sensors[judged.sensor].name, reading.rows,
                                   print_duration(std::round(reading.time_s.back() / 60) * 60));
    if (reading.first_date_s)
        text += fmt::format(", from {}", printed_date(*reading.first_date_s));
    return text;
}

void put_log(Page& page, const JudgedFiring& judged, const ShowOptions& options) {
    page.paragraph(2, "log    ", log_line(judged));
    for (const LogAssumption& assumption : judged.reading->assumptions)
        page.paragraph(2, "       taken: ", describe(assumption, *judged.reading));
    for (const LogProblem& problem : judged.reading->problems)
        page.paragraph(2, "       note:  ", describe(problem, *judged.reading));
    for (const std::string& line : whole_lines(judged, options.scale))
        page.paragraph(2, "       ", line);
}

Ink ink_of(Verdict verdict) {
    return verdict == Verdict::fail          ? Ink::error
           : verdict == Verdict::cannot_tell ? Ink::caution
                                             : Ink::plain;
}

void put_acceptance(Page& page, const JudgedFiring& judged, const ShowOptions& options) {
    put_heading(page, "Was it the firing we asked for?");
    page.paragraph(2, "", overall_line(judged));
    for (const AcceptanceVerdict& verdict : judged.judgement.acceptance)
        page.paragraph(2, fmt::format("{:<11}", to_word(verdict.verdict)),
                       verdict_line(judged, verdict, options.scale), ink_of(verdict.verdict));
}

std::string rounded_time(std::optional<double> seconds) {
    return seconds ? print_duration(std::round(*seconds / 60) * 60) : "-";
}

void put_phases(Page& page, const JudgedFiring& judged, const ShowOptions& options) {
    const Schedule& schedule = *judged.document->schedule;
    put_heading(page, "Phase by phase");
    page.line(fmt::format("  {:<18}{:>9}{:>9}{:>9}   {}", "phase", "asked", "real", "hottest",
                          "heat work at its end"),
              Ink::faint);
    for (const PhaseJudgement& phase : judged.judgement.phases) {
        const bool there = phase.end != PieceEnd::not_begun && phase.to_s > phase.from_s;
        page.line(fmt::format(
            "  {}{:>9}{:>9}{:>9}   {}",
            left_in(shortened(one_line(schedule.phases[phase.phase].name), 17, page.ascii()), 18),
            rounded_time(phase.asked_s), there ? rounded_time(phase.to_s - phase.from_s) : "-",
            there ? print_temperature(phase.highest_c, options.scale) : "-",
            there ? cone_words(phase.heat, *judged.scale) : "not in the log"));
        for (std::size_t i = 0; i < schedule.segments.size(); ++i) {
            if (schedule.segments[i].phase == phase.phase && there)
                page.paragraph(4, "", segment_line(judged, i, options.scale), Ink::faint);
        }
    }
}

void put_shelves(Page& page, const JudgedFiring& judged, const ShowOptions& options) {
    put_heading(page, "Heat work");
    page.paragraph(
        2, "",
        fmt::format("By the sensor: {}, peak {}.", cone_words(judged.judgement.heat, *judged.scale),
                    print_temperature(judged.judgement.alignment.peak_c, options.scale)));
    for (const ShelfHeat& shelf : judged.judgement.shelves)
        page.paragraph(2, "By the cones of ", shelf_line(judged, shelf, options.scale));
    if (!judged.judgement.shelves.empty())
        page.paragraph(2, "",
                       "Where they differ, the cones are right: they stood beside the ware.");
}

void put_next_time(Page& page, const JudgedFiring& judged, const ShowOptions& options) {
    const std::vector<std::string> lines = next_time_lines(judged, options.scale);
    if (lines.empty())
        return;
    put_heading(page, "Next time");
    for (const std::string& line : lines)
        page.paragraph(2, "", line);
    if (!judged.edit_note.empty())
        page.paragraph(2, "", judged.edit_note);
    std::string_view rest = judged.edit_difference;
    if (!rest.empty())
        page.blank();
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find('\n'), rest.size());
        page.line(fmt::format("    {}", one_line(rest.substr(0, end))));
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
}

void put_inquests(Page& page, const JudgedFiring& judged, const ShowOptions& options) {
    for (const Inquest& inquest : judged.inquests) {
        put_heading(page, fmt::format("What may be behind it: {}", inquest.defect));
        page.paragraph(2, "", inquest_caution);
        for (std::size_t i = 0; i < inquest.causes.size(); ++i) {
            const Cause& cause = inquest.causes[i];
            page.paragraph(2, fmt::format("{}. ", i + 1),
                           fmt::format("{} ({})", cause.cause, likelihood(cause)));
            for (const std::string& line : evidence_lines(cause))
                page.paragraph(5, "", line, Ink::faint);
            page.paragraph(5, "next time: ", cause.remedy);
        }
    }
    static_cast<void>(options);
}

} // namespace

std::string judgement_text(const JudgedFiring& judged, const ShowOptions& options) {
    Page page(std::max<std::size_t>(options.width, 60), options.plain, options.colour);
    const FiringDocument& document = *judged.document;
    const std::string name = one_line(document.name);
    if (document.title.empty())
        page.line(shortened(name, page.width(), page.ascii()), Ink::strong);
    else
        page.two_ends(one_line(document.title), name, Ink::strong);
    page.blank();
    put_log(page, judged, options);
    put_acceptance(page, judged, options);
    put_phases(page, judged, options);
    put_shelves(page, judged, options);
    put_next_time(page, judged, options);
    put_inquests(page, judged, options);
    return std::move(page).take();
}

} // namespace fettle
