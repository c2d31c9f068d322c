#include "compiler/judging/judge_firing.h"

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

std::vector<AcceptanceItem> acceptance_of(const FiringDocument& document) {
    constexpr std::pair<std::string_view, AcceptanceKind> kinds[] = {
        {"peak", AcceptanceKind::peak},
        {"soak", AcceptanceKind::soak},
        {"witness", AcceptanceKind::witness},
        {"duration", AcceptanceKind::duration}};
    std::vector<AcceptanceItem> items;
    for (const AcceptItem& from : document.accept) {
        AcceptanceItem item{.value = from.value.value_or(0),
                            .tolerance = from.tolerance.value_or(0),
                            .shelf = std::string(from.shelf)};
        for (const auto& [word, kind] : kinds) {
            if (from.kind == word)
                item.kind = kind;
        }
        if (item.kind == AcceptanceKind::witness)
            item.value = parse_cone(from.cone).value_or(0);
        items.push_back(std::move(item));
    }
    return items;
}

// The cone that is asked for: by a witness, by the climb to the top, or the last one complete.
std::optional<double> cone_asked(const JudgedFiring& judged) {
    for (const AcceptanceItem& item : judged.acceptance) {
        if (item.kind == AcceptanceKind::witness)
            return item.value;
    }
    const Schedule& schedule = *judged.document->schedule;
    if (const auto top = top_of(schedule)) {
        if (const auto cone = parse_cone(schedule.segments[top->climb].to_cone))
            return cone;
        if (top->soak) {
            if (const auto cone = parse_cone(schedule.segments[*top->soak].to_cone))
                return cone;
        }
    }
    return parse_cone(judged.document->heat_work.cone);
}

// The shelf that a correction is for: the one a failed witness names, else the one whose heat work
// is furthest from what was asked.
const ShelfHeat* shelf_to_correct(const JudgedFiring& judged) {
    const auto usable = [](const ShelfHeat& shelf) { return shelf.known && !shelf.contradictory; };
    for (const AcceptanceVerdict& verdict : judged.judgement.acceptance) {
        if (judged.acceptance[verdict.item].kind != AcceptanceKind::witness)
            continue;
        for (const ShelfHeat& shelf : judged.judgement.shelves) {
            const bool named =
                !judged.acceptance[verdict.item].shelf.empty() || verdict.verdict == Verdict::fail;
            if (named && usable(shelf) && shelf.shelf == verdict.shelf && verdict.look)
                return &shelf;
        }
    }
    const ShelfHeat* furthest = nullptr;
    for (const ShelfHeat& shelf : judged.judgement.shelves) {
        const auto off = [&](const ShelfHeat& of) {
            return std::fabs(cones_past(of.heat, *judged.asked_cone, *judged.scale));
        };
        if (usable(shelf) && (furthest == nullptr || off(shelf) > off(*furthest)))
            furthest = &shelf;
    }
    return furthest;
}

void propose(JudgedFiring& judged) {
    if (!judged.asked_cone)
        return;
    const Schedule& schedule = *judged.document->schedule;
    const ShelfHeat* shelf = shelf_to_correct(judged);
    if (shelf == nullptr && !judged.judgement.shelves.empty())
        return; // cones were read, and nothing can be made of them
    judged.next_by_sensor = shelf == nullptr;
    judged.next_shelf = shelf == nullptr ? "" : shelf->shelf;
    judged.next = correct(judged.judgement, schedule, *judged.scale, *judged.asked_cone,
                          shelf == nullptr ? 0 : shelf->best_k, shelf != nullptr);
    if (judged.next->choices.empty())
        return;
    for (const ShelfHeat& other : judged.judgement.shelves) {
        if (!other.known || other.contradictory)
            continue;
        judged.shelves_next.push_back(
            {other.shelf, other.heat,
             heat_next_time(judged.judgement, schedule, *judged.scale, *judged.next,
                            judged.next->choices.front(), other.best_k)});
    }
}

} // namespace

JudgedFiring judge_firing(const CompileContext& context, const CompiledFiring& firing,
                          const LogReading& reading, std::size_t sensor,
                          const UnloadingNotes& notes, const JudgingData& data) {
    JudgedFiring judged;
    judged.document = &firing.document;
    judged.scale = &context.ceramics.shelf_cones();
    judged.reading = &reading;
    judged.sensor = sensor;
    judged.acceptance = acceptance_of(firing.document);
    judged.judgement = judge({.schedule = &firing.schedule,
                              .reading = &reading,
                              .sensor = sensor,
                              .scale = judged.scale,
                              .acceptance = judged.acceptance,
                              .witnesses = notes.witnesses,
                              .looks = data.looks});
    judged.asked_cone = cone_asked(judged);
    if (!judged.judgement.alignment.looks_like_another)
        propose(judged);
    judged.measures = measure(context, firing, judged);
    for (const std::string& defect : notes.defects)
        judged.inquests.push_back(inquire(defect, data.causes, judged.measures));
    return judged;
}

} // namespace fettle
