#include "compiler/lowering/compile_firing.h"

#include "compiler/lowering/curve_questions.h"
#include "compiler/lowering/expectations.h"
#include "compiler/lowering/lower.h"
#include "compiler/lowering/own_times.h"
#include "compiler/lowering/stored.h"
#include "compiler/lowering/table.h"
#include "compiler/meaning/instantiate.h"

#include <cmath>

namespace fettle {
namespace {

std::size_t field_of(Holder holder, std::string_view name) {
    return static_cast<std::size_t>(field::at(holder, name));
}

double tidy(double value) {
    return std::round(value * 1e9) / 1e9;
}

NamedProfile named(const Program& program, const Value& value) {
    if (!value.is(ValueKind::profile))
        return {};
    const Profile& profile = program.profiles[value.index];
    return {program.name(program.declarations[profile.declaration].name), profile.title};
}

void fill_ware(const Program& program, const FiringWare& from, WareGroup& to, KeptTexts& kept) {
    to.name = from.name;
    to.body = named(program, from.fields[field_of(Holder::ware, "body")]);
    to.glaze = named(program, from.fields[field_of(Holder::ware, "glaze")]);
    const auto number = [&](std::string_view name, double factor) -> std::optional<double> {
        const Value& value = from.fields[field_of(Holder::ware, name)];
        if (!value.known())
            return std::nullopt;
        return tidy(value.number * factor);
    };
    to.thickness_mm = number("thickness", 1000);
    to.moisture = number("moisture", 1);
    to.mass_kg = number("mass", 1);
    const Value& shelf = from.fields[field_of(Holder::ware, "shelf")];
    if (shelf.is(ValueKind::text))
        to.shelf = shelf.as_text();
    const Value& state = from.fields[field_of(Holder::ware, "state")];
    if (state.is(ValueKind::choice))
        to.state = program.name(state.index);
    const Value& bisqued = from.fields[field_of(Holder::ware, "bisqued")];
    if (bisqued.known())
        to.bisqued = kept.keep(print_value(program, bisqued, Types::cone));
}

void fill_accept(const Firing& firing, FiringDocument& document) {
    for (const FiringAccept& from : firing.accept) {
        AcceptItem item;
        switch (from.kind) {
        case AcceptKind::peak:
            item.kind = "peak";
            item.tolerance = tidy(from.tolerance);
            item.unit = "C";
            break;
        case AcceptKind::soak:
            item.kind = "soak";
            item.value = from.value;
            item.tolerance = tidy(from.tolerance);
            item.unit = "s";
            break;
        case AcceptKind::witness:
            item.kind = "witness";
            item.cone = document.kept.keep(cone_name(from.value));
            item.shelf = from.shelf;
            break;
        case AcceptKind::duration:
            item.kind = "duration";
            item.tolerance = from.tolerance;
            item.unit = "s";
            break;
        }
        document.accept.push_back(item);
    }
}

// Peak and duration are those of the schedule, so that a log can be judged against a number.
void fill_accept_values(const Schedule& schedule, FiringDocument& document) {
    const Curve curve(schedule, Estimates::use, Naming::no);
    for (AcceptItem& item : document.accept) {
        if (item.kind == "peak")
            item.value = curve.peak().value;
        if (item.kind == "duration")
            item.value = curve.duration().value;
    }
}

void fill_heat_work(const ConeReading& reading, const ConeScale& scale, FiringDocument& document) {
    if (reading.complete) {
        document.heat_work.cone =
            document.kept.keep(cone_name(scale.cones[*reading.complete].cone));
    }
    if (reading.next) {
        document.heat_work.next_cone =
            document.kept.keep(cone_name(scale.cones[*reading.next].cone));
        document.heat_work.fraction_to_next = std::round(reading.fraction_to_next * 1000) / 1000;
    }
}

void fill_cones_after(const ConeScale& scale, const Schedule& schedule, FiringDocument& document) {
    HeatWork heat_work(scale);
    std::optional<std::size_t> shown;
    std::vector<HeatStretch> stretches;
    for (const Segment& segment : schedule.segments) {
        stretches.clear();
        append_table_stretches(segment, stretches);
        for (const HeatStretch& stretch : stretches)
            heat_work.add(stretch);
        const ConeReading reading = heat_work.reading();
        document.cones_after.push_back(
            !reading.complete ? std::string_view{}
            : reading.complete == shown
                ? document.cones_after.back()
                : document.kept.keep(cone_name(scale.cones[*reading.complete].cone)));
        shown = reading.complete;
    }
}

void fill_document(const CompileContext& context, CompiledFiring& result) {
    const Program& program = context.program;
    const Firing& firing = result.firing;
    FiringDocument& document = result.document;
    document.compiler_version = context.compiler_version;
    document.source = context.origin;
    document.name = firing.name;
    document.title = firing.title;
    document.about = firing.about;
    if (firing.template_ != none) {
        document.template_name = program.name(program.declarations[firing.template_].name);
    }
    for (const FiringArgument& argument : firing.arguments) {
        document.arguments.push_back({program.name(argument.name), argument.value});
    }
    for (const FiringWare& ware : firing.ware) {
        fill_ware(program, ware, document.load.emplace_back(), document.kept);
    }
    if (!firing.is_load) {
        document.body = document.load[0].body;
        document.glaze = document.load[0].glaze;
    }
    if (firing.kiln != none) {
        const Profile& kiln = program.profiles[firing.kiln];
        document.kiln = named(program, Value::indexed(ValueKind::profile, firing.kiln));
        document.controller = named(program, kiln.fields[field_of(Holder::kiln, "controller")]);
        const Value& fuel = kiln.fields[field_of(Holder::kiln, "fuel")];
        if (fuel.is(ValueKind::choice)) {
            const std::string_view word = program.name(fuel.index);
            document.fuel = word == "electric" ? Fuel::electric
                            : word == "gas"    ? Fuel::gas
                                               : Fuel::wood;
        }
    }
    if (context.controller != none)
        document.controller =
            named(program, Value::indexed(ValueKind::profile, context.controller));
    for (const FiringConfirm& confirm : firing.confirmations) {
        document.confirms.push_back({confirm.text, confirm.by});
    }
    document.schedule = &result.schedule;
    fill_accept(firing, document);
    fill_accept_values(result.schedule, document);
    const ConeScale& scale = context.ceramics.shelf_cones();
    result.reading = reading_of_schedule(context.ceramics, result.schedule);
    fill_heat_work(result.reading, scale, document);
    if (context.cones_after_each_segment)
        fill_cones_after(scale, result.schedule, document);
    if (context.what_to_expect)
        fill_expectations(scale, result.reading, document);
}

bool complete(const CompileContext& context, CompiledFiring& result, Diagnostics& diagnostics) {
    result.fault.clear();
    if (!result.firing.ok)
        return false;
    const std::size_t before = diagnostics.count(Level::error);
    if (!lower(context.program, context.ceramics, result.firing, result.schedule, result.made_by,
               diagnostics)) {
        return false;
    }
    estimate_own_times(context.program, result.firing, result.schedule);
    fill_document(context, result);
    result.document.checks =
        check_rules(context.program, context.ceramics, context.rules, result.firing,
                    result.schedule, result.made_by, result.reading, result.document.kept,
                    diagnostics, context.rule_words, context.controller);
    report_fast_climbs(context.program, result.firing, result.schedule, result.made_by,
                       result.document.checks, diagnostics);
    fill_steps(context, result, diagnostics);
    if (context.controller == none)
        check_stored(context.program, result, diagnostics);
    result.ok = result.fault.empty() && diagnostics.count(Level::error) == before;
    return result.ok;
}

} // namespace

bool compile_firing(const CompileContext& context, DeclarationId firing, CompiledFiring& result,
                    Diagnostics& diagnostics) {
    result.ok = false;
    result.document = FiringDocument{};
    instantiate(context.program, context.ceramics, firing, result.firing, diagnostics);
    return complete(context, result, diagnostics);
}

bool compile_template(const CompileContext& context, DeclarationId template_,
                      std::span<const Value> arguments, CompiledFiring& result,
                      Diagnostics& diagnostics) {
    result.ok = false;
    result.document = FiringDocument{};
    instantiate_template(context.program, context.ceramics, template_, arguments, "this firing",
                         result.firing, diagnostics);
    return complete(context, result, diagnostics);
}

} // namespace fettle
