#include "photo/card_photo.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <mutex>
#include <random>
#include <string>

#include "colour/difference.h"
#include "parallel.h"
#include "photo/find_marks.h"
#include "problem.h"
#include "report/temporary_folder.h"
#include "trial_card.h"

namespace powderplan {
namespace {

Shot any_shot(const Scene& scene, std::uint32_t seed) {
  std::mt19937 chance(seed);
  const auto between = [&](double least, double most) {
    return least + (most - least) * static_cast<double>(chance()) / static_cast<double>(std::mt19937::max());
  };
  Shot shot;
  shot.seed = seed;
  shot.tilt = between(0, 30);
  shot.tilt_axis = between(0, 360);
  shot.turn = between(0, 360);
  shot.distance = between(350, 900);
  shot.fills = between(0.6, 0.95);
  shot.off_x = between(-60, 60);
  shot.off_y = between(-60, 60);
  shot.falloff = 0.2;
  shot.falloff_towards = between(0, 360);
  shot.vignetting = between(0, 0.2);
  shot.gains = daylight_gains(6504 + between(-500, 500));
  shot.exposure = between(0.55, 0.95);
  shot.blur = between(0.5, 1.1);
  shot.noise = between(0.002, 0.012);
  // As a person would: step back until the whole card is in the picture.
  while (!sees_all_marks(scene, shot))
    shot.fills *= 0.95;
  return shot;
}

struct Tally {
  int found = 0;
  double worst_mm = 0;
  std::vector<double> off;  // CIEDE2000 of fields
  std::vector<std::string> refusals;
};

void look(const TrialCard& card, const CardDrawing& drawing, std::uint32_t seed, Tally& tally,
          std::mutex& lock) {
  const Shot shot = any_shot(card.scene, seed);
  const Picture picture = photograph(drawing, card.scene, shot);
  try {
    const CardPhoto photo(picture, card.scene.card, {}, "shot.jpg");
    double worst = 0;
    for (std::size_t i = 0; i < 4; ++i) {
      const PointMm at = place_of(card.scene, shot, photo.marks()[i]), true_at = card.scene.card.marks[i];
      worst = std::max(worst, std::hypot(at.x - true_at.x, at.y - true_at.y));
    }
    std::vector<double> off;
    for (std::size_t i = 0; i < card.fields.size(); ++i)
      off.push_back(ciede2000(to_lab(card.colours[i]), to_lab(photo.read(card.fields[i], "field").colour)));
    const std::lock_guard guard(lock);
    ++tally.found;
    tally.worst_mm = std::max(tally.worst_mm, worst);
    tally.off.insert(tally.off.end(), off.begin(), off.end());
  } catch (const Problem& problem) {
    const std::lock_guard guard(lock);
    tally.refusals.push_back(fmt::format("seed {}: {}", seed, problem.what()));
  }
}

double mean_of(const std::vector<double>& values) {
  double sum = 0;
  for (const double v : values)
    sum += v;
  return sum / static_cast<double>(values.size());
}
double quantile(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

TEST(CardPhoto, HundredViews) {
  const TrialCard card = trial_card();
  const CardDrawing drawing(card.scene, 7);
  constexpr std::uint32_t first_seed = 1000;
  Tally tally;
  std::mutex lock;
  for_each_block(100, [&](std::size_t i) {
    look(card, drawing, first_seed + static_cast<std::uint32_t>(i), tally, lock);
  });
  std::string refusals;
  for (const std::string& refusal : tally.refusals)
    refusals += refusal + "\n";
  fmt::print(
      "seeds {} to {}: {} read, centres within {:.3f} mm, CIEDE2000 mean {:.2f}, 95 % below {:.2f}, most "
      "{:.2f}\n{}",
      first_seed, first_seed + 99, tally.found, tally.worst_mm, mean_of(tally.off), quantile(tally.off, 0.95),
      quantile(tally.off, 1), refusals);
  EXPECT_GE(tally.found, 98) << refusals;
  EXPECT_LT(tally.worst_mm, 0.03);  // far within mark_centre_error, as the made-up lens is perfect
  // JPEG rounds the colour of even areas to steps of about one code; see WithoutJpeg.
  EXPECT_LT(mean_of(tally.off), 0.5);
  EXPECT_LT(quantile(tally.off, 0.95), 1.2);
}

TEST(CardPhoto, WithoutJpegColoursAreRead) {
  const TrialCard card = trial_card();
  Shot shot = any_shot(card.scene, 5);
  shot.jpeg_quality = 0;
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {}, "shot.png");
  for (std::size_t i = 0; i < card.fields.size(); ++i) {
    const FieldReading reading = photo.read(card.fields[i], "field");
    EXPECT_LT(ciede2000(to_lab(card.colours[i]), to_lab(reading.colour)), 0.3) << i;
    EXPECT_EQ(reading.used, 1) << i;
  }
}

TEST(CardPhoto, ANeutralCardKnowsHowLightThePaperIs) {
  TrialCard card = trial_card();
  card.scene.paper = 0.75;
  card.scene.boxes.push_back({*card.scene.card.reference, to_xyz(LinearRgb{0.18, 0.18, 0.18})});
  Shot shot = any_shot(card.scene, 6);
  shot.jpeg_quality = 95;
  const Picture picture = photograph(card.scene, shot);
  const CardPhoto neutral(picture, card.scene.card, {{}, NeutralReference{}}, "shot.jpg");
  const CardPhoto paper(picture, card.scene.card, {}, "shot.jpg");
  for (std::size_t i = 0; i < card.fields.size(); ++i) {
    const Lab wanted = to_lab(card.colours[i]);
    EXPECT_LT(ciede2000(wanted, to_lab(neutral.read(card.fields[i], "field").colour)), 1.2) << i;
    // The paper is thought to be lighter than it is.
    EXPECT_NEAR(paper.read(card.fields[i], "field").colour.y / card.colours[i].y, 0.85 / 0.75, 0.04) << i;
  }
}

TEST(CardPhoto, ReadsThePictureOfAFileAlike) {
  const TrialCard card = trial_card();
  const Shot shot = any_shot(card.scene, 7);
  const TemporaryFolder folder;
  const auto file = folder.path() / "shot.jpg";
  photograph_to(file, card.scene, shot);
  const CardPhoto from_file(read_picture(file), card.scene.card, {}, file);
  const CardPhoto direct(photograph(card.scene, shot), card.scene.card, {}, file);
  for (const BoxMm& field : card.fields)
    EXPECT_LT(
        ciede2000(to_lab(from_file.read(field, "field").colour), to_lab(direct.read(field, "field").colour)),
        0.3);
}

TEST(CardPhoto, GrainIsNoGlare) {
  TrialCard card = trial_card();
  // All but the white one, which such grain would take beyond the perfect diffuser.
  for (std::size_t i = 1; i < card.fields.size(); ++i)
    card.scene.boxes[i].grain = 0.25;
  Shot shot;
  shot.width = 2400;
  shot.height = 1800;
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {}, "shot.jpg");
  for (std::size_t i = 1; i < card.fields.size(); ++i) {
    const FieldReading reading = photo.read(card.fields[i], "field");
    EXPECT_GT(reading.used, 0.95) << i;
    EXPECT_LT(ciede2000(to_lab(card.colours[i]), to_lab(reading.colour)), 0.8) << i;
  }
}

TEST(CardPhoto, AGlareSpotSpoilsOnlyTheFieldUnderIt) {
  const TrialCard card = trial_card();
  Shot shot;
  shot.glare = Glare{{card.fields[5].left + 3, card.fields[5].top + 6}, 1.8, 0.5};
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {}, "shot.jpg");
  for (std::size_t i = 0; i < card.fields.size(); ++i) {
    const FieldReading reading = photo.read(card.fields[i], "field");
    EXPECT_LT(ciede2000(to_lab(card.colours[i]), to_lab(reading.colour)), 1.2) << i;
    if (i == 5) {
      EXPECT_LT(reading.used, 0.95);
    }
  }
}

TEST(CardPhoto, LightWhoseColourChangesIsEvenedOut) {
  const TrialCard card = trial_card();
  Shot shot;
  shot.falloff = 0.3;
  shot.far_gains = {1.1, 1, 0.85};
  shot.jpeg_quality = 95;
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {}, "shot.jpg");
  for (std::size_t i = 0; i < card.fields.size(); ++i)
    EXPECT_LT(ciede2000(to_lab(card.colours[i]), to_lab(photo.read(card.fields[i], "field").colour)), 1.0)
        << i;
}

// A phone's lens bends straight lines by about so much; fields are read at their middles, so it does no harm.
TEST(CardPhoto, AWeakBarrelDoesNoHarm) {
  const TrialCard card = trial_card();
  Shot shot;
  shot.barrel = 0.01;
  shot.jpeg_quality = 95;
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {}, "shot.jpg");
  for (std::size_t i = 0; i < card.fields.size(); ++i)
    EXPECT_LT(ciede2000(to_lab(card.colours[i]), to_lab(photo.read(card.fields[i], "field").colour)), 0.8)
        << i;
}

// ---- marks

std::array<PhotoPoint, 4> true_places(const Scene& scene, const Shot& shot) {
  std::array<PhotoPoint, 4> places;
  for (std::size_t i = 0; i < 4; ++i)
    places[i] = seen_at(scene, shot, scene.card.marks[i]);
  return places;
}
double furthest_mm(const CardPhoto& photo, const Scene& scene, const Shot& shot) {
  double worst = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const PointMm at = place_of(scene, shot, photo.marks()[i]), mark = scene.card.marks[i];
    worst = std::max(worst, std::hypot(at.x - mark.x, at.y - mark.y));
  }
  return worst;
}

TEST(CardPhoto, MarksGivenByHandAreRefined) {
  const TrialCard card = trial_card();
  const Shot shot = any_shot(card.scene, 8);
  PhotoRules rules;
  rules.marks = true_places(card.scene, shot);
  const std::array<PhotoPoint, 4> off{{{9, -7}, {-8, 8}, {5, 10}, {-9, -6}}};  // pixels: two or three mm
  for (std::size_t i = 0; i < 4; ++i)
    (*rules.marks)[i] = {(*rules.marks)[i].x + off[i].x, (*rules.marks)[i].y + off[i].y};
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, rules, "shot.jpg");
  EXPECT_LT(furthest_mm(photo, card.scene, shot), mark_centre_error);
}

TEST(CardPhoto, ACoveredMarkIsTakenAsGiven) {
  TrialCard card = trial_card();
  card.scene.discs.push_back({card.scene.card.marks[2], 9, to_xyz(LinearRgb{0.3, 0.2, 0.1})});
  const Shot shot = any_shot(card.scene, 9);
  PhotoRules rules;
  rules.marks = true_places(card.scene, shot);
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, rules, "shot.jpg");
  EXPECT_LT(furthest_mm(photo, card.scene, shot), mark_centre_error);
  EXPECT_TRUE(std::any_of(photo.notes().begin(), photo.notes().end(), [](const std::string& note) {
    return note == "no rings were seen at mark 3: its place is taken as given";
  }));
}

TEST(CardPhoto, StrayMarksDoNotMislead) {
  TrialCard card = trial_card();
  card.scene.card.white.pop_back();
  card.scene.stray_marks = {{196, 60}, {100, 134}, {150, 14}};
  for (const std::uint32_t seed : {20u, 21u, 22u, 23u}) {
    const Shot shot = any_shot(card.scene, seed);
    const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {}, "shot.jpg");
    EXPECT_LT(furthest_mm(photo, card.scene, shot), mark_centre_error) << "seed " << seed;
  }
}

// ---- flattened

TEST(CardPhoto, FlattenedShowsTheCardAsDrawn) {
  const TrialCard card = trial_card();
  Shot shot = any_shot(card.scene, 10);
  shot.jpeg_quality = 95;
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {}, "shot.jpg");
  const BoxMm area{28, 26, 182, 68};
  const Image<Xyz> flat = photo.flattened(area, Millimetres(1));
  ASSERT_EQ(flat.width(), 154);
  ASSERT_EQ(flat.height(), 42);
  for (std::size_t i = 0; i < 10; ++i) {
    // The point whose middle is that of the field.
    const int x = static_cast<int>((card.fields[i].left + card.fields[i].right) / 2 - area.left);
    Xyz mean;
    for (int dy = -3; dy <= 3; ++dy)
      mean = mean + flat.at(x, 20 + dy) * (1 / 7.0);
    EXPECT_LT(ciede2000(to_lab(card.colours[i]), to_lab(mean)), 2) << i;
    // Just left of it lies bare paper.
    EXPECT_GT(flat.at(static_cast<int>(card.fields[i].left - 1 - area.left), 20).y, 0.6) << i;
  }
  const Image<std::uint8_t> bad = photo.untrusted(area, Millimetres(1));
  EXPECT_EQ(std::count(bad.data(), bad.data() + bad.size(), 0), 154 * 42);
}

TEST(CardPhoto, ClippedAndUnseenPointsAreNotTrusted) {
  const TrialCard card = trial_card();
  Shot shot;
  shot.glare = Glare{{100, 50}, 3, 3};
  const CardPhoto photo(photograph(card.scene, shot), card.scene.card, {}, "shot.jpg");
  const Image<std::uint8_t> bad = photo.untrusted({90, 40, 110, 60}, Millimetres(1));
  EXPECT_NE(bad.at(10, 10), 0);
  EXPECT_EQ(bad.at(0, 0), 0);
  const Image<std::uint8_t> beyond = photo.untrusted({500, 50, 510, 60}, Millimetres(1));
  EXPECT_EQ(std::count(beyond.data(), beyond.data() + beyond.size(), 0), 0);
  EXPECT_THROW(static_cast<void>(photo.read({500, 50, 510, 60}, "cell 9")), Problem);
}

}  // namespace
}  // namespace powderplan
