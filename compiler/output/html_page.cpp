#include "compiler/output/html_page.h"

#include "compiler/output/columns.h"
#include "compiler/source/characters.h"
#include "compiler/source/embedded.h"

#include <algorithm>
#include <span>

namespace fettle {

std::span<const EmbeddedFile> output_style_sheets(); // sorted by name

namespace {

bool is_plain(char c) {
    return c >= ' ' && c <= '~' && c != '&' && c != '<' && c != '>' && c != '"' && c != '\'';
}

// Letters that run from right to left begin at U+0590, whose first byte is this.
constexpr unsigned char first_right_to_left = 0xD6;

bool runs_both_ways(std::string_view text) {
    const bool may = std::any_of(text.begin(), text.end(), [](char c) {
        return static_cast<unsigned char>(c) >= first_right_to_left;
    });
    return may && isolated(visible(text)) != visible(text);
}

} // namespace

void append_escaped(std::string& html, std::string_view text) {
    if (std::all_of(text.begin(), text.end(), is_plain)) {
        html += text;
        return;
    }
    for (char c : one_line(text)) {
        switch (c) {
        case '&': html += "&amp;"; break;
        case '<': html += "&lt;"; break;
        case '>': html += "&gt;"; break;
        case '"': html += "&quot;"; break;
        case '\'': html += "&#39;"; break;
        default: html += c;
        }
    }
}

std::string escaped(std::string_view text) {
    std::string html;
    append_escaped(html, text);
    return html;
}

void append_text(std::string& html, std::string_view text) {
    const bool apart = runs_both_ways(text);
    html += apart ? "<bdi>" : "";
    append_escaped(html, text);
    html += apart ? "</bdi>" : "";
}

std::string html_text(std::string_view text) {
    std::string html;
    append_text(html, text);
    return html;
}

void open_page(std::string& html, const HtmlPage& page) {
    html += "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
            "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>";
    append_escaped(html, page.title);
    html += "</title>\n<style>\n";
    html += style_sheet("page");
    html += style_sheet("curve");
    html += page.style;
    html += "</style>\n</head>\n<body";
    if (!page.body_class.empty()) {
        html += " class=\"";
        html += page.body_class;
        html += '"';
    }
    html += ">\n<main>\n";
}

void close_page(std::string& html) {
    html += "</main>\n</body>\n</html>\n";
}

std::string_view style_sheet(std::string_view name) {
    for (const EmbeddedFile& file : output_style_sheets()) {
        if (file.name.substr(0, file.name.find('.')) == name) {
            return file.text;
        }
    }
    return {};
}

} // namespace fettle
