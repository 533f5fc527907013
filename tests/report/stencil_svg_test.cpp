#include "report/stencil_svg.h"

#include <gtest/gtest.h>

#include <string>

#include "report/drawing_points.h"
#include "stencils.h"

namespace powderplan {
namespace {

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++count;
  return count;
}

TEST(StencilSvg, HasTrueSizeAndTheOriginAtTheSheetsCorner) {
  Stencil stencil = fixture::sheet(60, 40, 12.5);
  stencil.openings = {fixture::box_shape(10, 20, 30, 25.25)};
  const std::string svg = stencil_svg(stencil, "Trial");
  EXPECT_NE(svg.find("width=\"85mm\" height=\"65mm\" viewBox=\"0 0 85 65\""), std::string::npos) << svg;
  EXPECT_NE(svg.find("d=\"M22.5 32.5L42.5 32.5L42.5 37.75L22.5 37.75Z\""), std::string::npos) << svg;
  EXPECT_NE(svg.find("cx=\"6.25\" cy=\"6.25\" r=\"2\""), std::string::npos) << svg;
  EXPECT_NE(svg.find("d=\"M0 0L85 0L85 65L0 65Z\""), std::string::npos) << svg;
}

TEST(StencilSvg, HoldsNothingButCutLinesTheSheetsEdgeLast) {
  const std::string svg = stencil_svg(fixture::trial_stencil(60, 40), "Trial");
  EXPECT_EQ(count_of(svg, "class=\"opening\""), 4U);
  EXPECT_EQ(count_of(svg, "class=\"pin\""), 3U);
  EXPECT_EQ(count_of(svg, "class=\"sheet\""), 1U);
  EXPECT_EQ(count_of(svg, "<path"), 5U);
  EXPECT_EQ(count_of(svg, "fill=\"none\""), 1U);
  EXPECT_EQ(count_of(svg, "<text"), 0U);
  EXPECT_LT(svg.find("id=\"openings\""), svg.find("id=\"pins\""));
  EXPECT_LT(svg.find("id=\"pins\""), svg.find("id=\"sheet\""));
}

TEST(StencilSvg, TitlesOfAnyKindStayText) {
  const std::string svg =
      stencil_svg(fixture::sheet(10, 10), "</title><script>&\"'\xf0\x9f\x98\x80\xff\x01\xef\xbf\xbf]]>");
  EXPECT_NE(svg.find("<title>&lt;/title&gt;&lt;script&gt;&amp;&quot;&apos;\xf0\x9f\x98\x80\xef\xbf\xbd "
                     "\xef\xbf\xbd]]&gt;</title>"),
            std::string::npos)
      << svg;
}

TEST(StencilSvg, OpeningsWithoutAreaAreLeftOut) {
  Stencil stencil = fixture::sheet(10, 10);
  stencil.openings = {
      {}, {{1, 1}}, {{1, 1}, {1.0002, 1}, {5, 1}}, {{1, 1}, {5, 1}, {5, 5}, {5.0001, 5.0001}}};
  const std::string svg = stencil_svg(stencil, "");
  EXPECT_EQ(count_of(svg, "class=\"opening\""), 1U);
  EXPECT_NE(svg.find("d=\"M26 26L30 26L30 30Z\""), std::string::npos) << svg;
}

TEST(DrawingPoints, AreWrittenInMillimetresWithoutNeedlessZeros) {
  EXPECT_EQ(decimal_mm(0), "0");
  EXPECT_EQ(decimal_mm(12500), "12.5");
  EXPECT_EQ(decimal_mm(-4), "-0.004");
  EXPECT_EQ(decimal_mm(1250000), "1250");
  EXPECT_EQ(decimal_mm(drawn(-0.0004)), "0");
  EXPECT_EQ(decimal_mm(drawn(0.0006)), "0.001");
}

}  // namespace
}  // namespace powderplan
