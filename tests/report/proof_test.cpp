#include "report/proof.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "parallel.h"
#include "report/fixture.h"
#include "report/preview.h"

namespace powderplan {
namespace {

bool white(const Rgb8& c) {
  return c == Rgb8{255, 255, 255};
}

// Where a picture lies on a page, pixel for pixel; (-1, -1) when it does not.
std::pair<int, int> place_of(const Image<Rgb8>& part, const Image<Rgb8>& page) {
  for (int y = 0; y + part.height() <= page.height(); ++y) {
    for (int x = 0; x + part.width() <= page.width(); ++x) {
      bool same = true;
      for (int v = 0; same && v < part.height(); ++v)
        same = std::equal(part.row(v), part.row(v) + part.width(), page.row(y + v) + x);
      if (same)
        return {x, y};
    }
  }
  return {-1, -1};
}

void expect_margin(const Image<Rgb8>& page) {
  constexpr int margin = 60;
  int inked = 0;
  for (int y = 0; y < page.height(); ++y) {
    for (int x = 0; x < page.width(); ++x) {
      const bool edge = x < margin || y < margin || x >= page.width() - margin || y >= page.height() - margin;
      if (edge) {
        ASSERT_TRUE(white(page.at(x, y))) << x << ' ' << y;
      }
      inked += white(page.at(x, y)) ? 0 : 1;
    }
  }
  EXPECT_GT(inked, page.width() * page.height() / 5);
}

// ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: Letter is 215.9 x 279.4 mm.
TEST(Proof, IsOnePageOfThePlansPaper) {
  PlanRecord plan = fixture::record();
  const ProofPictures pictures = proof_pictures(plan);
  const auto size = [&](const Paper& paper) {
    plan.paper = paper;
    const Image<Rgb8> page = proof(plan, pictures);
    return std::pair{page.width() * proof_pitch.value(), page.height() * proof_pitch.value()};
  };
  for (const Paper& paper : {paper_a4, paper_a3}) {
    EXPECT_NEAR(size(paper).first, 210, 0.2);
    EXPECT_NEAR(size(paper).second, 297, 0.2);
  }
  for (const Paper& paper : {paper_letter, paper_tabloid}) {
    EXPECT_NEAR(size(paper).first, 215.9, 0.2);
    EXPECT_NEAR(size(paper).second, 279.4, 0.2);
  }
}

TEST(Proof, KeepsAMarginWhateverThePieceIs) {
  const std::pair<int, int> points[] = {{120, 80}, {60, 240}, {400, 60}, {16, 12}};
  for (const auto& [width, height] : points) {
    PlanRecord plan = fixture::record(width, height);
    for (const Paper& paper : {paper_a4, paper_letter}) {
      plan.paper = paper;
      expect_margin(proof(plan, proof_pictures(plan)));
    }
  }
}

TEST(Proof, ShowsTheSurfaceAtItsTrueSize) {
  const PlanRecord plan = fixture::record(224, 144);
  const ProofPictures pictures = proof_pictures(plan);
  const BoxMm& part = pictures.close_up_at;
  EXPECT_NEAR(pictures.close_up.width() * close_up_pitch.value(), part.right - part.left, 0.05);
  const Image<Rgb8> page = proof(plan, pictures);
  // Rounded to whole pixels of the page on both sides.
  const auto wide = static_cast<int>(std::lround((part.right - part.left) / proof_pitch.value()));
  const auto high = static_cast<int>(std::lround((part.bottom - part.top) / proof_pitch.value()));
  bool found = false;
  for (int w = wide - 1; w <= wide + 1; ++w) {
    for (int h = high - 1; h <= high + 1; ++h)
      found = found || place_of(at_size(pictures.close_up, w, h), page).first >= 0;
  }
  EXPECT_TRUE(found);
}

TEST(Proof, ShowsTheClientsRoomTooWhenThereIsAPictureOfIt) {
  const PlanRecord plan = fixture::record(120, 80);
  const ProofPictures pictures = proof_pictures(plan);
  constexpr Rgb8 paint{12, 200, 90};
  const auto painted = [&](const Image<Rgb8>& page) {
    int points = 0;
    for (std::size_t i = 0; i < page.size(); ++i)
      points += page[i] == paint ? 1 : 0;
    return points;
  };
  EXPECT_EQ(painted(proof(plan, pictures)), 0);
  for (const auto& [width, height] : {std::pair{1200, 800}, std::pair{600, 900}}) {
    const Image<Rgb8> page = proof(plan, pictures, Image<Rgb8>(width, height, paint));
    expect_margin(page);
    EXPECT_GT(painted(page), page.width() * page.height() / 16);
  }
}

TEST(Proof, IsTheSameEachTimeWithAnyNumberOfThreads) {
  const PlanRecord plan = fixture::record();
  const auto made = [&](unsigned threads) {
    const ThreadCount count(threads);
    const ProofPictures pictures = proof_pictures(plan);
    return std::pair{proof(plan, pictures), proof_pdf(plan, pictures)};
  };
  const auto one = made(1), two = made(3);
  for (std::size_t i = 0; i < one.first.size(); ++i)
    ASSERT_EQ(one.first[i], two.first[i]);
  EXPECT_EQ(one.second, two.second);
}

TEST(Proof, TheFinishedPictureKnowsItsScale) {
  const PlanRecord plan = fixture::record(160, 120);
  const ProofPictures pictures = proof_pictures(plan);
  const FinishedPicture finished = finished_picture(plan, pictures);
  // 80 x 60 mm and a margin of wall all round.
  EXPECT_GT(finished.picture.width() * finished.pitch.value(), 80 * 1.1);
  EXPECT_NEAR(pictures.surface.width() * finished.pitch.value(), 80, 0.1);
  EXPECT_EQ(proof_pictures(fixture::record(400, 300)).surface.width(), surface_pixels);
}

}  // namespace
}  // namespace powderplan
