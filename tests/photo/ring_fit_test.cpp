#include "photo/ring_fit.h"

#include <gtest/gtest.h>

#include <cmath>

#include "photo/mark_candidates.h"
#include "photo/photo_light.h"
#include "trial_card.h"

namespace powderplan {
namespace {

Shot oblique() {
  Shot shot;
  shot.tilt = 35;
  shot.tilt_axis = 20;
  shot.distance = 300;  // near, for strong perspective
  shot.fills = 0.5;
  shot.width = 1600;
  shot.height = 1200;
  return shot;
}
FlatView true_view(const Scene& scene, const Shot& shot) {
  std::array<PhotoPoint, 4> places;
  for (std::size_t i = 0; i < 4; ++i)
    places[i] = seen_at(scene, shot, scene.card.marks[i]);
  return {scene.card.marks, places};
}

TEST(RingFit, FindsTheCentreFromAMillimetreOff) {
  const TrialCard card = trial_card();
  const Shot shot = oblique();
  const Image<float> luminance = luminance_of(photograph(card.scene, shot).pixels);
  const FlatView view = true_view(card.scene, shot);
  for (std::size_t i = 0; i < 4; ++i) {
    const PointMm mark = card.scene.card.marks[i];
    const RingFit fit = fit_rings(luminance, view, {mark.x + 0.8, mark.y - 0.7});
    EXPECT_GT(fit.match, 0.98);
    EXPECT_EQ(fit.has_eye, i == 0);
    EXPECT_NEAR(fit.shift.x, -0.8, 0.02);
    EXPECT_NEAR(fit.shift.y, 0.7, 0.02);
    EXPECT_LT(fit.black, 0.2 * fit.white);
  }
}

TEST(RingFit, TellsTheBlur) {
  const TrialCard card = trial_card();
  Shot shot;
  shot.fills = 0.9;
  const double px_per_mm = seen_at(card.scene, shot, {1, 0}).x - seen_at(card.scene, shot, {0, 0}).x;
  for (const double blur : {1.5, 3.0}) {
    shot.blur = blur;
    const Image<float> luminance = luminance_of(photograph(card.scene, shot).pixels);
    const RingFit fit = fit_rings(luminance, true_view(card.scene, shot), card.scene.card.marks[1]);
    // Blurs are tried in steps of about a half, and pixels add a little.
    EXPECT_GT(fit.blur_mm, blur / px_per_mm / 1.3);
    EXPECT_LT(fit.blur_mm, blur / px_per_mm * 1.5);
  }
}

TEST(RingFit, NothingOnBarePaper) {
  const TrialCard card = trial_card();
  const Shot shot = oblique();
  const Image<float> luminance = luminance_of(photograph(card.scene, shot).pixels);
  EXPECT_LT(fit_rings(luminance, true_view(card.scene, shot), {100, 134}).match, 0.5);
}
TEST(RingFit, NothingOutsideThePhoto) {
  const Image<float> luminance(50, 50, 0.5f);
  EXPECT_EQ(fit_rings(luminance, FlatView(PhotoPoint{0, 0}, {{{4, 0}, {0, 4}}}), {}).match, 0);
}

TEST(MarkCandidates, FourMarksStandOutFromTheClutter) {
  const TrialCard card = trial_card();
  Shot shot;
  shot.tilt = 20;
  const auto found = mark_candidates(luminance_of(photograph(card.scene, shot).pixels));
  ASSERT_GE(found.size(), 4u);
  int eyes = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_GT(found[i].match, 0.95);
    eyes += found[i].has_eye ? 1 : 0;
  }
  EXPECT_EQ(eyes, 1);
}

// About 17 pixels across.
TEST(MarkCandidates, SmallMarks) {
  const TrialCard card = trial_card();
  Shot shot;
  shot.fills = 0.21;
  const auto found = mark_candidates(luminance_of(photograph(card.scene, shot).pixels));
  ASSERT_GE(found.size(), 4u);
  for (const PointMm& mark : card.scene.card.marks) {
    const PhotoPoint at = seen_at(card.scene, shot, mark);
    EXPECT_TRUE(std::any_of(found.begin(), found.end(), [&](const MarkCandidate& c) {
      return std::hypot(c.centre.x - at.x, c.centre.y - at.y) < 0.7;
    }));
  }
}

}  // namespace
}  // namespace powderplan
