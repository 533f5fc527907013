#include "measure/palette_entry.h"

#include <gtest/gtest.h>

#include "colour/difference.h"
#include "glass/good_palette.h"
#include "glass/palette.h"
#include "measure/known_tile.h"

namespace powderplan {
namespace {

MeasuredPowder measured() {
  MeasuredPowder powder;
  for (std::size_t b = 0; b < band_count; ++b) {
    powder.optics.k[b] = 1 + static_cast<double>(b) / 7;
    powder.optics.s[b] = 0.123456789;
  }
  powder.optics.spreads = 1.0871;
  powder.residual_de00 = 0.314;
  powder.expected_de00 = 0.456;
  return powder;
}

TEST(PaletteEntry, HasItsKeysInOrder) {
  std::vector<std::string> keys;
  for (const KeyEdit& edit : palette_entry(measured()))
    keys.push_back(edit.key);
  EXPECT_EQ(keys,
            (std::vector<std::string>{"k", "s", "spreads", "load_curve", "residual", "expected_error"}));
}

TEST(PaletteEntry, WritesWhatAMeasurementCanSay) {
  MeasuredPowder powder = measured();
  const std::vector<KeyEdit> plain = palette_entry(powder);
  EXPECT_EQ(plain[0].value->substr(0, 21), "[1, 1.1429, 1.2857, 1");
  EXPECT_EQ(plain[2].value, "1.087");
  EXPECT_FALSE(plain[3].value);  // an old curve does not hold any more
  EXPECT_EQ(plain[4].value, "0.31");
  EXPECT_EQ(plain[5].value, "0.46");
  powder.optics.curve = LoadCurve({{Load(0.02), Load(0.031234567)}, {Load(0.5), Load(0.4)}});
  EXPECT_EQ(palette_entry(powder)[3].value, "[[0.02, 0.031235], [0.5, 0.4]]");
}

// The palette that it was written into predicts the same colours, to a small part of what the eye can see.
TEST(PaletteEntry, PredictsTheSameColoursFromThePalette) {
  const known_tile::KnownTile tile(known::made_up(3, true), true, 0.8);
  const Readings readings = tile.read(0.2, 3);
  const MeasuredPowder powder = measure_powder(readings, "tile.jpg");
  ASSERT_FALSE(powder.optics.curve.points().empty());
  const std::string text =
      edit_powders(changed("grain_mm = 0.08", "grain_mm = " + toml_value(readings.grain.value())),
                   "shelf.toml", {{"samphire", palette_entry(powder)}});
  const Powder read = parse_palette(text, "shelf.toml").powders[0];
  EXPECT_TRUE(read.measured);
  EXPECT_NEAR(read.expected_de00, powder.expected_de00, 0.005);
  for (const StepReading& step : readings.steps)
    EXPECT_LT(ciede2000(lab_of(look_of(powder.optics, readings, step)),
                        lab_of(look_of(read.optics, readings, step))),
              0.02);
}

}  // namespace
}  // namespace powderplan
