#include "compiler/cli/report.h"

#include "compiler/source/render.h"

namespace fettle {

std::string rendered_text(const Sources& sources, const Diagnostics& diagnostics, Channel channel,
                          ReportStyle style) {
    TextOptions text;
    text.colour = !style.plain && wants_colour(channel);
    text.width = terminal_width(channel, text.width);
    if (!style.errors_only)
        return render_text(sources, diagnostics, text);
    Diagnostics errors;
    for (const Diagnostic& one : diagnostics.all()) {
        if (one.level == Level::error)
            errors.add(one);
    }
    return render_text(sources, errors, text);
}

ExitCode exit_code(const Diagnostics& diagnostics) {
    ExitCode code = ExitCode::well;
    for (const Diagnostic& one : diagnostics.all()) {
        if (one.kind == DiagnosticKind::file_not_found ||
            one.kind == DiagnosticKind::file_unreadable) {
            code = worse(code, ExitCode::unreadable);
        } else if (one.level == Level::error) {
            code = worse(code, ExitCode::errors);
        }
    }
    return code;
}

} // namespace fettle
