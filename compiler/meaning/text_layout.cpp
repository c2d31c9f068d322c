#include "compiler/meaning/text_layout.h"

#include <algorithm>

namespace fettle {
namespace {

bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

std::string with_plain_line_ends(std::string_view raw) {
    if (raw.find('\r') == std::string_view::npos)
        return std::string(raw);
    std::string text;
    text.reserve(raw.size());
    for (std::size_t i = 0; i < raw.size(); ++i) {
        if (raw[i] == '\r' && i + 1 < raw.size() && raw[i + 1] == '\n')
            continue;
        text += raw[i];
    }
    return text;
}

// Blanks at the start of a line, where something follows them: characters or a computed part.
std::size_t common_indent(const std::vector<std::string>& texts) {
    std::size_t common = std::string::npos;
    for (std::size_t part = 0; part < texts.size(); ++part) {
        const std::string& text = texts[part];
        for (std::size_t at = text.find('\n'); at != std::string::npos; at = text.find('\n', at)) {
            const std::size_t start = ++at;
            while (at < text.size() && is_blank(text[at]))
                ++at;
            const bool followed = at < text.size() ? text[at] != '\n' : part + 1 < texts.size();
            if (followed)
                common = std::min(common, at - start);
        }
    }
    return common == std::string::npos ? 0 : common;
}

std::string without_indent(const std::string& text, std::size_t indent) {
    std::string plain;
    plain.reserve(text.size());
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t line_end = std::min(text.find('\n', at), text.size() - 1) + 1;
        plain.append(text, at, line_end - at);
        at = line_end;
        for (std::size_t taken = 0; taken < indent && at < text.size() && is_blank(text[at]);
             ++taken) {
            ++at;
        }
    }
    return plain;
}

} // namespace

std::string without_escapes(std::string_view raw) {
    if (raw.find('\\') == std::string_view::npos)
        return std::string(raw);
    std::string plain;
    plain.reserve(raw.size());
    for (std::size_t i = 0; i < raw.size(); ++i) {
        if (raw[i] == '\\' && i + 1 < raw.size()) {
            ++i;
            plain += raw[i] == 'n' ? '\n' : raw[i];
        } else {
            plain += raw[i];
        }
    }
    return plain;
}

std::vector<std::string> laid_out(const TextParts& parts) {
    std::vector<std::string> texts;
    for (const auto& part : parts)
        texts.push_back(part ? with_plain_line_ends(*part) : std::string());
    if (texts.empty())
        return texts;
    const std::size_t indent = common_indent(texts);
    for (std::string& text : texts)
        text = without_indent(text, indent);
    std::string& first = texts.front();
    const std::size_t begin = first.find_first_not_of(" \t");
    if (begin != std::string::npos && first[begin] == '\n')
        first.erase(0, begin + 1);
    std::string& last = texts.back();
    const std::size_t end = last.find_last_not_of(" \t");
    if (end != std::string::npos && last[end] == '\n') {
        last.erase(end);
    } else if (end == std::string::npos && texts.size() == 1) {
        last.clear(); // nothing but blanks
    }
    for (std::size_t i = 0; i < texts.size(); ++i) {
        if (parts[i])
            texts[i] = without_escapes(texts[i]);
    }
    return texts;
}

} // namespace fettle
