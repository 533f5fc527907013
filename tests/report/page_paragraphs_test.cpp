#include "report/page_paragraphs.h"

#include <gtest/gtest.h>

#include "problem.h"
#include "report/pages.h"

namespace powderplan {
namespace {

std::vector<PageParagraph> read(const std::string& html) {
  return paragraphs_of(html, "trial.html");
}

TEST(PageParagraphs, AreReadWithTheirLooks) {
  const std::vector<PageParagraph> read_back = read(
      "<h3>On  paper</h3>\n<p class=\"tool\">Stencil <b>3</b>,\n flat</p>\n<p>one<br> <small>two &amp; "
      "&lt;three&gt;</small></p>\n"
      "<ul class=\"checks\">\n<li>first. </li>\n<li>second</li>\n</ul><ul><li>third</li></ul>");
  ASSERT_EQ(read_back.size(), 6U);
  EXPECT_EQ(read_back[0].kind, ParagraphKind::heading);
  EXPECT_EQ(read_back[0].words.text, "On paper");
  EXPECT_EQ(read_back[1].kind, ParagraphKind::words);
  EXPECT_EQ(read_back[1].look, "tool");
  EXPECT_EQ(read_back[1].words.text, "Stencil <b>3</b>, flat");
  EXPECT_EQ(read_back[2].words.text, "one\n<small>two &amp; &lt;three&gt;</small>");
  EXPECT_EQ(read_back[3].kind, ParagraphKind::check);
  EXPECT_EQ(read_back[3].words.text, "first.");
  EXPECT_EQ(read_back[4].words.text, "second");
  EXPECT_EQ(read_back[5].kind, ParagraphKind::item);
}

TEST(PageParagraphs, EmptyOnesAreLeftOut) {
  EXPECT_TRUE(read("").empty());
  EXPECT_TRUE(read("<p></p> <p> \n</p>").empty());
}

TEST(PageParagraphs, AnythingElseIsRefused) {
  for (const char* html :
       {"words", "<p>open", "<p>a</b></p>", "<p><b>a</p></b>", "<div>a</div>", "<p style=\"x\">a</p>",
        "<p>a<i>b</i></p>", "<li>a</li>", "<ul><p>a</p></ul>", "<ul><li>a</li>", "<p><p>a</p></p>", "<p>a</p",
        "</p>", "<br>", "<p><ul><li>a</li></ul></p>"})
    EXPECT_THROW(read(html), Problem) << html;
}

// Filled with nothing, every part that paper takes is of this kind.
TEST(PageParagraphs, PartsOfTheWorksheetsAreReadable) {
  for (const char* name :
       {"step_how.html", "fade_how.html", "lines.html", "scratch.html", "get_ready.html", "kiln_before.html",
        "kiln_after.html", "cut_how.html", "reactions_how.html", "fade_try.html"}) {
    std::string html(page_named(name));
    // Without the marks of the templates.
    for (std::size_t at = html.find("{{"); at != std::string::npos; at = html.find("{{"))
      html.erase(at, html.find("}}", at) + 2 - at);
    EXPECT_FALSE(paragraphs_of(html, name).empty()) << name;
  }
}

}  // namespace
}  // namespace powderplan
