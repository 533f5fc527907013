// Text and pictures on printed pages, read and drawn by another program (poppler-utils: pdftotext, pdfimages,
// pdftoppm).
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <sstream>

#include "outside/programs.h"
#include "raster/picture.h"
#include "report/pdf_document.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

const std::string arabic = "\u0645\u0644\u062d \u0627\u0644\u0628\u062d\u0631";  // salt of the sea
const std::string hebrew = "\u05de\u05dc\u05d7 \u05d4\u05d9\u05dd";              // the same
const std::string mixed = "<b>&\"'\U0001f600 ";

class PrintedPage : public ::testing::Test {
 protected:
  void keep(PdfDocument& pdf) {
    const std::vector<std::uint8_t> bytes = pdf.bytes();
    std::ofstream(file(), std::ios::binary)
        .write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  }
  [[nodiscard]] std::string file() const { return (place_.path() / "page.pdf").string(); }
  [[nodiscard]] std::string text(const std::string& how = "") const {
    return testing::output_of("pdftotext " + how + " '" + file() + "' -");
  }
  [[nodiscard]] Image<LinearPixel> drawn(int dpi) const {
    EXPECT_EQ(testing::output_of("pdftoppm -r " + std::to_string(dpi) + " -singlefile '" + file() + "' '" +
                                 (place_.path() / "page").string() + "'"),
              "");
    return read_picture(place_.path() / "page.ppm").pixels;
  }
  [[nodiscard]] std::size_t words_read(const std::string& wanted) const {
    std::istringstream words(text());
    std::size_t count = 0;
    for (std::string word; words >> word;)
      count += word == wanted ? 1 : 0;
    return count;
  }
  TemporaryFolder place_;
};

TEST_F(PrintedPage, EveryScriptIsReadBackAsItWasWritten) {
  PdfDocument pdf("page");
  pdf.page(Millimetres(100), Millimetres(60));
  pdf.text({10, 10}, mixed, {});
  pdf.text({90, 20}, arabic, {.align = Align::right});
  pdf.paragraph({10, 30}, 80, hebrew, {.weight = Weight::bold});
  pdf.paragraph({10, 40}, 80, Markup{"one <b>two</b> &lt;three&gt; <small>four</small>"}, {});
  keep(pdf);
  const std::string read = text();
  for (const std::string& wanted :
       {mixed.substr(0, mixed.size() - 1), arabic, hebrew, std::string("one two <three> four")})
    EXPECT_NE(read.find(wanted), std::string::npos) << wanted << " in\n" << read;
}

TEST_F(PrintedPage, AParagraphTakesTheHeightThatWasMeasuredAndKeepsItsWidth) {
  PdfDocument pdf("page");
  pdf.page(Millimetres(100), Millimetres(200));
  const PageText style{.size = 4};
  std::string long_text;
  for (int i = 0; i < 30; ++i)
    long_text += i % 7 == 3 ? "saltmarshsaltmarshsaltmarshsaltmarsh " : "reed and water ";
  const double height = pdf.paragraph_height(50, long_text, style);
  EXPECT_DOUBLE_EQ(pdf.paragraph({20, 10}, 50, long_text, style), 10 + height);
  keep(pdf);
  std::istringstream boxes(text("-bbox"));
  int words = 0;
  double lowest = 0;
  constexpr double mm = 25.4 / 72;
  for (std::string line; std::getline(boxes, line);) {
    double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    // NOLINTNEXTLINE(cert-err34-c): places on a page, as pdftotext prints them
    if (std::sscanf(line.c_str(), " <word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\"", &x0, &y0, &x1,
                    &y1) != 4)
      continue;
    ++words;
    EXPECT_GE(x0 * mm, 19.9) << line;
    EXPECT_LE(x1 * mm, 70.1) << line;
    lowest = std::max(lowest, y1 * mm);
  }
  EXPECT_GT(words, 60);
  // The last baseline lies one line above the end; letters reach a quarter of an em below it.
  EXPECT_NEAR(lowest, 10 + height - 4 * style.line_pitch + 0.25 * 4, 0.5);
}

TEST_F(PrintedPage, APictureLiesWhereItWasPutInItsColours) {
  Image<Rgb8> picture(40, 20, Rgb8{200, 60, 30});
  for (int y = 0; y < 20; ++y)
    for (int x = 20; x < 40; ++x)
      picture.at(x, y) = {20, 90, 160};
  for (const PictureCoding coding : {PictureCoding::exact, PictureCoding::photo}) {
    PdfDocument pdf("page");
    pdf.page(Millimetres(100), Millimetres(60));
    pdf.picture({10, 20, 90, 50}, picture, coding);
    keep(pdf);
    const Image<LinearPixel> page = drawn(127);  // 5 pixels a millimetre
    const auto at = [&](double x, double y) {
      return page.at(static_cast<int>(x * 5), static_cast<int>(y * 5));
    };
    const double tolerance = coding == PictureCoding::exact ? 1e-6 : 0.02;
    const auto linear = [](int code) { return std::pow((code / 255.0 + 0.055) / 1.055, 2.4); };
    for (const double x : {11.0, 45.0}) {
      EXPECT_NEAR(at(x, 22).r, linear(200), tolerance);
      EXPECT_NEAR(at(x, 48).g, linear(60), tolerance);
    }
    for (const double x : {55.0, 89.0})
      EXPECT_NEAR(at(x, 35).b, linear(160), tolerance);
    for (const auto& [x, y] : {std::pair{9.0, 35.0}, {91.0, 35.0}, {50.0, 19.0}, {50.0, 51.0}})
      EXPECT_GT(at(x, y).r, 0.999) << x << " " << y;
    const std::string listed = testing::output_of("pdfimages -list '" + file() + "'");
    EXPECT_NE(listed.find(coding == PictureCoding::photo ? "jpeg" : "image"), std::string::npos) << listed;
  }
}

TEST_F(PrintedPage, TheSameCallsGiveTheSameBytes) {
  const auto made = [] {
    PdfDocument pdf("page " + hebrew);
    pdf.page(Millimetres(100), Millimetres(60));
    pdf.bookmark("one");
    pdf.paragraph({10, 10}, 50, mixed + arabic, {.halo = 0.5});
    pdf.picture({10, 30, 50, 50}, Image<Rgb8>(8, 8, Rgb8{1, 2, 3}), PictureCoding::photo);
    return pdf.bytes();
  };
  EXPECT_EQ(made(), made());
}

}  // namespace
}  // namespace powderplan
