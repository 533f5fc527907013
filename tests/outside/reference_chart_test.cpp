// The published 24-patch chart (its maker's Lab under D50, before November 2014; tests/data/published) drawn
// on a card, photographed under light that is not D65, and read back. The published values are the only truth
// here: what the camera, the light and the noise do to them is made up.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "colour/difference.h"
#include "photo/card_photo.h"
#include "photo/chart_file.h"
#include "photo/photographed_card.h"
#include "published.h"

namespace powderplan {
namespace {

constexpr int rows = 4, columns = 6;
// From its chromaticity, as the published table has it (0.3457, 0.3585).
constexpr Xyz white_d50{0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585};

struct Patch {
  std::string name;
  Lab d50;
  Xyz d65;
  bool in_srgb = false;
};
std::vector<Patch> published_patches() {
  std::vector<Patch> patches;
  for (const PublishedRow& row : published_table("chart24_lab_srgb.csv")) {
    Patch patch{row.text("name"), {row.number("L"), row.number("a"), row.number("b")}, {}, false};
    patch.d65 = adapt(to_xyz(patch.d50, white_d50), white_d50, white_d65);
    const LinearRgb c = to_linear_rgb(patch.d65);
    patch.in_srgb = std::min({c.r, c.g, c.b}) > 0 && std::max({c.r, c.g, c.b}) < 1;
    patches.push_back(patch);
  }
  return patches;
}

ChartReference chart_from_file(const std::vector<Patch>& patches) {
  std::string text = "# white D50\nrow,column,l,a,b\n";
  for (std::size_t i = 0; i < patches.size(); ++i)
    text += fmt::format("{},{},{},{},{}\n", i / columns + 1, i % columns + 1, patches[i].d50.l,
                        patches[i].d50.a, patches[i].d50.b);
  return parse_chart(text, "chart.csv");
}

// The chart twice: in the place for a reference, and as fields; or a neutral card in that place.
struct ChartCard {
  Scene scene;
  std::vector<BoxMm> fields;
};
void draw_chart(const std::vector<Patch>& patches, const BoxMm& place, std::vector<BoxMm>& boxes,
                Scene& scene) {
  const double width = (place.right - place.left) / columns, height = (place.bottom - place.top) / rows;
  for (std::size_t i = 0; i < patches.size(); ++i) {
    const std::size_t across = i % columns, down = i / columns;
    const double left = place.left + width * static_cast<double>(across);
    const double top = place.top + height * static_cast<double>(down);
    boxes.push_back({left, top, left + width, top + height});
    scene.boxes.push_back({boxes.back(), patches[i].d65});
  }
}
ChartCard chart_card(const std::vector<Patch>& patches, bool neutral) {
  ChartCard card;
  card.scene.card.marks = {{{14, 14}, {196, 14}, {196, 134}, {14, 134}}};
  card.scene.card.white = {{26, 5, 184, 23}, {26, 125, 184, 143}, {4, 26, 22, 122}, {188, 26, 206, 122}};
  card.scene.card.reference = BoxMm{118, 40, 184, 84};
  card.scene.width = 210;
  card.scene.height = 148;
  draw_chart(patches, {26, 34, 110, 90}, card.fields, card.scene);
  std::vector<BoxMm> unread;
  if (neutral)
    card.scene.boxes.push_back({*card.scene.card.reference, to_xyz(LinearRgb{0.18, 0.18, 0.18})});
  else
    draw_chart(patches, *card.scene.card.reference, unread, card.scene);
  return card;
}

Shot warm_shot() {
  Shot shot;
  shot.width = 1600;
  shot.height = 1200;
  shot.tilt = 18;
  shot.tilt_axis = 70;
  shot.turn = 8;
  shot.falloff = 0.2;
  shot.falloff_towards = 30;
  shot.gains = daylight_gains(5500);
  return shot;
}

struct Offs {
  double mean = 0, most = 0;
  std::string worst;
};
// Of the patches that an sRGB photo can hold: cyan is outside it.
Offs offs_of(const ChartCard& card, const std::vector<Patch>& patches, const Shot& shot,
             const WhiteReference& reference) {
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {{}, reference}, "chart.jpg");
  Offs offs;
  int count = 0;
  for (std::size_t i = 0; i < patches.size(); ++i) {
    if (!patches[i].in_srgb)
      continue;
    const double off =
        ciede2000(to_lab(patches[i].d65), to_lab(photo.read(card.fields[i], patches[i].name).colour));
    offs.mean += off;
    ++count;
    if (off > offs.most) {
      offs.most = off;
      offs.worst = patches[i].name;
    }
  }
  EXPECT_EQ(count, 23);
  offs.mean /= count;
  return offs;
}

// Most of what is left comes from JPEG, which rounds the colour of even areas to steps of about one code.
TEST(ReferenceChart, ReadByANeutralCard) {
  const std::vector<Patch> patches = published_patches();
  const Offs offs = offs_of(chart_card(patches, true), patches, warm_shot(), NeutralReference{});
  EXPECT_LT(offs.mean, 1.0);
  EXPECT_LT(offs.most, 2.5) << offs.worst;
}
TEST(ReferenceChart, ReadByANeutralCardWithoutJpeg) {
  const std::vector<Patch> patches = published_patches();
  Shot shot = warm_shot();
  shot.jpeg_quality = 0;
  const Offs offs = offs_of(chart_card(patches, true), patches, shot, NeutralReference{});
  EXPECT_LT(offs.mean, 0.05);
  EXPECT_LT(offs.most, 0.25) << offs.worst;
}
TEST(ReferenceChart, ReadByTheChart) {
  const std::vector<Patch> patches = published_patches();
  const Offs offs = offs_of(chart_card(patches, false), patches, warm_shot(), chart_from_file(patches));
  EXPECT_LT(offs.mean, 0.7);
  EXPECT_LT(offs.most, 2) << offs.worst;
}

// A camera that dulls colours and hardens tones: a neutral card cannot know of it, the chart can.
TEST(ReferenceChart, TellsWhatTheCameraDoes) {
  const std::vector<Patch> patches = published_patches();
  Shot shot = warm_shot();
  shot.mixing = 0.05;
  shot.tone = 1.1;
  const Offs neutral = offs_of(chart_card(patches, true), patches, shot, NeutralReference{});
  const Offs chart = offs_of(chart_card(patches, false), patches, shot, chart_from_file(patches));
  EXPECT_GT(neutral.mean, 3 * chart.mean);
  EXPECT_LT(chart.mean, 1.0);
  EXPECT_LT(chart.most, 3) << chart.worst;
}

}  // namespace
}  // namespace powderplan
