#include "compiler/syntax/parse.h"

#include "compiler/source/characters.h"
#include "compiler/syntax/actions.h"
#include "compiler/syntax/grammar_analysis.h"

#include <fmt/format.h>
#include <tao/pegtl/contrib/analyze.hpp>

namespace fettle {
namespace {

constexpr std::size_t largest_file = std::size_t{16} << 20U; // language limit
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

// An empty file.
Tree empty_tree(TreeBuilder& b) {
    b.stack.clear();
    b.nodes.clear();
    b.push(NodeKind::file, b.begin, b.begin);
    return {b.file, {b.begin, static_cast<std::size_t>(b.end - b.begin)},
            std::vector<Node>{b.stack.front()}};
}

// Offset of the first byte that is not UTF-8, or the size.
std::size_t valid_utf8(std::string_view text) {
    std::size_t i = 0;
    while (i < text.size()) {
        std::uint64_t eight = 0;
        if (i + sizeof eight <= text.size()) {
            std::memcpy(&eight, text.data() + i, sizeof eight);
            if ((eight & 0x8080808080808080U) == 0) {
                i += sizeof eight;
                continue;
            }
        }
        const Character c = first_character(text.substr(i));
        if (!c.valid)
            return i;
        i += c.length;
    }
    return i;
}

// Is it a text that can be parsed? One message if not; a byte that is not UTF-8 is no reason not
// to.
bool readable(TreeBuilder& b, std::string_view text) {
    if (text.size() > largest_file) {
        b.report(DiagnosticKind::file_too_large, b.begin, b.begin,
                 "this file is larger than 16 MiB, the most that a file may have");
        return false;
    }
    if (const std::size_t zero = text.find('\0'); zero != std::string_view::npos) {
        b.report(DiagnosticKind::not_text, b.begin + zero, b.begin + zero + 1,
                 "this is not text: there is a zero byte here");
        return false;
    }
    if (const std::size_t bad = valid_utf8(text); bad != text.size()) {
        b.report(DiagnosticKind::invalid_utf8, b.begin + bad, b.begin + bad + 1,
                 fmt::format("this byte (0x{:02X}) is not UTF-8 text",
                             static_cast<unsigned char>(text[bad])))
            .mend("save the file as UTF-8");
    }
    return true;
}

} // namespace

Tree parse(FileId file, const SourceFile& source, Diagnostics& diagnostics) {
    const std::string_view text = source.text();
    TreeBuilder b(file, text, diagnostics);
    if (!readable(b, text))
        return empty_tree(b);
    namespace pegtl = tao::pegtl;
    pegtl::memory_input<pegtl::tracking_mode::lazy, pegtl::eol::lf, const char*> in(
        text.data(), text.data() + text.size(), "");
    if (text.substr(0, byte_order_mark.size()) == byte_order_mark) {
        in.bump(byte_order_mark.size());
        b.token_end = in.current();
    }
    (void)pegtl::parse<grammar::file, grammar::action>(in, b);
    b.nodes.push_back(b.stack.back());
    return {file, text, std::move(b.nodes)};
}

std::size_t problems_of_grammar() {
    return tao::pegtl::analyze<grammar::file>(1);
}

} // namespace fettle
