// Rules that can never apply, never hold or never be broken. Only what is certain from the words of
// the rule: literals, and the same question asked twice.
#include "compiler/meaning/checker.h"

#include <limits>
#include <string>
#include <utility>
#include <vector>

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
    std::string out(text.size(), ' ');
    std::size_t size = 0;
    bool quoted = false;
    for (const char c : text) {
        quoted = quoted != (c == '"');
        out[size] = c;
        size += quoted || (c != ' ' && c != '\t' && c != '\r' && c != '\n');
    }
    out.resize(size);
    return out;
}

// A map for the few conditions that one rule has.
template <class Value> class ByWords {
  public:
    // What is kept for the words; made from `fresh` the first time.
    Value& of(std::string words, Value fresh = {}) {
        for (auto& [known, value] : all_) {
            if (known == words)
                return value;
        }
        return all_.emplace_back(std::move(words), fresh).second;
    }

  private:
    std::vector<std::pair<std::string, Value>> all_;
};

// Conditions of one rule, read without knowing any firing.
class Conditions {
  public:
    explicit Conditions(const Module& module) : module_(module), tree_(module.tree) {}

    // The conditions that must all hold for `node` to be yes.
    void add(NodeId node, std::vector<NodeId>& all) const {
        node = unwrap(node);
        if (kind(node) == NodeKind::binary && op(node) == BinaryOp::and_) {
            add(tree_.child(node, 0), all);
            add(tree_.child(node, 1), all);
        } else {
            all.push_back(node);
        }
    }
    std::vector<NodeId> of(NodeId node) const {
        std::vector<NodeId> all;
        add(node, all);
        return all;
    }
    // A quantity, a cone, yes or no that is written there; null: something else.
    const Value* literal(NodeId node) const {
        const NodeInfo& info = module_.info[unwrap(node)];
        if (info.kind != RefKind::literal)
            return nullptr;
        const Value& value = module_.literals[info.index];
        const bool taken = value.is(ValueKind::quantity) || value.is(ValueKind::cone) ||
                           value.is(ValueKind::yes_no);
        return taken ? &value : nullptr;
    }
    bool can_never_hold(const std::vector<NodeId>& conditions) const {
        Asked asked;
        ByWords<char> said; // whether a condition is to hold
        for (NodeId node : conditions) {
            bool yes = true;
            while (kind(node) == NodeKind::not_) {
                yes = !yes;
                node = unwrap(tree_.child(node, 0));
            }
            const bool denied = kind(node) == NodeKind::binary && op(node) == BinaryOp::is_not;
            std::string words =
                denied ? words_of(tree_.child(node, 0)) + "is" + words_of(tree_.child(node, 1))
                       : words_of(node);
            const bool stated = yes != denied;
            if (said.of(std::move(words), stated) != stated)
                return true;
            const Value* constant = literal(node);
            if (constant != nullptr && constant->is(ValueKind::yes_no) && constant->yes() != yes)
                return true;
            if (yes && leaves_nothing(node, asked))
                return true;
        }
        return false;
    }

  private:
    // What is left for each question, by its words and the kind of the answer.
    using Asked = ByWords<Bounds>;

    NodeKind kind(NodeId node) const { return tree_[node].kind; }
    BinaryOp op(NodeId node) const { return static_cast<BinaryOp>(tree_[node].flag); }
    NodeId unwrap(NodeId node) const {
        while (kind(node) == NodeKind::paren)
            node = tree_.child(node, 0);
        return node;
    }
    std::string words_of(NodeId node) const { return without_spaces(tree_.source(unwrap(node))); }

    // Whether the condition leaves no answer to its question.
    bool leaves_nothing(NodeId node, Asked& asked) const {
        if (kind(node) == NodeKind::within_range) {
            const NodeId question = tree_.child(node, 0), range = tree_.child(node, 1);
            return kind(range) == NodeKind::range &&
                   (excludes(question, BinaryOp::greater_equal, tree_.child(range, 0), asked) ||
                    excludes(question, BinaryOp::less_equal, tree_.child(range, 1), asked));
        }
        if (kind(node) != NodeKind::binary)
            return false;
        const NodeId left = tree_.child(node, 0), right = tree_.child(node, 1);
        if (op(node) == BinaryOp::or_)
            return can_never_hold(of(left)) && can_never_hold(of(right));
        return excludes(left, op(node), right, asked) ||
               excludes(right, turned_round(op(node)), left, asked);
    }
    bool excludes(NodeId question, BinaryOp how, NodeId figure, Asked& asked) const {
        const Value* value = literal(figure);
        if (value == nullptr || value->is(ValueKind::yes_no))
            return false;
        const char of_kind = value->is(ValueKind::cone) ? 'c' : 'q';
        Bounds& bounds = asked.of(of_kind + words_of(question));
        narrow(bounds, how, value->number);
        return bounds.empty();
    }

    const Module& module_;
    const Tree& tree_;
};

} // namespace

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
    const Conditions conditions(*frame_->module);
    std::vector<NodeId> both;
    if (applies != none)
        conditions.add(applies, both);
    if (conditions.can_never_hold(both)) {
        report(DiagnosticKind::contradictory_rule, applies,
               "this can never be, so the rule would never apply to any firing")
            .mend("write when the rule applies, or take `applies when` out if it always does");
        return;
    }
    if (check == none)
        return;
    if (conditions.can_never_hold(conditions.of(check))) {
        report(DiagnosticKind::contradictory_rule, check,
               "this can never hold, so no firing could keep the rule")
            .mend("write what must hold; look at each `<` and `>`, and at the figures beside them");
        return;
    }
    const Value* constant = conditions.literal(check);
    if (constant != nullptr && constant->yes()) {
        report(DiagnosticKind::contradictory_rule, check,
               "this always holds, so no firing could break the rule")
            .mend("write what must hold: `check fastest_rise(540C, 630C) <= 150C/h`");
        return;
    }
    conditions.add(check, both);
    if (conditions.can_never_hold(both)) {
        report(DiagnosticKind::contradictory_rule, check,
               "this can't hold where the rule applies: each firing that it is meant for breaks it")
            .note(tree().span(applies), "the rule applies here")
            .mend("change one of the two; if something must never be done, write that alone: "
                  "`check not uses(reduction)`");
    }
}

} // namespace fettle
