// What is refused, and with which words.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <opencv2/imgproc.hpp>
#include <string>

#include "photo/card_photo.h"
#include "problem.h"
#include "trial_card.h"

namespace powderplan {
namespace {

std::string refusal_of(const Picture& picture, const CardLayout& layout, const PhotoRules& rules = {}) {
  try {
    const CardPhoto photo(picture, layout, rules, "shot.jpg");
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_EQ(problem.place(), "shot.jpg");
    EXPECT_FALSE(problem.remedy().empty());
    return problem.what();
  }
  return "accepted";
}
Shot plain_shot() {
  Shot shot;
  shot.tilt = 12;
  shot.tilt_axis = 40;
  shot.turn = 10;
  shot.falloff = 0.15;
  shot.fills = 0.7;
  return shot;
}
// Of the trial card, changed by `change`.
std::string refusal_of(const std::function<void(TrialCard&, Shot&)>& change,
                       const WhiteReference& reference = PaperReference{}) {
  TrialCard card = trial_card();
  Shot shot = plain_shot();
  change(card, shot);
  return refusal_of(photograph(card.scene, shot), card.scene.card, {{}, reference});
}
#define EXPECT_SAYS(refusal, words)                                        \
  do {                                                                     \
    const std::string said = (refusal);                                    \
    EXPECT_NE(said.find(words), std::string::npos) << "it says: " << said; \
  } while (false)

TEST(Refusals, NoneForAPlainPhoto) {
  EXPECT_EQ(refusal_of([](TrialCard&, Shot&) {}), "accepted");
}

TEST(Refusals, Exposure) {
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.exposure = 1.5; }),
              "of the white paper is clipped; expose less");
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.exposure = 20; }),
              "of the photo is clipped; expose less");
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.exposure = 0.1; }),
              "too dark: the white paper is at 7.8 % of full; expose longer, by about 2.9 stops");
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.exposure = 1e-4; }), "nearly black; expose longer");
}

TEST(Refusals, Sharpness) {
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.blur = 4; }), "blurred: edges of the marks are ");
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.fills = 0.3; }), "pixels a millimetre; go nearer");
}

TEST(Refusals, ObliqueViews) {
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) {
                s.tilt = 50;
                s.width = 1600;
                s.height = 1200;
                s.fills = 0.6;
              }),
              "the card is seen from 50 degrees off square");
}

TEST(Refusals, MarksThatAreNotSeen) {
  EXPECT_SAYS(refusal_of([](TrialCard& c, Shot&) {
                c.scene.discs.push_back({c.scene.card.marks[2], 9, to_xyz(LinearRgb{0.3, 0.2, 0.1})});
              }),
              "only 3 of the 4 marks were found");
  EXPECT_SAYS(
      refusal_of([](TrialCard& c, Shot&) {
        c.scene.discs.push_back(
            {{c.scene.card.marks[2].x + 5, c.scene.card.marks[2].y}, 5, to_xyz(LinearRgb{0.3, 0.2, 0.1})});
      }),
      "--marks X,Y,X,Y,X,Y,X,Y");
  // Its eye is inked over.
  EXPECT_SAYS(refusal_of([](TrialCard& c, Shot&) {
                c.scene.discs.push_back({c.scene.card.marks[0], 2, to_xyz(LinearRgb{0.05, 0.05, 0.05})});
              }),
              "4 ring marks were found, but none with the white eye");
  // One mark is covered, another lies elsewhere: four marks, but not this card.
  EXPECT_SAYS(refusal_of([](TrialCard& c, Shot&) {
                c.scene.discs.push_back({c.scene.card.marks[2], 9, to_xyz(LinearRgb{0.3, 0.2, 0.1})});
                c.scene.stray_marks.push_back({150, 100});
                c.scene.card.reference.reset();
              }),
              "4 ring marks were found, but no 4 that lie as on this card");
}

TEST(Refusals, AMirrorImage) {
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.mirrored = true; }), "seen as in a mirror");
}

TEST(Refusals, AnotherCard) {
  TrialCard card = trial_card();
  const Picture picture = photograph(card.scene, plain_shot());
  CardLayout other = card.scene.card;
  other.marks[2].y = other.marks[3].y = 260;  // a page upright
  EXPECT_SAYS(refusal_of(picture, other), "no 4 that lie as on this card");
  // The marks lie alike, but where this card has white paper the photo has fields.
  other = card.scene.card;
  other.white = card.fields;
  EXPECT_SAYS(refusal_of(picture, other), "white paper");
}

TEST(Refusals, TwoCards) {
  const TrialCard card = trial_card();
  Shot shot;
  shot.fills = 0.75;
  shot.width = 900;
  const Picture one = photograph(card.scene, shot);
  Picture both{Image<LinearPixel>(2 * one.pixels.width(), one.pixels.height()), {}};
  for (int y = 0; y < one.pixels.height(); ++y) {
    for (int x = 0; x < both.pixels.width(); ++x)
      both.pixels.at(x, y) = one.pixels.at(x % one.pixels.width(), y);
  }
  EXPECT_NE(refusal_of(both, card.scene.card), "accepted");
}

TEST(Refusals, LightThatPaperCannotExplain) {
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.shadow = 0.3; }),
              "do not look like paper in smooth light");
  EXPECT_SAYS(refusal_of([](TrialCard& c, Shot&) {
                c.scene.boxes.push_back({c.scene.card.white[0], to_xyz(LinearRgb{0.3, 0.25, 0.2})});
                c.scene.boxes.push_back({c.scene.card.white[2], to_xyz(LinearRgb{0.3, 0.25, 0.2})});
              }),
              "white paper");
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot& s) { s.gains = {1, 0.3, 0.25}; }), "are not white");
}

TEST(Refusals, ANeutralCardThatIsNotThere) {
  const auto with = [](const LinearRgb& colour) {
    return [colour](TrialCard& c, Shot&) {
      c.scene.boxes.push_back({*c.scene.card.reference, to_xyz(colour)});
    };
  };
  EXPECT_EQ(refusal_of(with({0.18, 0.18, 0.18}), NeutralReference{}), "accepted");
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot&) {}, NeutralReference{}),
              "the neutral card is not in its place");
  EXPECT_SAYS(refusal_of(with({0.5, 0.5, 0.5}), NeutralReference{}), "% of the light of the white paper");
  EXPECT_SAYS(refusal_of(with({0.25, 0.17, 0.12}), NeutralReference{}), "is not grey");
  EXPECT_SAYS(refusal_of(
                  [](TrialCard& c, Shot&) {
                    BoxMm half = *c.scene.card.reference;
                    half.right = (half.left + half.right) / 2;
                    c.scene.boxes.push_back({half, to_xyz(LinearRgb{0.18, 0.18, 0.18})});
                  },
                  NeutralReference{}),
              "not one even grey");
  EXPECT_SAYS(refusal_of([](TrialCard& c, Shot&) { c.scene.card.reference.reset(); }, NeutralReference{}),
              "this card has no place for");
}

// A chart of colours made up, four columns by three rows.
ChartReference trial_chart() {
  ChartReference chart{3, 4, {}};
  for (const Lab& lab : {Lab{90, 0, 0}, Lab{70, 0, 0}, Lab{50, 0, 0}, Lab{25, 0, 0}, Lab{50, 45, 25},
                         Lab{75, 5, 55}, Lab{50, -35, 25}, Lab{35, 10, -40}, Lab{60, -20, -20},
                         Lab{45, 35, -20}, Lab{65, 25, 40}, Lab{30, 15, 12}})
    chart.patches.push_back(to_xyz(lab));
  return chart;
}
void lay(const ChartReference& chart, TrialCard& card) {
  const BoxMm place = *card.scene.card.reference;
  const double width = (place.right - place.left) / chart.columns,
               height = (place.bottom - place.top) / chart.rows;
  for (int i = 0; i < chart.rows * chart.columns; ++i) {
    const int across = i % chart.columns, down = i / chart.columns;
    const double left = place.left + width * across, top = place.top + height * down;
    card.scene.boxes.push_back(
        {{left, top, left + width, top + height}, chart.patches[static_cast<std::size_t>(i)]});
  }
}
TEST(Refusals, AChartThatDoesNotFit) {
  const ChartReference chart = trial_chart();
  const auto with = [](const ChartReference& laid) { return [laid](TrialCard& c, Shot&) { lay(laid, c); }; };
  EXPECT_EQ(refusal_of(with(chart), chart), "accepted");
  ChartReference turned = chart, other = chart;
  std::reverse(turned.patches.begin(), turned.patches.end());
  EXPECT_SAYS(refusal_of(with(turned), chart), "it lies turned by 180 degrees");
  std::rotate(other.patches.begin(), other.patches.begin() + 5, other.patches.end());
  EXPECT_SAYS(refusal_of(with(other), chart), "is the one whose values were given");
  EXPECT_SAYS(refusal_of([](TrialCard&, Shot&) {}, chart), "CIEDE2000");
}

// ---- marks by hand

TEST(Refusals, MarksGivenWrongly) {
  const TrialCard card = trial_card();
  const Shot shot = plain_shot();
  const Picture picture = photograph(card.scene, shot);
  std::array<PhotoPoint, 4> places;
  for (std::size_t i = 0; i < 4; ++i)
    places[i] = seen_at(card.scene, shot, card.scene.card.marks[i]);
  const auto with = [&](const std::array<PhotoPoint, 4>& given) {
    return refusal_of(picture, card.scene.card, {given, PaperReference{}});
  };
  EXPECT_EQ(with(places), "accepted");
  EXPECT_SAYS(with({places[2], places[3], places[0], places[1]}),
              "first place given is a mark without the white eye");
  EXPECT_SAYS(with({places[0], places[3], places[2], places[1]}), "do not go round the card clockwise");
  EXPECT_SAYS(with({PhotoPoint{-5, 3}, places[1], places[2], places[3]}), "lies outside the photo");
  // Somewhere on the table and the card: no rings there, and no paper.
  EXPECT_NE(with({{{100, 100}, {600, 80}, {620, 500}, {90, 520}}}), "accepted");
}

// ---- no card at all

std::string refusal_of_drawing(const std::function<void(cv::Mat3b&)>& draw) {
  cv::Mat3b codes(900, 1200, cv::Vec3b(220, 220, 220));
  draw(codes);
  return refusal_of(photographed::decoded(codes), trial_card().scene.card);
}
TEST(Refusals, NoCardAtAll) {
  EXPECT_SAYS(refusal_of_drawing([](cv::Mat3b&) {}), "no mark of the card was found");
  EXPECT_SAYS(refusal_of_drawing([](cv::Mat3b& m) { cv::RNG(3).fill(m, cv::RNG::UNIFORM, 0, 255); }),
              "found");
  EXPECT_SAYS(refusal_of_drawing([](cv::Mat3b& m) {
                for (int y = 0; y < m.rows; ++y) {
                  for (int x = 0; x < m.cols; ++x) {
                    if ((x / 60 + y / 60) % 2 == 1)
                      m(y, x) = {20, 20, 20};
                  }
                }
              }),
              "found");
  // Posters of rings: equally wide ones, and some much like the marks, with and without an eye.
  const auto rings = [](const std::array<double, 6>& radii, bool eyes) {
    return [radii, eyes](cv::Mat3b& m) {
      for (int j = 0; j < 6; ++j) {
        for (int i = 0; i < 8; ++i) {
          for (std::size_t k = 0; k < (eyes && (i + j) % 5 == 0 ? 6u : 5u); ++k)
            cv::circle(m, {75 + 150 * i, 75 + 150 * j}, static_cast<int>(radii[k]),
                       k % 2 == 0 ? cv::Scalar(20, 20, 20) : cv::Scalar(230, 230, 230), -1, cv::LINE_AA);
        }
      }
    };
  };
  EXPECT_SAYS(refusal_of_drawing(rings({66, 55, 44, 33, 22, 11}, true)), "found");
  EXPECT_SAYS(refusal_of_drawing(rings({42, 31, 20, 0, 0, 8}, false)), "found");
}
// Even a poster of true marks is no card: its white paper is not where the card has it, or there are too
// many.
TEST(Refusals, APosterOfMarks) {
  EXPECT_NE(refusal_of_drawing([](cv::Mat3b& m) {
              for (int j = 0; j < 6; ++j) {
                for (int i = 0; i < 8; ++i) {
                  const bool eye = (i + j) % 3 == 0;
                  const std::array<int, 4> radii{42, 31, 20, 8};
                  for (std::size_t k = 0; k < (eye ? 4u : 3u); ++k)
                    cv::circle(m, {75 + 150 * i, 75 + 150 * j}, radii[k],
                               k % 2 == 0 ? cv::Scalar(20, 20, 20) : cv::Scalar(230, 230, 230), -1,
                               cv::LINE_AA);
                }
              }
            }),
            "accepted");
}

TEST(Refusals, TinyPictures) {
  for (const int size : {1, 2, 16, 40}) {
    const Picture picture{Image<LinearPixel>(size, size, {0.5f, 0.5f, 0.5f, 1}), {}};
    EXPECT_SAYS(refusal_of(picture, trial_card().scene.card), "found");
  }
}

}  // namespace
}  // namespace powderplan
