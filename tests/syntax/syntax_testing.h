// What the tests of this folder share.
#pragma once

#include "compiler/syntax/dump.h"
#include "compiler/syntax/parse.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

namespace fettle::testing {

struct Parsed {
    explicit Parsed(std::string text) : source("test.fettle", std::move(text)) {
        tree = parse(0, source, diagnostics);
    }
    Parsed(const Parsed&) = delete;
    Parsed& operator=(const Parsed&) = delete;

    // "line:kind", in the order of the text.
    std::vector<std::string> messages() const {
        std::vector<std::string> out;
        for (const Diagnostic& d : diagnostics.sorted()) {
            out.push_back(
                fmt::format("{}:{}", source.place(d.span.begin).line, entry(d.kind).name));
        }
        return out;
    }
    // All that was said, for the output of a failing test.
    std::string report() const {
        std::string out;
        for (const Diagnostic& d : diagnostics.sorted()) {
            out += fmt::format("{}: {}\n", source.place(d.span.begin).line, d.message);
        }
        return out;
    }
    // The text after the first mend of each message was applied, last place first.
    std::string mended() const {
        std::string text(source.text());
        std::vector<Edit> edits;
        for (const Diagnostic& d : diagnostics.all()) {
            if (!d.mends.empty()) {
                edits.insert(edits.end(), d.mends[0].edits.begin(), d.mends[0].edits.end());
            }
        }
        std::stable_sort(edits.begin(), edits.end(),
                         [](const Edit& a, const Edit& b) { return a.span.begin > b.span.begin; });
        for (const Edit& e : edits) {
            text.replace(e.span.begin, e.span.end - e.span.begin, e.replacement);
        }
        return text;
    }

    SourceFile source;
    Diagnostics diagnostics;
    Tree tree;
};

inline std::string sample(const std::string& name) {
    std::ifstream in(FETTLE_SOURCE_DIR "/tests/syntax/samples/" + name, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

inline const std::vector<std::string>& sample_names() {
    static const std::vector<std::string> names = {"every_construct.fettle", "comments.fettle",
                                                   "carriage_returns.fettle", "mark.fettle",
                                                   "dense.fettle"};
    return names;
}

} // namespace fettle::testing
