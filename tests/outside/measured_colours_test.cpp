// Sources: reflectances of a 24-patch chart, mean of 30 charts (D. Pascale), and their XYZ under equal energy
// as colour-science computes them at 1 nm: published spectra through the way that a studio's spectra go.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "colour/difference.h"
#include "colour/observer.h"
#include "measure/spectra_file.h"
#include "published.h"

namespace powderplan {
namespace {

// 31 bands end at 400 and 700 nm, and sums of 10 nm are not sums of 1 nm.
constexpr double tolerance_de00 = 0.2;

TEST(MeasuredColours, OfPublishedReflectancesAreThePublishedOnes) {
  const std::vector<PublishedRow> spectra = published_table("chart24_babel_average_spectra.csv");
  const std::vector<PublishedRow> colours = published_table("chart24_babel_average_xyz_illE.csv");
  ASSERT_EQ(spectra.size(), 24u);
  ASSERT_EQ(colours.size(), 24u);
  // As an instrument's file: each patch a step of its own on the first one.
  std::string text = "wavelength_nm,reflectance 0 chart";
  for (std::size_t i = 0; i < spectra.size(); ++i)
    text += fmt::format(",reflectance {} chart", 0.01 * static_cast<double>(i + 1));
  for (int nm = 380; nm <= 730; nm += 10) {
    text += fmt::format("\n{},{}", nm, spectra[0].text(std::to_string(nm)));
    for (const PublishedRow& patch : spectra)
      text += "," + patch.text(std::to_string(nm));
  }
  const Readings readings = read_spectra(text + "\n", "chart.csv", Gloss::left_out);
  ASSERT_EQ(readings.steps.size(), 24u);

  const Observer see(Spectrum::constant(1));
  const Xyz equal_energy{1, 1, 1};
  double worst = 0;
  for (std::size_t i = 0; i < colours.size(); ++i) {
    EXPECT_EQ(spectra[i].text("patch"), colours[i].text("patch"));
    const Xyz published{colours[i].number("X") / 100, colours[i].number("Y") / 100,
                        colours[i].number("Z") / 100};
    const Xyz ours = adapt(see(std::get<Spectrum>(readings.steps[i].seen)), white_d65, equal_energy);
    const double off = ciede2000(to_lab(published, equal_energy), to_lab(ours, equal_energy));
    EXPECT_LT(off, tolerance_de00) << colours[i].text("patch");
    worst = std::max(worst, off);
  }
  EXPECT_GT(worst, tolerance_de00 / 10);
}

}  // namespace
}  // namespace powderplan
