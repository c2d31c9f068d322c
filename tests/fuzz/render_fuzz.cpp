// Reports about any bytes, with marks at any places: text, JSON and SARIF must come out whole.
#include "compiler/source/edits.h"
#include "compiler/source/render.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>

namespace {

// The first bytes say where the marks are; the rest is the source.
constexpr std::size_t head_size = 14;

fettle::Span span_of(const std::uint8_t* bytes, std::size_t size) {
    const auto place = [&](std::size_t i) {
        return static_cast<std::uint32_t>((bytes[i] | bytes[i + 1] << 8U) % (size + 3));
    };
    return {0, place(0), place(2)};
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < head_size) {
        return 0;
    }
    const std::string text(reinterpret_cast<const char*>(data) + head_size, size - head_size);
    fettle::Sources sources;
    sources.add(text.substr(0, 20), text);
    fettle::Diagnostics all;
    all.report(fettle::DiagnosticKind::file_not_found, span_of(data, text.size()), "a" + text)
        .note(span_of(data + 4, text.size()), text.substr(0, 50))
        .note(text)
        .mend("mend " + text, span_of(data + 8, text.size()), text.substr(0, 30));
    const fettle::TextOptions options = {.colour = false, .width = data[12]};
    const std::string shown = fettle::render_text(sources, all, options);
    const bool raw = std::any_of(shown.begin(), shown.end(), [](char byte) {
        return (byte >= 0 && byte < 0x20 && byte != '\n') || byte == 0x7F;
    });
    if (raw || shown.empty()) {
        std::abort();
    }
    fettle::render_json(sources, all);
    fettle::render_sarif(sources, all);
    fettle::apply_edits(text, 0, fettle::compatible_edits(all.all()));
    return 0;
}
