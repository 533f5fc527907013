#include "measure/spectra_file.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "optics/surface.h"
#include "problem.h"
#include "property.h"

namespace powderplan {
namespace {

// A table of these columns whose cells come of the wavelength.
std::string table(const std::vector<std::string>& columns, double (*value)(double nm, std::size_t column),
                  double from = 400, double to = 700, double step = 10) {
  std::string text = "wavelength_nm";
  for (const std::string& column : columns)
    text += "," + column;
  for (int i = 0; from + i * step <= to + 1e-9; ++i) {
    const double nm = from + i * step;
    text += fmt::format("\n{}", nm);
    for (std::size_t c = 0; c < columns.size(); ++c)
      text += fmt::format(",{}", value(nm, c));
  }
  return text + "\n";
}

double sloping(double nm, std::size_t column) {
  return 0.1 + (nm - 400) / 1000 + 0.1 * static_cast<double>(column);
}

Spectrum seen_of(const StepReading& step) {
  return std::get<Spectrum>(step.seen);
}

const std::vector<std::string> two_grounds{"reflectance 0 light", "reflectance 0 dark",
                                           "reflectance 0.12 light", "reflectance 0.12 dark"};

TEST(SpectraFile, TakesItsColumnsByTheirHeadings) {
  const Readings readings = read_spectra(table(two_grounds, sloping), "s.csv", Gloss::left_out);
  ASSERT_EQ(readings.grounds.size(), 2u);
  EXPECT_EQ(readings.grounds[0].name, "light");
  EXPECT_EQ(readings.grounds[1].name, "dark");
  ASSERT_EQ(readings.steps.size(), 2u);
  EXPECT_EQ(readings.steps[1].load, Load(0.12));
  EXPECT_EQ(readings.steps[1].ground, 1u);
  for (std::size_t b = 0; b < band_count; ++b) {
    EXPECT_NEAR(seen_of(readings.steps[0])[b], sloping(band_nm(b), 2), 1e-12);
    // The bare ground, inside the glass.
    EXPECT_NEAR(seen_through(glass_surface(), readings.grounds[0].ground.backing[b], 0),
                sloping(band_nm(b), 0), 1e-12);
  }
}

// A straight line stays itself, however fine or coarse, or wide, the table is.
TEST(SpectraFile, ReadsAnyStepOfWavelengths) {
  for (const double step : {1.0, 2.0, 5.0, 7.0, 10.0, 20.0}) {
    const Readings readings =
        read_spectra(table(two_grounds, sloping, 380, 380 + 360 - std::fmod(360, step) + step, step), "s.csv",
                     Gloss::left_out);
    for (std::size_t b = 0; b < band_count; ++b)
      EXPECT_NEAR(seen_of(readings.steps[0])[b], sloping(band_nm(b), 2), step == 7 ? 0.002 : 1e-12)
          << step << " nm, " << band_nm(b);
  }
}

TEST(SpectraFile, TakesTheMirrorReflectionOff) {
  const Readings off = read_spectra(table(two_grounds, sloping), "s.csv", Gloss::left_out);
  const Readings on = read_spectra(table(two_grounds, sloping), "s.csv", Gloss::included);
  for (std::size_t b = 0; b < band_count; ++b)
    EXPECT_NEAR(seen_of(on.steps[0])[b], seen_of(off.steps[0])[b] - 0.04, 1e-12);
}

// A clear sheet of which the bare reading was taken lets through what was read, both surfaces included.
TEST(SpectraFile, AClearSheetLetsThroughWhatWasRead) {
  const Readings readings = read_spectra(table({"transmittance 0", "transmittance 0.2"},
                                               [](double, std::size_t c) { return c == 0 ? 0.9 : 0.5; }),
                                         "s.csv", Gloss::left_out);
  ASSERT_EQ(readings.grounds.size(), 1u);
  EXPECT_EQ(readings.grounds[0].name, "clear");
  EXPECT_EQ(readings.grounds[0].ground.view, View::window);
  const Spectrum through = seen(readings.grounds[0].ground, {});
  for (const double share : through)
    EXPECT_NEAR(share, 0.9, 1e-9);
}

TEST(SpectraFile, ReadsSpreadsheetsWithDecimalCommas) {
  std::string text = table(two_grounds, sloping);
  for (char& c : text)
    c = c == ',' ? ';' : c == '.' ? ',' : c;
  const Readings readings = read_spectra(text, "s.csv", Gloss::left_out);
  EXPECT_EQ(readings.steps[0].load, Load(0.12));
  EXPECT_NEAR(seen_of(readings.steps[0])[30], sloping(700, 2), 1e-12);
}

std::string complaint(const std::string& text) {
  try {
    read_spectra(text, "s.csv", Gloss::left_out);
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
  return "none";
}

TEST(SpectraFile, SaysWhatIsWrongAndWhere) {
  const std::string naming =
      "; name it like \"reflectance 0.12 light\" or \"transmittance 0.12\"; the bare ground has load 0";
  const auto named = [](const std::string& heading) {
    return complaint(table({"reflectance 0 light", heading}, sloping));
  };
  for (const std::string wrong : {"R 0.1 light", "reflectance light", "reflectance 0.1",
                                  "transmittance 0.1 light", "reflectance 0.1 light grey", ""})
    EXPECT_EQ(named(wrong), "s.csv:1: \"" + wrong + "\" names no reading" + naming);
  EXPECT_EQ(named("reflectance much light"),
            "s.csv:1: the load of \"reflectance much light\" is \"much\"; write a number");
  EXPECT_EQ(named("reflectance 12 light"),
            "s.csv:1: the load of \"reflectance 12 light\" is 12; it must be 0 to 5 g/cm2");
  EXPECT_EQ(named("reflectance 0.1 dark"),
            "s.csv:1: there is no reading of the bare dark ground; add the column \"reflectance 0 dark\"");
  EXPECT_EQ(named("transmittance 0.1"),
            "s.csv:1: there is no reading of the bare clear sheet; add the column \"transmittance 0\"");
  EXPECT_EQ(named("reflectance 0 light"),
            "s.csv:1: the bare light ground was read twice; leave one of the two columns out");
  EXPECT_EQ(named("reflectance 0 dark"), "s.csv:1: only bare grounds were read" + naming);
  EXPECT_EQ(
      complaint("nm,reflectance 0 light\n400,0.1\n"),
      "s.csv:1: there is no column \"wavelength_nm\"; the heading has nm, reflectance 0 light; name the "
      "column so");
  EXPECT_EQ(complaint(table(two_grounds, sloping, 410)),
            "s.csv:2: the spectra reach from 410 to 700 nm; they must reach from 400 to 700 nm");
  EXPECT_EQ(complaint(table(two_grounds, sloping, 400, 690)),
            "s.csv:31: the spectra reach from 400 to 690 nm; they must reach from 400 to 700 nm");
  EXPECT_EQ(complaint(table(two_grounds, sloping, 400, 700, 50)),
            "s.csv:3: there is nothing between 400 and 450 nm; give a value at least every 20 nm");
  EXPECT_EQ(complaint("wavelength_nm,reflectance 0 light\n400,0.1\n400,0.1\n"),
            "s.csv:3: the wavelengths do not rise; sort the rows by wavelength, each once");
  EXPECT_EQ(complaint(table(two_grounds, [](double, std::size_t) { return 45.0; })),
            "s.csv:2: \"reflectance 0 light\" is 45; write shares from 0 to 1: divide percent by 100");
  EXPECT_EQ(complaint(table(two_grounds, [](double, std::size_t) { return -0.5; })),
            "s.csv:2: \"reflectance 0 light\" is -0.5; it must be -0.02 to 1000");
}

}  // namespace
}  // namespace powderplan
