#include "compiler/lowering/step_words.h"

namespace fettle {

NodeId StepWords::part_node(const Step& step, std::uint32_t part) const {
    const Module& module = module_of(step);
    const NodeId child = module.child(node_of(step), part);
    return module.tree.present(child) ? child : node_of(step);
}

Scale StepWords::scale_of(const Step& step) const {
    if (!step.target.is(ValueKind::quantity) || step.target.unit == 0)
        return Scale::celsius;
    const Quantity target{step.target.number,
                          step.by ? dimension::difference : dimension::temperature,
                          step.target.unit};
    return print(target).back() == 'F' ? Scale::fahrenheit : Scale::celsius;
}

std::string StepWords::temperature(double c, const Step& step) const {
    return print_temperature(c, scale_of(step), 1);
}

Diagnostic& StepWords::report(DiagnosticKind kind, const Step& step, NodeId node,
                              std::string message) const {
    const TrailFrame& frame = firing_.trail[step.trail];
    const NodeId at = node == none ? frame.node : node;
    Diagnostic& d = diagnostics_.report(kind, program_.span(frame.module, at), std::move(message));
    explain_trail(d, program_, firing_, frame.outer);
    return d;
}

} // namespace fettle
