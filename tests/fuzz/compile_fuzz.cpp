// From any source text to JSON: modules of the standard library loaded, firings worked out, rules
// run, the document written and read back by another reader. Nothing may crash, hang or be
// sanitised.
#include "compiler/compiler.h"
#include "compiler/output/csv.h"
#include "compiler/output/json.h"
#include "compiler/output/show.h"
#include "compiler/source/render.h"

#include <nlohmann/json.hpp>

#include <cstdlib>

namespace {

// The fuzzed text, and no other file.
class OneFile : public fettle::SourceProvider {
  public:
    explicit OneFile(std::string text) : text_(std::move(text)) {}
    std::optional<std::string> read(const std::string& path, std::string&) override {
        if (path != "fuzz.fettle")
            return std::nullopt;
        return text_;
    }

  private:
    std::string text_;
};

void check(const fettle::CompiledFiring& compiled) {
    if (!compiled.ok)
        return;
    const std::string json = fettle::json(compiled.document, fettle::JsonLayout::compact);
    const auto parsed = nlohmann::json::parse(json); // throws, and so ends, on what is no JSON
    if (parsed.at("segments").size() != compiled.schedule.segments.size())
        std::abort();
    if (compiled.schedule.segments.size() > 200)
        return; // the rest says the same again
    fettle::show(compiled.document);
    fettle::csv(compiled.document, fettle::Scale::fahrenheit);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size > 16384)
        return 0;
    OneFile file(std::string(reinterpret_cast<const char*>(data), size));
    fettle::Diagnostics diagnostics;
    const fettle::Compilation compilation({"fuzz.fettle"}, file, diagnostics);
    compilation.compile_all(
        compilation.firings(), 1, diagnostics,
        [](std::size_t, const fettle::CompiledFiring& compiled) { check(compiled); },
        [](std::size_t, std::size_t) {});
    fettle::render_text(compilation.sources(), diagnostics);
    return 0;
}
