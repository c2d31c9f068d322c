// Rules that can never apply, never hold or never be broken. Only what is certain from the words of
// the rule: literals, and the same question asked twice.
#include "compiler/meaning/checker.h"

#include <limits>
#include <map>

namespace fettle {
namespace {

// What is left of a question's values once several conditions hold together.
struct Bounds {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    bool without_low = false, without_high = false;

    bool empty() const { return low > high || (low == high && (without_low || without_high)); }
    void at_least(double value, bool without) {
        if (value > low || (value == low && without)) {
            low = value;
            without_low = without;
        }
    }
    void at_most(double value, bool without) {
        if (value < high || (value == high && without)) {
            high = value;
            without_high = without;
        }
    }
};

BinaryOp turned_round(BinaryOp op) {
    switch (op) {
    case BinaryOp::less: return BinaryOp::greater;
    case BinaryOp::less_equal: return BinaryOp::greater_equal;
    case BinaryOp::greater: return BinaryOp::less;
    case BinaryOp::greater_equal: return BinaryOp::less_equal;
    default: return op;
    }
}

void narrow(Bounds& bounds, BinaryOp op, double value) {
    if (op == BinaryOp::greater || op == BinaryOp::greater_equal || op == BinaryOp::is)
        bounds.at_least(value, op == BinaryOp::greater);
    if (op == BinaryOp::less || op == BinaryOp::less_equal || op == BinaryOp::is)
        bounds.at_most(value, op == BinaryOp::less);
}

// Words without the spaces between them, so that two ways of spacing are one; texts as they are.
std::string without_spaces(std::string_view text) {
    std::string out;
    bool quoted = false;
    for (const char c : text) {
        quoted = quoted != (c == '"');
        if (quoted || (c != ' ' && c != '\t' && c != '\r' && c != '\n'))
            out += c;
    }
    return out;
}

} // namespace

// The conditions that must all hold for `node` to be yes.
void Checker::add_conditions(NodeId node, std::vector<NodeId>& all) const {
    node = unwrap(node);
    if (kind(node) == NodeKind::binary &&
        static_cast<BinaryOp>(tree()[node].flag) == BinaryOp::and_) {
        add_conditions(child(node, 0), all);
        add_conditions(child(node, 1), all);
    } else {
        all.push_back(node);
    }
}

const Value* Checker::literal_at(NodeId node) const {
    node = unwrap(node);
    const NodeInfo& info = frame_->module->info[node];
    if (info.kind != RefKind::literal)
        return nullptr;
    const Value& value = frame_->module->literals[info.index];
    const bool has_order = value.is(ValueKind::quantity) || value.is(ValueKind::cone);
    return has_order || value.is(ValueKind::yes_no) ? &value : nullptr;
}

bool Checker::can_never_hold(const std::vector<NodeId>& conditions) const {
    std::map<std::string, Bounds> asked; // by the words of the question and the kind of the answer
    std::map<std::string, bool> said;    // yes or no by the words of a condition
    const auto narrowed = [&](NodeId question, BinaryOp op, const Value& value) {
        if (value.is(ValueKind::yes_no))
            return true;
        const char of_kind = value.is(ValueKind::cone) ? 'c' : 'q';
        Bounds& bounds = asked[of_kind + without_spaces(source(unwrap(question)))];
        narrow(bounds, op, value.number);
        return !bounds.empty();
    };
    for (NodeId node : conditions) {
        bool yes = true;
        while (kind(node) == NodeKind::not_) {
            yes = !yes;
            node = unwrap(child(node, 0));
        }
        const auto [at, is_new] = said.emplace(without_spaces(source(node)), yes);
        if (!is_new && at->second != yes)
            return true;
        const Value* constant = literal_at(node);
        if (constant != nullptr && constant->is(ValueKind::yes_no) && constant->yes() != yes)
            return true;
        if (!yes)
            continue;
        if (kind(node) == NodeKind::within_range && kind(child(node, 1)) == NodeKind::range) {
            const NodeId range = child(node, 1);
            const Value* low = literal_at(child(range, 0));
            const Value* high = literal_at(child(range, 1));
            if (low != nullptr && !narrowed(child(node, 0), BinaryOp::greater_equal, *low))
                return true;
            if (high != nullptr && !narrowed(child(node, 0), BinaryOp::less_equal, *high))
                return true;
        } else if (kind(node) == NodeKind::binary) {
            const auto op = static_cast<BinaryOp>(tree()[node].flag);
            const NodeId left = child(node, 0), right = child(node, 1);
            if (op == BinaryOp::or_) {
                std::vector<NodeId> one, other;
                add_conditions(left, one);
                add_conditions(right, other);
                if (can_never_hold(one) && can_never_hold(other))
                    return true;
            } else if (const Value* value = literal_at(right)) {
                if (!narrowed(left, op, *value))
                    return true;
            } else if (const Value* first = literal_at(left)) {
                if (!narrowed(right, turned_round(op), *first))
                    return true;
            }
        }
    }
    return false;
}

// A rule says each of its parts once: of two `check` lines only one would be asked.
void Checker::check_said_once(NodeId block) {
    constexpr std::pair<NodeKind, std::string_view> parts[] = {
        {NodeKind::level, "level"},      {NodeKind::applies, "applies when"},
        {NodeKind::check, "check"},      {NodeKind::because, "because"},
        {NodeKind::remedy, "remedy"},    {NodeKind::source, "source"},
        {NodeKind::waivable, "waivable"}};
    for (const auto& [part, words] : parts) {
        NodeId first = none;
        for (std::uint32_t i = 0; i < count(block); ++i) {
            const NodeId item = child(block, i);
            if (kind(item) != part)
                continue;
            if (first == none) {
                first = item;
                continue;
            }
            const bool joins = part == NodeKind::check || part == NodeKind::applies;
            report(DiagnosticKind::contradictory_rule, item,
                   fmt::format("this rule has `{}` already", words))
                .note(tree().span(first), "it stands here")
                .mend(joins ? "join the two with `and`" : "leave one of the two");
        }
    }
}

void Checker::check_contradictions(NodeId block) {
    check_said_once(block);
    NodeId applies = none, check = none;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        if (kind(item) == NodeKind::applies)
            applies = child(item, 0);
        else if (kind(item) == NodeKind::check)
            check = child(item, 0);
    }
    std::vector<NodeId> needed, asked;
    if (applies != none)
        add_conditions(applies, needed);
    if (applies != none && can_never_hold(needed)) {
        report(DiagnosticKind::contradictory_rule, applies,
               "this can never be, so the rule would never apply to any firing")
            .mend("write when the rule applies, or take `applies when` out if it always does");
        return;
    }
    if (check == none)
        return;
    add_conditions(check, asked);
    if (can_never_hold(asked)) {
        report(DiagnosticKind::contradictory_rule, check,
               "this can never hold, so no firing could keep the rule")
            .mend("write what must hold; look at each `<` and `>`, and at the figures beside them");
        return;
    }
    const Value* constant = literal_at(check);
    if (constant != nullptr && constant->yes()) {
        report(DiagnosticKind::contradictory_rule, check,
               "this always holds, so no firing could break the rule")
            .mend("write what must hold: `check fastest_rise(540C, 630C) <= 150C/h`");
        return;
    }
    asked.insert(asked.end(), needed.begin(), needed.end());
    if (can_never_hold(asked)) {
        report(DiagnosticKind::contradictory_rule, check,
               "this can't hold where the rule applies: each firing that it is meant for breaks it")
            .note(tree().span(applies), "the rule applies here")
            .mend("change one of the two; if something must never be done, write that alone: "
                  "`check not uses(reduction)`");
    }
}

} // namespace fettle
