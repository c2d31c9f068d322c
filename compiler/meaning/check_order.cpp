// Which declaration needs which, and the circles among them.
#include "compiler/meaning/checker.h"

namespace fettle {

std::vector<DeclarationId> Checker::needs(DeclarationId id) const {
    std::vector<DeclarationId> all;
    for (const Edge& edge : edges_[id])
        all.push_back(edge.to);
    return all;
}

std::vector<DeclarationId> Checker::in_order_of_dependence() {
    const std::size_t size = program_.declarations.size();
    std::vector<DeclarationId> order;
    order.reserve(size);
    std::vector<std::uint8_t> mark(size, 0); // 0 new, 1 on the path, 2 done
    struct Step {
        DeclarationId id;
        std::size_t next;
    };
    std::vector<Step> path; // an own stack: chains may be long
    for (DeclarationId first = 0; first < size; ++first) {
        if (mark[first] != 0)
            continue;
        path.push_back({first, 0});
        mark[first] = 1;
        while (!path.empty()) {
            Step& step = path.back();
            if (step.next == edges_[step.id].size()) {
                for (const Edge& edge : edges_[step.id]) {
                    if (!program_.declarations[edge.to].usable) {
                        program_.declarations[step.id].usable = false;
                    }
                }
                mark[step.id] = 2;
                order.push_back(step.id);
                path.pop_back();
                continue;
            }
            const Edge& edge = edges_[step.id][step.next++];
            if (mark[edge.to] == 0) {
                mark[edge.to] = 1;
                path.push_back({edge.to, 0});
            } else if (mark[edge.to] == 1) {
                std::size_t from = path.size();
                while (path[from - 1].id != edge.to)
                    --from;
                std::string cycle;
                for (std::size_t i = from - 1; i < path.size(); ++i) {
                    cycle +=
                        fmt::format("{} → ", program_.name(program_.declarations[path[i].id].name));
                }
                const std::string_view start = program_.name(program_.declarations[edge.to].name);
                Diagnostic& d = diagnostics_.report(
                    DiagnosticKind::cycle, edge.where,
                    from == path.size()
                        ? fmt::format("`{}` needs itself, so it would never end", start)
                        : fmt::format("these need one another, so none would ever end: {}{}", cycle,
                                      start));
                for (std::size_t i = from - 1; i + 1 < path.size(); ++i) {
                    const Edge& link = edges_[path[i].id][path[i].next - 1];
                    d.note(link.where,
                           fmt::format("`{}` needs `{}` here",
                                       program_.name(program_.declarations[path[i].id].name),
                                       program_.name(program_.declarations[link.to].name)));
                }
                for (std::size_t i = from - 1; i < path.size(); ++i) {
                    program_.declarations[path[i].id].usable = false;
                }
            }
        }
    }
    return order;
}

} // namespace fettle
