// What messages about a step of a firing have in common: the places of its parts, and temperatures
// on the scale that its line was written in.
#pragma once

#include "compiler/meaning/firing.h"

#include <string>

namespace fettle {

class StepWords {
  public:
    StepWords(const Program& program, const Firing& firing, Diagnostics& diagnostics)
        : program_(program), firing_(firing), diagnostics_(diagnostics) {}

    const Module& module_of(const Step& step) const {
        return program_.modules[firing_.trail[step.trail].module];
    }
    NodeId node_of(const Step& step) const { return firing_.trail[step.trail].node; }
    // The part itself, or the whole step where it was left out.
    NodeId part_node(const Step& step, std::uint32_t part) const;
    NodeId target_node(const Step& step) const { return part_node(step, 0); }
    Span span_of(const Step& step) const { return module_of(step).span(node_of(step)); }

    Scale scale_of(const Step& step) const;
    std::string temperature(double c, const Step& step) const;

    // At a node of the step, `none` being the whole of it; with the lines that led there.
    Diagnostic& report(DiagnosticKind kind, const Step& step, NodeId node,
                       std::string message) const;

  private:
    const Program& program_;
    const Firing& firing_;
    Diagnostics& diagnostics_;
};

} // namespace fettle
