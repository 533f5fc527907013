#include "layers/cut_stencil.h"

#include <gtest/gtest.h>

#include "stencils.h"

namespace powderplan {
namespace {

// Twelve like shapes, far apart or close together.
CutStencil rows_of(double apart) {
  CutStencil cut;
  cut.stencil = fixture::sheet(apart * 4, apart * 3);
  for (int i = 0; i < 12; ++i) {
    const int across = i % 4, down = i / 4;
    cut.stencil.openings.push_back(
        fixture::lobed({apart * (across + 0.5), apart * (down + 0.5)}, 15, 5, 0.2, 10 * i));
  }
  return cut;
}

CutSetup usual(RepeatUse repeats) {
  return {.load = Load(0.1), .narrowest = Millimetres(2), .repeats = repeats};
}

TEST(CutStencil, SheetAndTimeFit) {
  CutStencil cut = rows_of(80);
  set_up_cutting(cut, usual(RepeatUse::found));
  EXPECT_EQ(cut.effort.openings, 12u);
  EXPECT_DOUBLE_EQ(cut.effort.minutes, stencil_effort(cut.stencil, cut.stock.stock).minutes);
  EXPECT_FALSE(cut.stock.reason.empty());
  CutSetup raised = usual(RepeatUse::found);
  raised.raised = true;
  set_up_cutting(cut, raised);
  EXPECT_NE(cut.stock.reason.find("on spacers of 3 mm"), std::string::npos);
}

TEST(CutStencil, RepeatsWhereTheyPayAndAreApart) {
  CutStencil apart = rows_of(80);
  set_up_cutting(apart, usual(RepeatUse::found));
  ASSERT_EQ(apart.repeats.size(), 1u);
  EXPECT_EQ(apart.repeats[0].repeat.places.size(), 12u);
  const double one = stencil_effort(apart.repeats[0].small, apart.stock.stock).minutes;
  EXPECT_NEAR(apart.repeats[0].saved_minutes, 11 * one - 12 * minutes_per_place, 0.2 * one);
  EXPECT_EQ(apart.stencil.openings.size(), 12u);  // the whole stencil stays complete

  CutStencil close = rows_of(40);
  set_up_cutting(close, usual(RepeatUse::found));
  EXPECT_TRUE(close.repeats.empty());
  set_up_cutting(close, usual(RepeatUse::always));
  ASSERT_EQ(close.repeats.size(), 1u);
  EXPECT_FALSE(close.repeats[0].repeat.too_close.empty());
}

TEST(CutStencil, NoRepeatsOnRequestInFadesAndOnSpacers) {
  CutStencil cut = rows_of(80);
  set_up_cutting(cut, usual(RepeatUse::never));
  EXPECT_TRUE(cut.repeats.empty());
  CutSetup fade = usual(RepeatUse::always);
  fade.even_coat = false;
  set_up_cutting(cut, fade);
  EXPECT_TRUE(cut.repeats.empty());
  CutSetup raised = usual(RepeatUse::found);
  raised.raised = true;
  set_up_cutting(cut, raised);
  EXPECT_TRUE(cut.repeats.empty());
}

// Small dots are sooner cut than laid.
TEST(CutStencil, WhatIsSoonerCutThanLaidIsCut) {
  CutStencil cut;
  cut.stencil = fixture::sheet(200, 200);
  for (int i = 0; i < 3; ++i)
    cut.stencil.openings.push_back(fixture::lobed({40.0 + 60 * i, 100}, 4.5, 1, 0));
  CutSetup setup = usual(RepeatUse::found);
  setup.narrowest = Millimetres(1.5);
  set_up_cutting(cut, setup);
  EXPECT_TRUE(cut.repeats.empty());
  setup.repeats = RepeatUse::always;
  set_up_cutting(cut, setup);
  ASSERT_EQ(cut.repeats.size(), 1u);
  EXPECT_LT(cut.repeats[0].saved_minutes, 0);
}

}  // namespace
}  // namespace powderplan
