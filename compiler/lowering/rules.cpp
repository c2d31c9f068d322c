#include "compiler/lowering/rules.h"

#include "compiler/lowering/curve_questions.h"
#include "compiler/source/edits.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace fettle {
namespace {

constexpr std::size_t ware_field_count = 8;

// The unit in which a check's numbers are given: one for each kind of quantity.
struct CheckUnit {
    TypeId type;
    std::string_view unit;
    double factor; // base units to this one
};
constexpr CheckUnit check_units[] = {
    {Types::temperature, "C", 1},   {Types::difference, "K", 1},
    {Types::rate, "C/h", 3600},     {Types::duration, "min", 1.0 / 60},
    {Types::length, "mm", 1000},    {Types::fraction, "%", 100},
    {Types::mass, "kg", 1},         {Types::power, "kW", 1e-3},
    {Types::pressure, "kPa", 1e-3}, {Types::number, "", 1},
};

double tidy(double value) {
    return std::round(value * 1e6) / 1e6;
}

class RuleRun {
  public:
    RuleRun(const Program& program, const Ceramics& ceramics, const Firing& firing,
            const Schedule& schedule, std::span<const std::uint32_t> made_by,
            const ConeReading& reading, KeptTexts& kept, Diagnostics& diagnostics,
            RuleWords rule_words, std::uint32_t controller)
        : program_(program), firing_(firing), made_by_(made_by), kept_(kept),
          diagnostics_(diagnostics),
          quick_(program, ceramics, schedule, reading, Naming::no, &firing),
          naming_(program, ceramics, schedule, reading, Naming::yes, &firing),
          evaluator_(program, ceramics, diagnostics, arena_), curve_(schedule, Estimates::use),
          ceramics_(ceramics), reading_(reading), rule_words_(rule_words), controller_(controller) {
    }

    std::vector<Check> run(const std::vector<PreparedRule>& rules, std::size_t shared_lets) {
        checks_.reserve(rules.size() * firing_.ware.size());
        for (const FiringWare& group : firing_.ware) {
            set_environment(group);
            shared_.assign(shared_lets, Value{});
            limits(group);
            for (const PreparedRule& each : rules)
                rule(each);
        }
        report_unknown();
        report_unneeded_waivers();
        return std::move(checks_);
    }

  private:
    void set_environment(const FiringWare& group) {
        group_ = &group;
        for (std::size_t i = 0; i < ware_field_count; ++i)
            environment_.ware[i] = group.fields[i];
        environment_.body = group.fields[ware("body")];
        environment_.glaze = group.fields[ware("glaze")];
        environment_.kiln =
            firing_.kiln == none ? Value{} : Value::indexed(ValueKind::profile, firing_.kiln);
        environment_.controller = {};
        if (controller_ != none) {
            environment_.controller = Value::indexed(ValueKind::profile, controller_);
        } else if (firing_.kiln != none) {
            const Value& controller = program_.profiles[firing_.kiln].fields[kiln_controller_];
            if (controller.known())
                environment_.controller = controller;
        }
        evaluator_.set_environment(&environment_);
    }

    static std::size_t ware(std::string_view name) {
        return static_cast<std::size_t>(field::at(Holder::ware, name));
    }

    // --- rules that are declared ---

    void rule(const PreparedRule& parts) {
        const Declaration& declaration = program_.declarations[parts.declaration];
        evaluator_.set_questions(&quick_);
        evaluator_.reset_budget();
        Value* frame = evaluator_.enter(declaration.frame_size);
        Check check;
        check.rule = program_.name(declaration.name);
        check.level = parts.level;
        put_off_lets(parts, frame);
        if (decide(declaration, parts, frame, check)) {
            // What holds needs no words, and most does.
            if (check.result == CheckResult::broken || check.result == CheckResult::unknown)
                words(declaration, parts, frame, check);
            else if (rule_words_ == RuleWords::of_all && check.result == CheckResult::holds)
                words_of_kept(declaration, parts, frame, check);
            finish(check, waivable(declaration, parts, frame));
        }
        keep_lets(parts, frame);
        evaluator_.leave(frame);
    }

    // Most rules do not apply, and most of their `let`s are never asked for.
    void put_off_lets(const PreparedRule& parts, Value* frame) {
        for (const PreparedLet& let : parts.lets) {
            const bool known = let.shared != none && shared_[let.shared].kind != ValueKind::nothing;
            frame[let.slot] =
                known ? shared_[let.shared] : Value::indexed(ValueKind::put_off, let.value);
        }
    }

    void keep_lets(const PreparedRule& parts, const Value* frame) {
        for (const PreparedLet& let : parts.lets) {
            if (let.shared != none && !frame[let.slot].is(ValueKind::put_off))
                shared_[let.shared] = frame[let.slot];
        }
    }

    bool waivable(const Declaration& rule, const PreparedRule& parts, Value* frame) {
        if (parts.waivable == none)
            return true;
        return evaluator_.evaluate(rule.module, parts.waivable, frame).yes();
    }

    // False: something in the rule is wrong, which was reported.
    bool decide(const Declaration& rule, const PreparedRule& parts, Value* frame, Check& check) {
        if (parts.applies != none) {
            const Value applies = evaluator_.evaluate(rule.module, parts.applies, frame);
            if (applies.is(ValueKind::poison))
                return false;
            if (applies.is(ValueKind::unknown))
                return unknown(check, applies);
            if (!applies.yes()) {
                check.result = CheckResult::not_applicable;
                return true;
            }
        }
        const Value holds = judge(rule.module, parts.check, frame, check);
        if (holds.is(ValueKind::poison))
            return false;
        if (holds.is(ValueKind::unknown))
            return unknown(check, holds);
        check.result = holds.yes() ? CheckResult::holds : CheckResult::broken;
        if (holds.yes())
            return true;
        // Once more, for the segments at fault.
        evaluator_.set_questions(&naming_);
        naming_.take_segments();
        judge(rule.module, parts.check, frame, check);
        check.segments = naming_.take_segments();
        evaluator_.set_questions(&quick_);
        return true;
    }

    // What a check is worth, with the two sides of the comparison that decides put into it: of
    // `a and b` the first that does not hold.
    Value judge(ModuleId id, NodeId node, Value* frame, Check& check) {
        const Module& module = program_.modules[id];
        while (module.tree[node].kind == NodeKind::paren)
            node = module.child(node, 0);
        if (module.tree[node].kind != NodeKind::binary) {
            if (module.tree[node].kind == NodeKind::within_range ||
                module.tree[node].kind == NodeKind::within_of) {
                side(id, module.child(node, 0), frame, check, check.found);
            }
            if (module.tree[node].kind == NodeKind::within_range)
                side(id, module.child(node, 1), frame, check, check.allowed);
            return evaluator_.evaluate(id, node, frame);
        }
        const auto op = static_cast<BinaryOp>(module.tree[node].flag);
        if (op == BinaryOp::and_ || op == BinaryOp::or_)
            return judge_both(id, node, op == BinaryOp::or_, frame, check);
        check.found = check.allowed = {};
        const Value left = side(id, module.child(node, 0), frame, check, check.found);
        const Value right = side(id, module.child(node, 1), frame, check, check.allowed);
        check.sense = op == BinaryOp::less || op == BinaryOp::less_equal ? Check::Sense::most
                      : op == BinaryOp::greater || op == BinaryOp::greater_equal
                          ? Check::Sense::least
                          : Check::Sense::other;
        return evaluator_.compare(id, node, op, left, right);
    }

    // `decides` is the answer that one side alone can give: no for `and`, yes for `or`.
    Value judge_both(ModuleId id, NodeId node, bool decides, Value* frame, Check& check) {
        const Module& module = program_.modules[id];
        const Value left = judge(id, module.child(node, 0), frame, check);
        if (left.is(ValueKind::yes_no) && left.yes() == decides)
            return left;
        naming_.take_segments(); // the left did not decide
        const Value right = judge(id, module.child(node, 1), frame, check);
        if (right.is(ValueKind::yes_no) && right.yes() == decides)
            return right;
        return left.is(ValueKind::yes_no) ? right : left;
    }

    bool unknown(Check& check, const Value& value) {
        check.result = CheckResult::unknown;
        missing_.push_back({describe_missing(program_, value), check.rule});
        missing_value_ = value;
        return true;
    }

    Value side(ModuleId id, NodeId node, Value* frame, Check& check, CheckValue& into) {
        const Value value = evaluator_.evaluate(id, node, frame);
        set_value(value, program_.modules[id].info[node].type, check, into);
        return value;
    }

    void set_value(const Value& value, TypeId type, Check& check, CheckValue& into) {
        if (!value.known())
            return;
        if (value.is(ValueKind::quantity)) {
            for (const CheckUnit& unit : check_units) {
                if (unit.type != type)
                    continue;
                check.unit = unit.unit;
                into = tidy(value.number * unit.factor);
                return;
            }
        }
        into = std::string_view(kept_.keep(print_value(program_, value, type)));
    }

    void words(const Declaration& rule, const PreparedRule& parts, Value* frame, Check& check) {
        const auto text = [&](NodeId node) -> std::string_view {
            if (node == none)
                return {};
            const Value value = evaluator_.evaluate(rule.module, node, frame);
            return value.is(ValueKind::text) ? kept_.keep(std::string(value.as_text()))
                                             : std::string_view{};
        };
        check.reason = text(parts.because);
        check.remedy = text(parts.remedy);
        check.title = text(parts.title);
        source_ = text(parts.source);
    }

    // Beside its result, what it is good for.
    void words_of_kept(const Declaration& rule, const PreparedRule& parts, Value* frame,
                       Check& check) {
        words(rule, parts, frame, check);
        check.because = std::exchange(check.reason, {});
        check.remedy = {};
        source_ = {};
    }

    // --- limits of bodies and kilns ---

    void limits(const FiringWare& group) {
        const Value& body = group.fields[ware("body")];
        if (body.is(ValueKind::profile)) {
            limits_of(program_.profiles[body.index], "body_limit");
        }
        if (firing_.kiln != none && &group == &firing_.ware.front()) {
            limits_of(program_.profiles[firing_.kiln], "kiln_limit");
        }
    }

    void limits_of(const Profile& profile, std::string_view rule) {
        const std::string_view name =
            program_.name(program_.declarations[profile.declaration].name);
        for (const ProfileLimit& limit : profile.limits) {
            Check check;
            check.rule = rule;
            check.level = CheckLevel::error;
            check.reason =
                kept_.keep(limit.kind == LimitKind::peak
                               ? fmt::format("{} must not be fired higher", name)
                               : fmt::format("{} must not {} faster{}", name,
                                             limit.kind == LimitKind::rise ? "climb" : "fall",
                                             between(limit)));
            check.title =
                kept_.keep(limit.kind == LimitKind::peak
                               ? fmt::format("the hottest that {} may be fired", name)
                               : fmt::format("the fastest {} that {} takes{}",
                                             limit.kind == LimitKind::rise ? "climb" : "fall", name,
                                             between(limit)));
            check_limit(limit, check);
            limit_span_ = limit.span;
            finish(check, limit.kind != LimitKind::peak);
            limit_span_.reset();
        }
    }

    std::string between(const ProfileLimit& limit) const {
        if (!limit.low.known())
            return "";
        return fmt::format(" between {} and {}",
                           print_value(program_, limit.low, Types::temperature),
                           print_value(program_, limit.high, Types::temperature));
    }

    void check_limit(const ProfileLimit& limit, Check& check) {
        constexpr double everywhere_low = -273, everywhere_high = 3000;
        CurveAnswer answer;
        double allowed = limit.value.number;
        if (limit.kind == LimitKind::peak) {
            if (limit.value.is(ValueKind::cone))
                return check_cone_limit(limit, check);
            answer = curve_.peak();
            check.unit = "C";
        } else {
            const double low = limit.low.known() ? limit.low.number : everywhere_low;
            const double high = limit.high.known() ? limit.high.number : everywhere_high;
            answer = limit.kind == LimitKind::rise ? curve_.fastest_rise(low, high)
                                                   : curve_.fastest_fall(high, low);
            allowed *= 3600;
            check.unit = "C/h";
        }
        check.allowed = tidy(allowed);
        check.sense = Check::Sense::most;
        if (!answer.value) {
            unknown(check, Value::indexed(ValueKind::unknown, pack({MissingField::kiln_time, 0})));
            return;
        }
        check.found = tidy(*answer.value);
        const bool holds = *answer.value <= allowed * (1 + 1e-9) + 1e-9;
        check.result = holds ? CheckResult::holds : CheckResult::broken;
        if (!holds)
            check.segments = answer.segments;
    }

    void check_cone_limit(const ProfileLimit& limit, Check& check) {
        check.allowed = std::string_view(kept_.keep("cone " + cone_name(limit.value.number)));
        check.sense = Check::Sense::most;
        if (!reading_.complete) {
            check.result = CheckResult::holds;
            return;
        }
        const double cone = ceramics_.shelf_cones().cones[*reading_.complete].cone;
        check.found = std::string_view(kept_.keep("cone " + cone_name(cone)));
        check.result = cone <= limit.value.number ? CheckResult::holds : CheckResult::broken;
        if (check.result == CheckResult::broken)
            check.segments = curve_.peak().segments;
    }

    // --- what becomes of a check ---

    void finish(Check& check, bool may_be_waived) {
        if (firing_.is_load && check.rule != "kiln_limit") // the kiln's is for all of the load
            check.group = group_->name;
        const auto waiver =
            std::find_if(firing_.waivers.begin(), firing_.waivers.end(),
                         [&](const Waiver& each) { return each.rule == check.rule; });
        const bool has_waiver = waiver != firing_.waivers.end();
        if (has_waiver &&
            (check.result == CheckResult::broken || check.result == CheckResult::unknown)) {
            needed_waivers_.push_back(check.rule);
        }
        if (check.result == CheckResult::broken) {
            if (has_waiver && may_be_waived) {
                check.result = CheckResult::waived;
                check.waiver = waiver->reason;
            } else {
                report_broken(check, has_waiver ? &*waiver : nullptr);
            }
        }
        if (check.result == CheckResult::unknown) {
            check.reason =
                kept_.keep(fmt::format("needs {}", describe_missing(program_, missing_value_)));
        }
        source_ = {};
        checks_.push_back(std::move(check));
    }

    // `closely`: with all digits, for two values that are alike without them.
    std::string print_check_value(const CheckValue& value, std::string_view unit,
                                  bool closely) const {
        if (const auto* number = std::get_if<double>(&value)) {
            if (unit == "min") {
                const bool whole = *number >= 10 && !closely;
                return print_duration(whole ? std::round(*number) * 60 : *number * 60);
            }
            return fmt::format("{}{}", closely ? print_number(*number) : print_number(*number, 1),
                               unit);
        }
        if (const auto* text = std::get_if<std::string_view>(&value))
            return std::string(*text);
        return "";
    }

    void report_broken(const Check& check, const Waiver* refused) {
        Span span = firing_.span;
        if (!check.segments.empty()) {
            const Step& step = firing_.steps[made_by_[check.segments.front()]];
            const TrailFrame& frame = firing_.trail[step.trail];
            span = program_.span(frame.module, frame.node);
        }
        std::string message =
            check.title.empty() ? std::string(check.rule) : std::string(check.title);
        const auto printed = [&](const CheckValue& value, bool closely) {
            return print_check_value(value, check.unit, closely);
        };
        const bool closely = printed(check.found, false) == printed(check.allowed, false);
        const std::string found = printed(check.found, closely);
        const std::string allowed = printed(check.allowed, closely);
        if (!found.empty() && !allowed.empty()) {
            message += check.sense == Check::Sense::least
                           ? fmt::format(": {} here, but it takes at least {}", found, allowed)
                       : check.sense == Check::Sense::most
                           ? fmt::format(": {} here, but at most {} is allowed", found, allowed)
                           : fmt::format(": {} here, but it should be {}", found, allowed);
        } else if (!found.empty()) {
            message += fmt::format(": {} here", found);
        }
        if (!check.group.empty())
            message += fmt::format(" (for the {})", check.group);
        Diagnostic& d = diagnostics_.report(DiagnosticKind::broken_rule, span,
                                            fmt::format("{}: {}", firing_.name, message));
        d.subject =
            fmt::format("{} {} {}", check.rule, check.group, limit_span_ ? limit_span_->begin : 0);
        d.level = check.level == CheckLevel::error     ? Level::error
                  : check.level == CheckLevel::caution ? Level::caution
                                                       : Level::advice;
        d.note(fmt::format("rule {}: {}{}", check.rule, check.reason,
                           source_.empty() ? "" : fmt::format(" (source: {})", source_)));
        if (limit_span_)
            d.note(*limit_span_, "the limit is given here");
        if (check.segments.size() > 1) {
            std::string steps;
            for (std::uint32_t segment : check.segments) {
                steps += fmt::format("{}{}", steps.empty() ? "" : ", ", segment + 1);
            }
            d.note(fmt::format("segments at fault: {}", steps));
        }
        if (!span_is_firing(span))
            d.note(firing_.span, fmt::format("in the firing {}", firing_.name));
        if (refused != nullptr)
            d.note(refused->span, "this rule can't be waived");
        if (!check.remedy.empty())
            d.mend(std::string(check.remedy));
    }

    bool span_is_firing(Span span) const { return span == firing_.span; }

    // One remark for everything that could not be checked.
    void report_unknown() {
        if (missing_.empty())
            return;
        std::vector<std::string> fields;
        for (const Missing& each : missing_) {
            if (std::find(fields.begin(), fields.end(), each.what) == fields.end()) {
                fields.push_back(each.what);
            }
        }
        Diagnostic& d = diagnostics_.report(
            DiagnosticKind::unchecked_rules, firing_.span,
            fmt::format("{}: some rules could not be checked, so they do not count as kept",
                        firing_.name));
        for (const std::string& what : fields) {
            std::string rules;
            for (const Missing& each : missing_) {
                if (each.what != what || rules.find(each.rule) != std::string::npos)
                    continue;
                rules += fmt::format("{}{}", rules.empty() ? "" : ", ", each.rule);
            }
            d.note(fmt::format("not known: {} (for {})", what, rules));
        }
    }

    bool is_own(const Waiver& waiver) const {
        if (firing_.declaration == none)
            return false;
        const Declaration& declaration = program_.declarations[firing_.declaration];
        const Span whole = program_.span(declaration.module, declaration.node);
        return waiver.span.file == whole.file && waiver.span.begin >= whole.begin &&
               waiver.span.end <= whole.end;
    }

    void report_unneeded_waivers() {
        for (const Waiver& waiver : firing_.waivers) {
            if (std::find(needed_waivers_.begin(), needed_waivers_.end(), waiver.rule) !=
                needed_waivers_.end()) {
                continue;
            }
            if (!is_own(waiver)) // other firings of its template may need it
                continue;
            Diagnostic& d = diagnostics_.report(
                DiagnosticKind::unneeded_waiver, waiver.span,
                fmt::format("{} keeps the rule {}, so nothing needs to be allowed", firing_.name,
                            waiver.rule));
            const SourceFile& file = (*program_.sources)[waiver.span.file];
            if (const auto line = line_with_only(file, waiver.span)) {
                d.mend("take the `allow` line out", *line, "");
            } else {
                d.mend("take the `allow` line out");
            }
        }
    }

    struct Missing {
        std::string what;
        std::string_view rule;
    };

    const Program& program_;
    const Firing& firing_;
    std::span<const std::uint32_t> made_by_;
    KeptTexts& kept_;
    Diagnostics& diagnostics_;
    Arena arena_;
    CurveQuestions quick_, naming_;
    Evaluator evaluator_;
    Curve curve_;
    const Ceramics& ceramics_;
    const ConeReading& reading_;
    RuleWords rule_words_;
    std::uint32_t controller_;
    RuleEnvironment environment_;
    const std::size_t kiln_controller_ =
        static_cast<std::size_t>(field::at(Holder::kiln, "controller"));
    const FiringWare* group_ = nullptr;
    std::vector<Value> shared_; // by PreparedLet::shared; nothing: nobody has asked yet
    std::vector<Check> checks_;
    std::vector<Missing> missing_;
    Value missing_value_;
    std::vector<std::string_view> needed_waivers_;
    std::optional<Span> limit_span_;
    std::string_view source_;
};

} // namespace

std::vector<Check> check_rules(const Program& program, const Ceramics& ceramics,
                               const RuleBook& book, const Firing& firing, const Schedule& schedule,
                               std::span<const std::uint32_t> made_by, const ConeReading& reading,
                               KeptTexts& kept, Diagnostics& diagnostics, RuleWords words,
                               std::uint32_t controller) {
    return RuleRun(program, ceramics, firing, schedule, made_by, reading, kept, diagnostics, words,
                   controller)
        .run(book.rules_for(firing), book.shared_lets());
}

} // namespace fettle
