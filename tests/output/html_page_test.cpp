#include "compiler/output/html_page.h"

#include <gtest/gtest.h>

namespace fettle {
namespace {

TEST(HtmlPage, TextsAreEscaped) {
    EXPECT_EQ(escaped("plain, 12C"), "plain, 12C");
    EXPECT_EQ(escaped("<b> & \"it's\""), "&lt;b&gt; &amp; &quot;it&#39;s&quot;");
    EXPECT_EQ(escaped("Töpfe für Ölkrüge"), "Töpfe für Ölkrüge");
    EXPECT_EQ(escaped("a\x1b[31m\nb"), "a&lt;U+001B&gt;[31m b");
    EXPECT_EQ(escaped("\xff"), "&lt;0xFF&gt;");
    EXPECT_EQ(escaped("\u202Eevil"), "&lt;U+202E&gt;evil"); // turns what follows round
}

TEST(HtmlPage, TextThatRunsFromRightToLeftIsKeptApart) {
    EXPECT_EQ(html_text("כלים 12"), "<bdi>כלים 12</bdi>");
    EXPECT_EQ(html_text("陶芸"), "陶芸");
    EXPECT_EQ(html_text("Krüge"), "Krüge");
}

TEST(HtmlPage, IsOneFileThatAsksForNoOther) {
    std::string html;
    open_page(html, {.title = "a </title> b", .body_class = "card", .style = {}});
    close_page(html);
    EXPECT_NE(html.find("<title>a &lt;/title&gt; b</title>"), std::string::npos);
    EXPECT_NE(html.find("<body class=\"card\">"), std::string::npos);
    for (std::string_view outside : {"http:", "https:", "url(", "@import", "<script", "<link"}) {
        EXPECT_EQ(html.find(outside), std::string::npos) << outside;
    }
    EXPECT_NE(html.find(".curve"), std::string::npos); // its style is inside
}

} // namespace
} // namespace fettle
