#include "report/templates_pdf.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>

#include "published.h"
#include "stencils.h"

namespace powderplan {
namespace {

StencilTemplate pendant() {
  return {"01 Kelp green", "This side up", fixture::trial_stencil(40, 40)};
}

StencilTemplate panel() {
  return {"02 Dune white", "This side up", fixture::trial_stencil(1200, 600)};
}

TEST(Paper, SizesAreThoseOfTheStandards) {
  std::map<std::string, PublishedRow> published;
  for (const PublishedRow& row : published_table("paper_sizes.csv"))
    published[row.text("name").substr(0, row.text("name").find(' '))] = row;
  for (const Paper& paper : papers) {
    const PublishedRow& row = published.at(std::string(paper.name));
    EXPECT_DOUBLE_EQ(paper.width.value(), row.number("width_mm")) << paper.name;
    EXPECT_DOUBLE_EQ(paper.height.value(), row.number("height_mm")) << paper.name;
  }
}

TEST(TemplatePages, APendantIsWholeOnItsFirstPage) {
  for (const Paper& paper : papers) {
    const TemplatePages all = template_pages({pendant()}, paper);
    ASSERT_EQ(all.pages.size(), 1U);
    EXPECT_TRUE(all.pages[0].first);
    ASSERT_TRUE(all.pages[0].tile);
    EXPECT_EQ(all.pages[0].tile->box.right, 90);
    EXPECT_GE(all.pages[0].at.x, page_margin);
  }
}

TEST(TemplatePages, APanelHasAFirstPageAndATileForEveryCut) {
  const TemplatePages all = template_pages({pendant(), panel()}, paper_a4);
  const auto& tiles = all.tilings[1].tiles;
  const auto cut =
      std::count_if(tiles.begin(), tiles.end(), [](const PageTile& tile) { return tile.has_cut; });
  ASSERT_EQ(all.pages.size(), 2 + static_cast<std::size_t>(cut));
  EXPECT_TRUE(all.pages[1].first);
  EXPECT_FALSE(all.pages[1].tile);
  for (std::size_t i = 2; i < all.pages.size(); ++i) {
    EXPECT_EQ(all.pages[i].stencil, 1U);
    EXPECT_FALSE(all.pages[i].first);
    ASSERT_TRUE(all.pages[i].tile);
    EXPECT_TRUE(all.pages[i].tile->has_cut);
  }
}

TEST(TemplatePages, EveryTileIsWithinTheMargins) {
  for (const Paper& paper : papers) {
    for (const TemplatePage& page : template_pages({pendant(), panel()}, paper).pages) {
      if (!page.tile)
        continue;
      const BoxMm& box = page.tile->box;
      EXPECT_LE(page.at.x + box.right - box.left, paper.width.value() - page_margin + 1e-9);
      EXPECT_LE(page.at.y + box.bottom - box.top, paper.height.value() - page_foot + 1e-9);
    }
  }
}

TEST(TemplatePages, LargerPaperTakesFewerPages) {
  EXPECT_LT(template_pages({panel()}, paper_a3).pages.size(),
            template_pages({panel()}, paper_a4).pages.size());
}

TEST(TemplatesPdf, IsAPdfWithoutADateAndTheSameEveryTime) {
  const auto pdf = templates_pdf({pendant(), panel()}, paper_a4, "Marsh panel");
  const std::string text(pdf.begin(), pdf.end());
  EXPECT_EQ(text.substr(0, 5), "%PDF-");
  EXPECT_EQ(text.find("CreationDate"), std::string::npos);
  EXPECT_EQ(text.find("ModDate"), std::string::npos);
  EXPECT_EQ(templates_pdf({pendant(), panel()}, paper_a4, "Marsh panel"), pdf);
  EXPECT_NE(templates_pdf({pendant(), panel()}, paper_letter, "Marsh panel"), pdf);
}

TEST(TemplatesPdf, WithoutStencilsThereIsNoFile) {
  EXPECT_TRUE(templates_pdf({}, paper_a4, "Marsh panel").empty());
}

TEST(TemplatesPdf, TakesAnyTextAndAnySheet) {
  StencilTemplate odd = pendant();
  constexpr char wild[] = "\0(\\)\xff\xfe%PDF \xf0\x9f\x98\x80 \xd8\xa7\xd9\x84";
  odd.name = std::string(wild, sizeof wild - 1);
  odd.side_up = std::string(5000, 'w');
  EXPECT_FALSE(templates_pdf({odd}, paper_a4, std::string("\xef\xbf\xbf\n\t\x7f")).empty());
  StencilTemplate bare{"", "", {}};
  EXPECT_FALSE(templates_pdf({bare}, paper_letter, "").empty());
  bare.stencil.openings = {{}, {{1, 1}}, {{1, 1}, {2, 2}}};
  bare.stencil.pins = {{0, 0}};
  EXPECT_FALSE(templates_pdf({bare}, paper_letter, "").empty());
}

}  // namespace
}  // namespace powderplan
