#include "compiler/judging/next_edit.h"

#include "compiler/source/edits.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace fettle {
namespace {

constexpr std::uint32_t no_frame = none;

// Text of a source in lines, without their ends.
std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        lines.push_back(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\' || c == '{')
            out += '\\';
        out += c;
    }
    return out + '"';
}

class Editor {
  public:
    Editor(const Program& program, const CompiledFiring& firing, const NextTime& next,
           const Correction& choice)
        : program_(program), firing_(firing), next_(next), choice_(choice),
          top_(*top_of(firing.schedule)) {}

    NextEditResult run() {
        const std::uint32_t climb = editable_frame(top_.climb);
        if (climb == no_frame)
            return {std::nullopt, "the top is asked for in a library that can't be edited here"};
        if (is_repeated(climb))
            return {std::nullopt, "the line of the top is used several times in this firing"};
        const TrailFrame& frame = firing_.firing.trail[climb];
        file_ = program_.modules[frame.module].file;
        if (kind_of(climb) == NodeKind::follow)
            write_out(climb);
        else
            change_climb(climb);
        change_soak(climb);
        if (!problem_.empty())
            return {std::nullopt, problem_};
        NextEdit edit{.file = file_, .edits = edits_};
        const auto text =
            apply_edits((*program_.sources)[file_].text(), file_, std::span(edit.edits));
        if (!text)
            return {std::nullopt, "the lines of the top lie inside one another"};
        edit.new_text = *text;
        edit.inside = surroundings(frame);
        return {edit, ""};
    }

  private:
    const Module& module_of(std::uint32_t frame) const {
        return program_.modules[firing_.firing.trail[frame].module];
    }
    NodeKind kind_of(std::uint32_t frame) const {
        return module_of(frame).tree[firing_.firing.trail[frame].node].kind;
    }
    std::uint32_t trail_of(std::size_t segment) const {
        return firing_.firing.steps[firing_.made_by[segment]].trail;
    }

    // The innermost line that is not of the standard library.
    std::uint32_t editable_frame(std::size_t segment) const {
        for (std::uint32_t at = trail_of(segment); at != none;
             at = firing_.firing.trail[at].outer) {
            const NodeKind kind = kind_of(at);
            if (!module_of(at).standard &&
                (kind == NodeKind::ramp || kind == NodeKind::soak || kind == NodeKind::soak_until ||
                 kind == NodeKind::follow))
                return at;
        }
        return no_frame;
    }

    bool is_repeated(std::uint32_t frame) const {
        const TrailFrame& wanted = firing_.firing.trail[frame];
        return std::any_of(
            firing_.firing.steps.begin(), firing_.firing.steps.end(), [&](const Step& step) {
                for (std::uint32_t at = step.trail; at != none;
                     at = firing_.firing.trail[at].outer) {
                    const TrailFrame& other = firing_.firing.trail[at];
                    if (at != frame && other.module == wanted.module && other.node == wanted.node)
                        return true;
                }
                return false;
            });
    }

    bool comes_from(std::uint32_t at, std::uint32_t frame) const {
        while (at != none && at != frame)
            at = firing_.firing.trail[at].outer;
        return at == frame;
    }

    void replace(Span span, std::string text) { edits_.push_back({span, std::move(text)}); }

    // --- what is written ---

    std::string new_top(std::string_view like) const {
        const bool fahrenheit = !like.empty() && like.back() == 'F';
        return print_temperature(choice_.top_c, fahrenheit ? Scale::fahrenheit : Scale::celsius);
    }
    std::string new_soak() const { return print_duration(choice_.soak_s); }

    std::string indent_of(Span span) const {
        const SourceFile& file = (*program_.sources)[span.file];
        const std::string_view line = file.line(file.line_of(span.begin));
        return std::string(line.substr(0, line.find_first_not_of(" \t")));
    }

    void change_climb(std::uint32_t frame) {
        const Module& module = module_of(frame);
        const NodeId node = firing_.firing.trail[frame].node;
        const NodeId target = module.child(node, 0);
        if (module.tree[node].flag == 1) {
            problem_ = "the top is asked for as a step `by` so many degrees";
            return;
        }
        const bool as_it_was =
            module.tree[target].kind == NodeKind::quantity && choice_.top_c == next_.top_c;
        if (!as_it_was)
            replace(module.span(target), new_top(module.tree.source(target)));
        const NodeId soak = module.child(node, 2);
        if (!module.tree.present(soak)) {
            if (!top_.soak && choice_.soak_s > 0) {
                const Span whole = module.span(node);
                replace({whole.file, whole.end, whole.end},
                        fmt::format("\n{}soak {}", indent_of(whole), new_soak()));
            }
            return;
        }
        // From the end of the rate to the end of the soak: " with soak 15m".
        const Span how = module.span(module.child(node, 1));
        const Span whole{how.file, how.end, module.span(soak).end};
        replace(whole,
                choice_.soak_s > 0 ? fmt::format("\n{}soak {}", indent_of(how), new_soak()) : "");
        soak_is_done_ = true;
    }

    void change_soak(std::uint32_t climb) {
        if (!top_.soak || soak_is_done_ || choice_.soak_s == next_.soak_s)
            return;
        const std::uint32_t frame = editable_frame(*top_.soak);
        if (frame == no_frame || is_repeated(frame) || module_of(frame).file != file_) {
            problem_ = "the soak at the top is asked for where it can't be edited here";
            return;
        }
        if (frame == climb)
            return;
        const Module& module = module_of(frame);
        const NodeId node = firing_.firing.trail[frame].node;
        switch (module.tree[node].kind) {
        case NodeKind::soak: replace(module.span(module.child(node, 0)), new_soak()); break;
        case NodeKind::soak_until:
            replace(module.span(node), fmt::format("soak {}", new_soak()));
            break;
        default: write_out(frame); break;
        }
    }

    // The `follow` as the lines that it stands for.
    void write_out(std::uint32_t frame) {
        const Span span = module_of(frame).span(firing_.firing.trail[frame].node);
        const std::string indent = indent_of(span);
        std::string text;
        const auto add = [&](const std::string& line) {
            text += (text.empty() ? "" : "\n" + indent) + line;
        };
        std::size_t segment = 0;
        for (std::uint32_t i = 0; i < firing_.firing.steps.size(); ++i) {
            const Step& step = firing_.firing.steps[i];
            const bool inside = comes_from(step.trail, frame);
            if (inside)
                add_remark(add, step);
            for (; segment < firing_.made_by.size() && firing_.made_by[segment] == i; ++segment) {
                if (!inside)
                    continue;
                if (top_.soak != segment) {
                    add(statement_of(segment));
                } else {
                    soak_is_done_ = true;
                    if (choice_.soak_s > 0)
                        add("soak " + new_soak());
                }
            }
        }
        // A soak that was not there before.
        if (!top_.soak && choice_.soak_s > 0 && comes_from(trail_of(top_.climb), frame))
            add("soak " + new_soak());
        replace(span, text);
    }

    // What a step does that is no climb and no soak.
    template <typename Add> void add_remark(Add add, const Step& step) const {
        constexpr std::string_view vents[] = {"", "open", "propped", "closed"};
        constexpr std::string_view atmospheres[] = {"", "oxidation", "neutral", "reduction"};
        const auto value = static_cast<std::size_t>(step.amount);
        switch (step.kind) {
        case StepKind::vent: add(fmt::format("vent {}", vents[value])); break;
        case StepKind::atmosphere: add(fmt::format("atmosphere {}", atmospheres[value])); break;
        case StepKind::set:
            add(fmt::format("set {} {}", program_.name(step.control), step.text));
            break;
        case StepKind::note: add("note " + quoted(step.text)); break;
        case StepKind::job: add("do " + quoted(step.text)); break;
        default: break;
        }
    }

    std::string statement_of(std::size_t index) const {
        const Segment& segment = firing_.schedule.segments[index];
        const double to_c = index == top_.climb ? choice_.top_c : segment.to_c;
        const std::string to = print_temperature(to_c, Scale::celsius, 1);
        const std::string waiting =
            segment.waiting_within_k
                ? fmt::format(" waiting within {}",
                              print_difference(*segment.waiting_within_k, Scale::celsius, 1))
                : "";
        switch (segment.kind) {
        case SegmentKind::soak:
            return fmt::format("soak {}{}", print_duration(segment.duration_s.value_or(0)),
                               waiting);
        case SegmentKind::full: return fmt::format("ramp to {} at full", to);
        case SegmentKind::free: return fmt::format("cool to {} freely", to);
        case SegmentKind::opened: return fmt::format("cool to {} opened", to);
        case SegmentKind::ramp: break;
        }
        return fmt::format(
            "{} to {} at {}{}", segment.to_c >= segment.from_c ? "ramp" : "cool", to,
            print_rate(std::fabs(segment.rate_k_per_h().value_or(0)), Scale::celsius, 1), waiting);
    }

    // The declaration that the line stands in, where it is not the firing's own.
    std::string surroundings(const TrailFrame& frame) const {
        const Span line = program_.modules[frame.module].span(frame.node);
        for (const Declaration& declaration : program_.declarations) {
            if (declaration.module != frame.module)
                continue;
            const Span span = program_.modules[declaration.module].span(declaration.node);
            if (line.begin < span.begin || line.end > span.end)
                continue;
            if (&declaration == &program_.declarations[firing_.firing.declaration])
                return "";
            return fmt::format("the {} {}", to_string(declaration.kind),
                               program_.name(declaration.name));
        }
        return "";
    }

    const Program& program_;
    const CompiledFiring& firing_;
    const NextTime& next_;
    const Correction& choice_;
    const TopOfFiring top_;
    FileId file_ = 0;
    std::vector<Edit> edits_;
    std::string problem_;
    bool soak_is_done_ = false;
};

} // namespace

NextEditResult next_edit(const Program& program, const CompiledFiring& firing, const NextTime& next,
                         const Correction& choice) {
    return Editor(program, firing, next, choice).run();
}

std::string difference_of(std::string_view path, std::string_view before, std::string_view after) {
    const auto old_lines = lines_of(before), new_lines = lines_of(after);
    constexpr std::size_t around = 2;
    std::size_t same_front = 0;
    const std::size_t shorter = std::min(old_lines.size(), new_lines.size());
    while (same_front < shorter && old_lines[same_front] == new_lines[same_front])
        ++same_front;
    std::size_t same_back = 0;
    while (same_back < shorter - same_front && old_lines[old_lines.size() - 1 - same_back] ==
                                                   new_lines[new_lines.size() - 1 - same_back])
        ++same_back;
    const std::size_t from = same_front - std::min(same_front, around);
    const std::size_t old_to = old_lines.size() - same_back, new_to = new_lines.size() - same_back;
    const std::size_t after_it = std::min(around, same_back);
    std::string text = fmt::format("--- {0}\n+++ {0}\n@@ -{1},{2} +{1},{3} @@\n", path, from + 1,
                                   old_to + after_it - from, new_to + after_it - from);
    const auto put = [&](char sign, std::string_view line) {
        text += fmt::format("{}{}\n", sign, line);
    };
    for (std::size_t i = from; i < same_front; ++i)
        put(' ', old_lines[i]);
    for (std::size_t i = same_front; i < old_to; ++i)
        put('-', old_lines[i]);
    for (std::size_t i = same_front; i < new_to; ++i)
        put('+', new_lines[i]);
    for (std::size_t i = old_to; i < old_to + after_it; ++i)
        put(' ', old_lines[i]);
    return text;
}

} // namespace fettle
