#include "compiler/lowering/lower.h"

#include "compiler/lowering/slips.h"
#include "compiler/lowering/step_words.h"
#include "runtime/heatwork/cone_target.h"
#include "runtime/heatwork/heat_work.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr std::size_t most_segments = 10'000; // language limit
constexpr double same_temperature_k = 0.05;   // closer than this is "there already"
constexpr double hottest_sensible_c = 2100;   // above the last cone of the table
// A cone that follows a stretch of unknown time is refused when that stretch came this close to
// where the cone begins to work.
constexpr double close_to_range_k = 0;

// Binary noise of a division would show in outputs; a microsecond does not.
double clean(double value) {
    return std::round(value * 1e6) / 1e6;
}

double round_solved_c(double celsius) {
    return std::round(celsius * 10) / 10;
}

class Lowering {
  public:
    Lowering(const Program& program, const Ceramics& ceramics, const Firing& firing,
             Schedule& schedule, std::vector<std::uint32_t>& made_by, Diagnostics& diagnostics)
        : program_(program), ceramics_(ceramics), firing_(firing), schedule_(schedule),
          diagnostics_(diagnostics), words_(program, firing, diagnostics), made_by_(made_by),
          at_c_(firing.start_c) {}

    bool run() {
        schedule_ = Schedule{};
        schedule_.start_c = firing_.start_c;
        schedule_.delay_s = firing_.delay_s;
        schedule_.segments.reserve(firing_.steps.size());
        made_by_.clear();
        made_by_.reserve(firing_.steps.size());
        schedule_.phases.reserve(firing_.phases.size());
        for (const FiringPhase& phase : firing_.phases) {
            schedule_.phases.push_back({std::string(program_.name(phase.name)),
                                        std::string(phase.title), std::string(phase.about)});
        }
        if (firing_.kiln != none) {
            const Value& ceiling =
                program_.profiles[firing_.kiln]
                    .fields[static_cast<std::size_t>(field::at(Holder::kiln, "ceiling"))];
            if (ceiling.known())
                ceiling_c_ = ceiling.number;
        }
        if (firing_.start_c > hottest_sensible_c) {
            diagnostics_.report(DiagnosticKind::above_any_kiln, firing_.span,
                                fmt::format("{} would start at {}, hotter than any potter's kiln",
                                            firing_.name,
                                            print_temperature(firing_.start_c, Scale::celsius)));
            return false;
        }
        for (const Step& step : firing_.steps) {
            if (step.phase != phase_)
                close_phase();
            phase_ = step.phase;
            if (!add(step))
                return false;
        }
        return finish();
    }

  private:
    bool add(const Step& step) {
        if (step.waiting_within_k && !can_wait(step))
            return false;
        switch (step.kind) {
        case StepKind::climb: return climb(step);
        case StepKind::soak: return soak(step, step.amount, nullptr);
        case StepKind::soak_until: return soak_until(step);
        case StepKind::vent:
            state_.vent = static_cast<Vent>(static_cast<int>(step.amount));
            state_changed_ = true;
            pending_ = &step;
            return true;
        case StepKind::atmosphere:
            state_.atmosphere = static_cast<Atmosphere>(static_cast<int>(step.amount));
            state_changed_ = true;
            pending_ = &step;
            return true;
        case StepKind::set: {
            const std::string control(program_.name(step.control));
            const auto found = std::find_if(
                state_.settings.begin(), state_.settings.end(),
                [&](const ControlSetting& setting) { return setting.control == control; });
            if (found != state_.settings.end()) {
                found->value = step.text;
            } else {
                state_.settings.push_back({control, std::string(step.text)});
            }
            state_changed_ = true;
            pending_ = &step;
            return true;
        }
        case StepKind::note: notes_.emplace_back(step.text); return true;
        case StepKind::job: jobs_.emplace_back(step.text); return true;
        }
        return true;
    }

    // Without a kiln or a controller, or where its profile does not say, it is left to the reader.
    bool can_wait(const Step& step) {
        if (firing_.kiln == none)
            return true;
        const Profile& kiln = program_.profiles[firing_.kiln];
        const Value& controller =
            kiln.fields[static_cast<std::size_t>(field::at(Holder::kiln, "controller"))];
        if (!controller.is(ValueKind::profile))
            return true;
        const Profile& profile = program_.profiles[controller.index];
        const auto waits = static_cast<std::size_t>(field::at(Holder::controller, "waits"));
        if (!profile.fields[waits].is(ValueKind::yes_no) || profile.fields[waits].yes())
            return true;
        const std::uint32_t part = step.kind == StepKind::climb ? 3 : 1;
        words_
            .report(DiagnosticKind::waiting_needs_controller, step, words_.part_node(step, part),
                    fmt::format("the controller {} can't wait for the kiln: its clock runs on",
                                program_.name(program_.declarations[profile.declaration].name)))
            .mend("take `waiting within` out, and give the kiln more time instead")
            .note(profile.field_spans[waits], "the controller says so here");
        return false;
    }

    // --- segments ---

    bool push(const Step& step, SegmentKind kind, double to_c, std::optional<double> duration_s,
              std::string cone = {}) {
        if (schedule_.segments.size() == most_segments) {
            words_.report(DiagnosticKind::too_many_segments, step, none,
                          fmt::format("{} has more than {} segments", firing_.name, most_segments));
            return false;
        }
        made_by_.push_back(static_cast<std::uint32_t>(&step - firing_.steps.data()));
        Segment& segment = schedule_.segments.emplace_back();
        segment.kind = kind;
        segment.from_c = at_c_;
        segment.to_c = to_c;
        if (duration_s)
            segment.duration_s = clean(*duration_s);
        segment.waiting_within_k = step.waiting_within_k;
        segment.to_cone = std::move(cone);
        segment.phase = step.phase;
        segment.state = current_state();
        segment.notes = std::move(notes_);
        segment.jobs = std::move(jobs_);
        notes_.clear();
        jobs_.clear();
        trail_into(step.trail, segment.trail);
        if (to_c != at_c_)
            since_ = step.trail;
        at_c_ = to_c;
        pending_ = nullptr;
        return true;
    }

    std::uint32_t current_state() {
        if (schedule_.states.empty() || state_changed_) {
            const auto found = std::find(schedule_.states.begin(), schedule_.states.end(), state_);
            state_index_ = static_cast<std::uint32_t>(found - schedule_.states.begin());
            if (found == schedule_.states.end())
                schedule_.states.push_back(state_);
            state_changed_ = false;
        }
        return state_index_;
    }

    void trail_into(std::uint32_t trail, std::vector<Origin>& into) {
        std::size_t depth = 0;
        for (std::uint32_t at = trail; at != none; at = firing_.trail[at].outer)
            ++depth;
        into.reserve(depth);
        for (std::uint32_t at = trail; at != none; at = firing_.trail[at].outer) {
            into.push_back(origin_of(at));
        }
    }

    // The outer lines are those of many segments, and looked up once.
    Origin origin_of(std::uint32_t trail) {
        if (origins_.size() < firing_.trail.size())
            origins_.resize(firing_.trail.size());
        Origin& origin = origins_[trail];
        if (origin.line == 0) {
            const TrailFrame& frame = firing_.trail[trail];
            const Span span = program_.span(frame.module, frame.node);
            origin = {file_index(span.file), (*program_.sources)[span.file].line_of(span.begin)};
        }
        return origin;
    }

    std::uint32_t file_index(FileId file) {
        const auto found = std::find(files_.begin(), files_.end(), file);
        if (found != files_.end())
            return static_cast<std::uint32_t>(found - files_.begin());
        files_.push_back(file);
        schedule_.files.push_back((*program_.sources)[file].path());
        return static_cast<std::uint32_t>(files_.size() - 1);
    }

    // --- climbs and falls ---

    bool climb(const Step& step) {
        if (!check_amount(step))
            return false;
        if (step.target.is(ValueKind::cone))
            return climb_to_cone(step);
        double to_c = step.target.number;
        if (step.by) {
            if (!(step.target.number > 0)) {
                words_.report(
                    DiagnosticKind::not_positive, step, words_.target_node(step),
                    fmt::format("`by` takes a difference above zero; the word {} says which way",
                                step.cooling ? "`cool`" : "`ramp`"));
                return false;
            }
            to_c = step.cooling ? at_c_ - step.target.number : at_c_ + step.target.number;
        }
        to_c = clean(to_c);
        if (!check_target(step, to_c))
            return false;
        const double change = to_c - at_c_;
        if (std::abs(change) < same_temperature_k) {
            Diagnostic& d =
                words_.report(DiagnosticKind::already_there, step, none,
                              fmt::format("the firing is at {} already, so this makes no segment",
                                          words_.temperature(at_c_, step)));
            note_since(d);
        } else if ((change < 0) != step.cooling) {
            return wrong_direction(step, to_c);
        } else if (!push_climb(step, to_c)) {
            return false;
        }
        return !step.with_soak_s || soak(step, *step.with_soak_s, nullptr);
    }

    bool push_climb(const Step& step, double to_c) {
        switch (step.how) {
        case How::rate:
            return push(step, SegmentKind::ramp, to_c, std::abs(to_c - at_c_) / step.amount);
        case How::over: return push(step, SegmentKind::ramp, to_c, step.amount);
        case How::full: return push(step, SegmentKind::full, to_c, std::nullopt);
        case How::freely: return push(step, SegmentKind::free, to_c, std::nullopt);
        case How::opened: return push(step, SegmentKind::opened, to_c, std::nullopt);
        }
        return false;
    }

    bool check_amount(const Step& step) {
        if (step.with_soak_s && !(*step.with_soak_s > 0)) {
            words_.report(DiagnosticKind::not_positive, step, words_.part_node(step, 2),
                          fmt::format("a soak of {} is no soak",
                                      print(Quantity{*step.with_soak_s, dimension::duration,
                                                     step.unit_of_soak})));
            return false;
        }
        if (step.how != How::rate && step.how != How::over)
            return true;
        if (step.amount > 0 && std::isfinite(step.amount))
            return true;
        const NodeId how = words_.part_node(step, 1);
        if (step.how == How::over) {
            words_.report(
                DiagnosticKind::not_positive, step, how,
                fmt::format("a step over {} takes no time",
                            print(Quantity{step.amount, dimension::duration, step.unit})));
            return false;
        }
        const std::string rate = print(Quantity{step.amount, dimension::rate, step.unit});
        Diagnostic& d =
            words_.report(DiagnosticKind::not_positive, step, how,
                          step.amount < 0 ? fmt::format("the rate {} is below zero", rate)
                                          : fmt::format("a rate of {} goes nowhere", rate));
        d.mend(step.cooling ? "write the rate without a minus; `cool` says which way"
                            : "write a rate above zero, such as 100C/h");
        return false;
    }

    bool check_target(const Step& step, double to_c) {
        if (!step.cooling && ceiling_c_ && to_c > *ceiling_c_ + 1e-6) {
            const Profile& kiln = program_.profiles[firing_.kiln];
            const Declaration& declaration = program_.declarations[kiln.declaration];
            Diagnostic& d = words_.report(
                DiagnosticKind::above_ceiling, step, words_.target_node(step),
                fmt::format("{} is above the ceiling of {}, {}", words_.temperature(to_c, step),
                            program_.name(declaration.name),
                            words_.temperature(*ceiling_c_, step)));
            d.note(kiln.field_spans[static_cast<std::size_t>(field::at(Holder::kiln, "ceiling"))],
                   "its ceiling is given here");
            if (looks_like_fahrenheit(to_c))
                mend_scale(d, step, to_c);
            return false;
        }
        if (to_c > hottest_sensible_c) {
            Diagnostic& d = words_.report(
                DiagnosticKind::above_any_kiln, step, words_.target_node(step),
                fmt::format("no potter's kiln reaches {}", words_.temperature(to_c, step)));
            if (looks_like_fahrenheit(to_c))
                mend_scale(d, step, to_c);
            return false;
        }
        if (to_c < -60) {
            words_.report(
                DiagnosticKind::above_any_kiln, step, words_.target_node(step),
                fmt::format("no kiln stands where it is {}", words_.temperature(to_c, step)));
            return false;
        }
        return true;
    }

    void mend_scale(Diagnostic& d, const Step& step, double c) {
        const NodeId node = words_.target_node(step);
        const Module& module = words_.module_of(step);
        const std::string text = fmt::format("{}F", print_number(c));
        if (module.tree[node].kind == NodeKind::quantity) {
            d.mend(fmt::format("{} is {}: write `{}` if that is meant", text,
                               print_temperature(from_scale(c, Scale::fahrenheit), Scale::celsius),
                               text),
                   module.span(node), text);
        }
    }

    bool wrong_direction(const Step& step, double to_c) {
        const Module& module = words_.module_of(step);
        const NodeId node = firing_.trail[step.trail].node;
        const Span whole = module.span(node);
        const std::string_view word = step.cooling ? "cool" : "ramp";
        Diagnostic& d = words_.report(
            DiagnosticKind::wrong_direction, step, none,
            fmt::format("`{}` {}, but the firing is at {} here, and {} is {}", word,
                        step.cooling ? "falls" : "climbs", words_.temperature(at_c_, step),
                        words_.temperature(to_c, step), step.cooling ? "hotter" : "cooler"));
        note_since(d);
        const Span word_span{whole.file, whole.begin,
                             whole.begin + static_cast<std::uint32_t>(word.size())};
        if (!step.by && program_.sources->text(word_span) == word &&
            (step.how == How::rate || step.how == How::over)) {
            const std::string other = step.cooling ? "ramp" : "cool";
            d.mend(fmt::format("write `{}` if that is meant", other), word_span, other);
        }
        return false;
    }

    // --- soaks ---

    bool soak(const Step& step, double duration_s, const std::string* cone) {
        if (!(duration_s > 0) || !std::isfinite(duration_s)) {
            words_.report(DiagnosticKind::not_positive, step, words_.part_node(step, 0),
                          fmt::format("a soak of {} is no soak",
                                      print(Quantity{duration_s, dimension::duration, step.unit})));
            return false;
        }
        return push(step, SegmentKind::soak, at_c_, duration_s, cone ? *cone : std::string{});
    }

    // --- cones ---

    const ConeKinetics* kinetics(const Step& step) {
        const ConeKinetics* cone = ceramics_.shelf_cones().find(step.target.number);
        if (cone == nullptr) {
            Diagnostic& d = words_.report(
                DiagnosticKind::cone_out_of_reach, step, words_.target_node(step),
                fmt::format("no figures are known for cone {}", cone_name(step.target.number)));
            if (!ceramics_.spoilt_by().empty())
                d.note("the table of cones is spoilt: " + ceramics_.spoilt_by());
        }
        return cone;
    }

    // The heat work of the cone so far; nothing when a stretch of unknown time came too close.
    std::optional<double> work_so_far(const Step& step, const ConeKinetics& cone) {
        const KnownStretches known = stretches_of(schedule_);
        if (known.unknown > 0 && known.hottest_unknown_c > onset_c(cone) - close_to_range_k) {
            words_
                .report(DiagnosticKind::cone_after_unknown, step, words_.target_node(step),
                        fmt::format(
                            "cone {} can't be worked out here: before it the kiln goes up to {} in "
                            "its own time, where the cone is at work already",
                            cone_name(cone.cone),
                            words_.temperature(known.hottest_unknown_c, step)))
                .mend(fmt::format("climb at a rate from {} on",
                                  words_.temperature(std::floor(onset_c(cone) / 10) * 10, step)));
            return std::nullopt;
        }
        return work(cone, known.stretches);
    }

    bool climb_to_cone(const Step& step) {
        if (step.how != How::rate && step.how != How::over) {
            words_
                .report(DiagnosticKind::cone_after_unknown, step, words_.part_node(step, 1),
                        fmt::format("when cone {} falls depends on how fast the kiln climbs, which "
                                    "`at full` leaves to the kiln",
                                    cone_name(step.target.number)))
                .mend("give a rate for the last hundred degrees");
            return false;
        }
        const ConeKinetics* cone = kinetics(step);
        if (cone == nullptr)
            return false;
        const auto before = work_so_far(step, *cone);
        if (!before)
            return false;
        const double rate_k_per_h = step.amount * 3600;
        ConeTarget target;
        if (step.how == How::over) {
            target = solve_ramp_target_over(*cone, at_c_, step.amount, *before);
        } else if (step.with_soak_s) {
            target =
                solve_ramp_target_with_soak(*cone, at_c_, rate_k_per_h, *step.with_soak_s, *before);
        } else {
            target = solve_ramp_target(*cone, at_c_, rate_k_per_h, *before);
        }
        if (target.outcome != TargetOutcome::solved)
            return explain_failure(step, *cone, target);
        const double to_c = round_solved_c(target.temperature_c);
        if (!check_cone_ceiling(step, *cone, to_c))
            return false;
        if (target.extrapolated)
            report_extrapolated(step, *cone);
        const std::string name = cone_name(step.target.number);
        if (to_c - at_c_ >= same_temperature_k) {
            const double duration_s =
                step.how == How::over ? step.amount : (to_c - at_c_) / step.amount;
            if (!push(step, SegmentKind::ramp, to_c, duration_s,
                      step.with_soak_s ? std::string{} : name)) {
                return false;
            }
        }
        return !step.with_soak_s || soak(step, *step.with_soak_s, &name);
    }

    bool check_cone_ceiling(const Step& step, const ConeKinetics& cone, double to_c) {
        if (!ceiling_c_ || to_c <= *ceiling_c_ + 1e-6)
            return true;
        Diagnostic& d = words_.report(
            DiagnosticKind::above_ceiling, step, words_.target_node(step),
            fmt::format("cone {} would fall at {} here, above the ceiling of the kiln, {}",
                        cone_name(cone.cone), words_.temperature(to_c, step),
                        words_.temperature(*ceiling_c_, step)));
        const ConeTarget stay = solve_soak_duration(cone, *ceiling_c_, 0);
        if (stay.outcome == TargetOutcome::solved) {
            d.note(fmt::format("at {} the cone would need {}",
                               words_.temperature(*ceiling_c_, step),
                               print_duration(std::round(stay.duration_s / 60) * 60)));
        }
        return false;
    }

    void report_extrapolated(const Step& step, const ConeKinetics& cone) {
        words_.report(DiagnosticKind::cone_extrapolated, step, words_.target_node(step),
                      fmt::format("cone {} is published for slower or faster climbs than this; its "
                                  "temperature here is carried on from them",
                                  cone_name(cone.cone)));
    }

    bool soak_until(const Step& step) {
        const ConeKinetics* cone = kinetics(step);
        if (cone == nullptr)
            return false;
        const auto before = work_so_far(step, *cone);
        if (!before)
            return false;
        const ConeTarget target = solve_soak_duration(*cone, at_c_, *before);
        if (target.outcome != TargetOutcome::solved)
            return explain_failure(step, *cone, target);
        constexpr double longest_soak_s = 24 * 3600.0;
        if (target.duration_s > longest_soak_s)
            return too_long(step, *cone, target);
        if (target.extrapolated)
            report_extrapolated(step, *cone);
        const std::string name = cone_name(step.target.number);
        return soak(step, std::max(1.0, std::round(target.duration_s)), &name);
    }

    bool too_long(const Step& step, const ConeKinetics& cone, const ConeTarget& target) {
        const ConeTarget hotter = solve_soak_temperature(cone, 2 * 3600.0, target.work_before);
        Diagnostic& d =
            words_.report(DiagnosticKind::cone_out_of_reach, step, words_.target_node(step),
                          fmt::format("at {} cone {} would need {}",
                                      words_.temperature(at_c_, step), cone_name(cone.cone),
                                      print_duration(std::round(target.duration_s / 3600) * 3600)));
        if (hotter.outcome == TargetOutcome::solved) {
            d.note(fmt::format("at {} it would need 2h",
                               words_.temperature(std::round(hotter.temperature_c), step)));
        }
        return false;
    }

    bool explain_failure(const Step& step, const ConeKinetics& cone, const ConeTarget& target) {
        const std::string name = cone_name(cone.cone);
        switch (target.outcome) {
        case TargetOutcome::already_complete: {
            Diagnostic& d =
                words_.report(DiagnosticKind::cone_already_complete, step, words_.target_node(step),
                              fmt::format("cone {} is complete before this step begins", name));
            const auto known = stretches_of(schedule_);
            if (const auto when = when_complete(cone, known.stretches)) {
                d.note(words_.span_of(firing_.steps[made_by_[when->stretch]]),
                       fmt::format("it falls in this step, after {}, at {}",
                                   print_duration(std::round(when->time_s / 60) * 60),
                                   words_.temperature(std::round(when->temperature_c), step)));
            }
            return false;
        }
        case TargetOutcome::complete_too_early: {
            Diagnostic& d = words_.report(
                DiagnosticKind::cone_already_complete, step, words_.target_node(step),
                fmt::format("cone {} would be complete before the end of this step, even without "
                            "climbing further",
                            name));
            if (target.right_duration_s > 0) {
                d.note(fmt::format("at {} it needs another {}", words_.temperature(at_c_, step),
                                   print_duration(std::round(target.right_duration_s / 60) * 60)));
            }
            return false;
        }
        default: {
            Diagnostic& d =
                words_.report(DiagnosticKind::cone_out_of_reach, step, words_.target_node(step),
                              fmt::format("cone {} is out of reach of this step", name));
            const ConeTarget hotter = solve_soak_temperature(cone, 2 * 3600.0, target.work_before);
            if (hotter.outcome == TargetOutcome::solved) {
                d.note(fmt::format("a soak of 2h at {} would complete it",
                                   words_.temperature(std::round(hotter.temperature_c), step)));
            }
            return false;
        }
        }
    }

    // --- the end ---

    bool finish() {
        if (pending_ != nullptr) {
            words_
                .report(DiagnosticKind::nothing_after, *pending_, none,
                        fmt::format("`{}` is set here, but no step comes after it",
                                    pending_->kind == StepKind::vent ? "vent"
                                    : pending_->kind == StepKind::atmosphere
                                        ? "atmosphere"
                                        : program_.name(pending_->control)))
                .mend("put it before the step that it is for, or take it out");
            return false;
        }
        close_phase();
        if (!check_phases())
            return false;
        report_slips(program_, ceramics_, firing_, schedule_, made_by_, diagnostics_);
        return true;
    }

    // What is said after the last segment of a phase belongs to that segment, not to the next
    // phase.
    void close_phase() {
        if (!schedule_.segments.empty() && schedule_.segments.back().phase == phase_) {
            Segment& last = schedule_.segments.back();
            for (std::string& note : notes_)
                last.notes.push_back(std::move(note));
            for (const std::string& job : jobs_)
                last.jobs.push_back("At the end: " + job);
            notes_.clear();
            jobs_.clear();
        }
    }

    // A phase that came to nothing (an empty `when`, only notes) would vanish from every output.
    bool check_phases() {
        std::vector<bool> has_segment(schedule_.phases.size());
        for (const Segment& segment : schedule_.segments)
            has_segment[segment.phase] = true;
        for (std::size_t i = 0; i < has_segment.size(); ++i) {
            if (has_segment[i])
                continue;
            const FiringPhase& phase = firing_.phases[i];
            const Module& module = program_.modules[phase.module];
            diagnostics_
                .report(DiagnosticKind::empty_phase, module.span(module.child(phase.node, 0)),
                        fmt::format("phase `{}` has no step in {}", program_.name(phase.name),
                                    firing_.name))
                .mend("give it a step, or take it out");
            return false;
        }
        return true;
    }

    // --- messages ---

    void note_since(Diagnostic& d) const {
        if (since_ == none) {
            d.note("that is where it starts");
            return;
        }
        const TrailFrame& frame = firing_.trail[since_];
        d.note(program_.span(frame.module, frame.node),
               fmt::format("it is at {} since here", print_temperature(at_c_, Scale::celsius, 1)));
    }

    const Program& program_;
    const Ceramics& ceramics_;
    const Firing& firing_;
    Schedule& schedule_;
    Diagnostics& diagnostics_;
    StepWords words_;
    std::vector<std::uint32_t>& made_by_; // of each segment: its step
    double at_c_;
    std::uint32_t since_ = none; // trail of the step that brought it there
    std::optional<double> ceiling_c_;
    KilnState state_;
    bool state_changed_ = false;
    std::uint32_t state_index_ = 0;
    const Step* pending_ = nullptr; // something set with no segment after it yet
    std::uint32_t phase_ = 0;
    std::vector<std::string> notes_, jobs_;
    std::vector<FileId> files_;
    std::vector<Origin> origins_; // by trail; line 0: not looked up yet
};

} // namespace

bool lower(const Program& program, const Ceramics& ceramics, const Firing& firing,
           Schedule& schedule, std::vector<std::uint32_t>& made_by, Diagnostics& diagnostics) {
    return Lowering(program, ceramics, firing, schedule, made_by, diagnostics).run();
}

} // namespace fettle
