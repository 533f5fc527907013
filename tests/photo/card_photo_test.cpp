#include "photo/card_photo.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <mutex>
#include <random>
#include <string>

#include "colour/difference.h"
#include "parallel.h"
#include "photo/find_marks.h"
#include "problem.h"
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
  Tally tally;
  std::mutex lock;
  for_each_block(
      100, [&](std::size_t i) { look(card, drawing, 1000 + static_cast<std::uint32_t>(i), tally, lock); });
  fmt::print("found {} worst {:.3f} mm, colours mean {:.2f} p95 {:.2f} max {:.2f}\n", tally.found,
             tally.worst_mm, mean_of(tally.off), quantile(tally.off, 0.95), quantile(tally.off, 1));
  for (const std::string& refusal : tally.refusals)
    fmt::print("{}\n", refusal);
  EXPECT_GE(tally.found, 98);
  EXPECT_LT(tally.worst_mm, mark_centre_error);
}

}  // namespace
}  // namespace powderplan
