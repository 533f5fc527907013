#include "report/surface.h"

#include <gtest/gtest.h>

#include "colour/difference.h"
#include "parallel.h"
#include "report/field_record.h"
#include "report/preview.h"
#include "report/spot_looks.h"

namespace powderplan {
namespace {

// Fields of one powder, from a dusting to a full coat, and of two powders on each other.
std::vector<std::vector<FieldCoat>> trial_fields() {
  return {{{2, Load(0.003)}},
          {{2, Load(0.012)}},
          {{0, Load(0.02)}},
          {{1, Load(0.04)}},
          {{0, Load(0.3)}},
          {{0, Load(0.3)}, {2, Load(0.008)}},
          {{2, Load(0.01)}, {1, Load(0.015)}},
          {}};
}

void expect_means(const PlanRecord& plan, const Moment& moment, View view, const char* what) {
  const Image<Rgb8> predicted = picture_at(plan, moment, view);
  const Millimetres pitch(0.1);
  const Image<Rgb8> look =
      surface_part(plan, moment, view, {0, 0, plan.width.value(), plan.height.value()}, pitch);
  for (int field = 0; field < look.width() / 100; ++field) {
    // Half a millimetre from the border: there fields run into one another.
    const Lab mean = mean_colour(look, field * 100 + 5, 5, 90, 90);
    const Lab wanted = to_lab(predicted.at(field * 20 + 10, 10));
    EXPECT_LT(ciede2000(wanted, mean), surface_mean_de00) << what << ", field " << field;
  }
}

TEST(Surface, HasTheMeanColourThatTheModelPredicts) {
  for (const Finish finish : {Finish::tack, Finish::contour, Finish::full}) {
    const PlanRecord plan = field_record(trial_fields(), finish);
    expect_means(plan, moment_finished(plan), View::wall, std::string(name_of(finish)).c_str());
    expect_means(plan, moment_finished(plan), View::window, "window");
  }
  const PlanRecord plan = field_record(trial_fields(), Finish::tack);
  expect_means(plan, moment_before(plan, 0), View::wall, "loose");
}

TEST(Surface, OfCoarseGrainsToo) {
  PlanRecord plan =
      field_record({{{2, Load(0.02)}}, {{2, Load(0.05)}}, {{0, Load(0.3)}, {2, Load(0.03)}}}, Finish::tack);
  for (Powder& powder : plan.palette.powders)
    powder.optics.grain = Millimetres(0.3);
  plan.firing_plan.firings[0].flow = flow_for(Finish::tack, Millimetres(0.3));
  expect_means(plan, moment_finished(plan), View::wall, "coarse");
}

double deviation(const Image<Rgb8>& picture, int left, int top, int width, int height) {
  double sum = 0, squares = 0;
  for (int y = top; y < top + height; ++y) {
    for (int x = left; x < left + width; ++x) {
      const double light = to_xyz(to_linear_rgb(picture.at(x, y))).y;
      sum += light;
      squares += light * light;
    }
  }
  const double count = static_cast<double>(width) * height;
  return std::sqrt(std::max(0.0, squares / count - sum / count * sum / count));
}

TEST(Surface, ADustingOfADarkPowderIsDarkGrainsOnWhatLiesBelow) {
  // Full finish: no shading beside the colours.
  PlanRecord plan = field_record({{{0, Load(0.3)}, {2, Load(0.003)}}}, Finish::full);
  plan.palette.powders[2].optics.grain = Millimetres(0.2);
  plan.palette.powders[2].optics.k *= 30;
  const Image<Rgb8> look =
      surface_part(plan, moment_finished(plan), View::wall, {1, 1, 9, 9}, Millimetres(0.02));
  const std::vector<std::uint8_t> all(plan.spots.count(), 1);
  const SpotLooks looks(plan, moment_finished(plan), View::wall, all);
  const auto below = static_cast<double>(looks.colours(0)[0].g),
             grain = static_cast<double>(looks.colours(0)[1].g);
  const auto cover = static_cast<double>(looks.coats(0)[1].cover);
  ASSERT_GT(below, 2 * grain);
  double covered = 0;
  int light = 0, dark = 0;
  for (std::size_t i = 0; i < look.size(); ++i) {
    const double share = (below - to_linear_rgb(look[i]).g) / (below - grain);
    covered += share;
    light += share < 0.1 ? 1 : 0;
    dark += share > 0.9 ? 1 : 0;
  }
  const auto points = static_cast<double>(look.size());
  EXPECT_NEAR(covered / points, cover, 0.012);
  // Either grain or ground: nothing between but the soft edges of grains.
  EXPECT_GT(light / points, 1 - 3 * cover);
  EXPECT_GT(dark / points, 0.15 * cover);
}

TEST(Surface, IsTheSameForAnyNumberOfThreads) {
  const PlanRecord plan = field_record(trial_fields(), Finish::tack);
  const auto drawn = [&](unsigned threads) {
    const ThreadCount count(threads);
    return surface_part(plan, moment_finished(plan), View::wall, {0, 0, 60, 10}, Millimetres(0.1));
  };
  const Image<Rgb8> one = drawn(1), three = drawn(3);
  for (std::size_t i = 0; i < one.size(); ++i)
    ASSERT_EQ(one[i], three[i]);
}

TEST(Surface, APartHasTheGrainsOfTheWhole) {
  const PlanRecord plan = field_record(trial_fields(), Finish::tack);
  const Moment moment = moment_finished(plan);
  const Millimetres pitch(0.125);
  const Image<Rgb8> whole = surface_part(plan, moment, View::wall, {0, 0, 80, 10}, pitch);
  const Image<Rgb8> part = surface_part(plan, moment, View::wall, {7.5, 2.5, 37.5, 7.5}, pitch);
  int off = 0;
  for (int y = 0; y < part.height(); ++y) {
    for (int x = 0; x < part.width(); ++x) {
      const Rgb8 &a = whole.at(x + 60, y + 20), &b = part.at(x, y);
      off += std::abs(a.r - b.r) + std::abs(a.g - b.g) + std::abs(a.b - b.b) > 3 ? 1 : 0;
    }
  }
  EXPECT_LT(off, part.width() * part.height() / 1000) << "places differ by rounding alone";
}

TEST(Surface, BecomesEvenWhenSeenFromFar) {
  const PlanRecord plan = field_record({{{2, Load(0.006)}}}, Finish::tack, 40);
  const Moment moment = moment_finished(plan);
  const Lab wanted = to_lab(picture_at(plan, moment, View::wall).at(20, 20));
  double before = 1;
  for (const double pitch : {0.06, 0.25, 1.0}) {
    const Image<Rgb8> look = surface_part(plan, moment, View::wall, {0, 0, 40, 40}, Millimetres(pitch));
    const int w = look.width();
    const double uneven = deviation(look, w / 10, w / 10, w * 8 / 10, w * 8 / 10);
    EXPECT_LT(uneven, 0.5 * before) << pitch;
    EXPECT_GT(uneven, 0.002) << "mottled a little all the same, " << pitch;
    before = uneven;
    EXPECT_LT(ciede2000(wanted, mean_colour(look, w / 10, w / 10, w * 8 / 10, w * 8 / 10)),
              surface_mean_de00);
  }
}

TEST(Surface, HeatTakesItsTextureAway) {
  double before = 1;
  for (const Finish finish : {Finish::tack, Finish::contour, Finish::full}) {
    const PlanRecord plan = field_record({{{0, Load(0.4)}}}, finish);
    const Image<Rgb8> look =
        surface_part(plan, moment_finished(plan), View::wall, {1, 1, 9, 9}, Millimetres(0.05));
    const double uneven = deviation(look, 0, 0, look.width(), look.height());
    EXPECT_LT(uneven, 0.6 * before) << name_of(finish);
    before = uneven;
  }
  EXPECT_LT(before, 0.002) << "flat";
}

TEST(Surface, OfAWholePieceIsItsPictureWithUnevennessOnIt) {
  const PlanRecord plan = fixture::record(160, 120);
  const Moment moment = moment_finished(plan);
  const Image<Rgb8> mean = picture_at(plan, moment, View::wall);
  const Image<Rgb8> look = surface_of_piece(plan, moment, View::wall, mean, 80);
  ASSERT_EQ(look.width(), 80);
  const Image<Rgb8> small = shrunk(mean, 80);
  EXPECT_LT(ciede2000(mean_colour(small, 0, 0, 80, 60), mean_colour(look, 0, 0, 80, 60)), 0.5);
  // Finer than the grid it is drawn as a part is.
  const Image<Rgb8> fine = surface_of_piece(plan, moment, View::wall, mean, 320);
  const Image<Rgb8> part = surface_part(plan, moment, View::wall, {0, 0, 80, 60}, Millimetres(0.25));
  for (std::size_t i = 0; i < fine.size(); ++i)
    ASSERT_EQ(fine[i], part[i]);
}

}  // namespace
}  // namespace powderplan
