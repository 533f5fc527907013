#include "layers/sheet_stock.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "property.h"
#include "stencils.h"

namespace powderplan {
namespace {

constexpr double gravity = 9.80665;

double pressure(const SheetStock& stock, Load overspill) {
  return (stock.density_kg_m3 * stock.thickness.value() / 1000 + overspill.value() * 10) * gravity;
}

double rigidity(const SheetStock& stock) {
  return stock.modulus_gpa * 1e9 * std::pow(stock.thickness.value() / 1000, 3) / 12;
}

const SheetStock& named(const std::string& name) {
  for (const SheetStock& stock : sheet_stocks()) {
    if (stock.name == name)
      return stock;
  }
  throw std::runtime_error(name);
}

// Straight beam, both ends supported, even load: sag 5 q L^4 / 384 E I, slope at the ends q L^3 / 24 E I
// (Roark's Formulas for Stress and Strain; the same in every textbook of strength of materials).
TEST(SheetStock, WithoutOpeningsItBendsLikeTheStripOfTheHandbooks) {
  holds_always(
      [] {
        const Stencil stencil =
            fixture::sheet(any_between(30, 400), any_between(30, 400), any_between(5, 40));
        const SheetStock& stock = sheet_stocks()[static_cast<std::size_t>(
            any_whole(0, static_cast<int>(sheet_stocks().size()) - 1))];
        const Load overspill(any_between(0, 0.5));
        const Lift lift = lift_of(stencil, stock, overspill);
        const double span =
            (std::min(stencil.width, stencil.height).value() + 2 * stencil.border.value()) / 1000;
        const double q = pressure(stock, overspill), d = rigidity(stock);
        const double sag = 5 * q * std::pow(span, 4) / (384 * d), slope = q * std::pow(span, 3) / (24 * d);
        RC_ASSERT(std::abs(lift.span.value() / 1000 - span) < 1e-9);
        RC_ASSERT(std::abs(lift.sag.value() / 1000 / sag - 1) < 1e-4);
        RC_ASSERT(std::abs(std::tan(lift.slope_deg * std::numbers::pi / 180) / slope - 1) < 1e-4);
      },
      60);
}

// A beam that is thinner in width between a and L - a. By the second moment-area theorem (Mohr 1868) its
// middle lies the integral of x M / (E I) from 0 to L / 2 below its ends; x M is a cubic on either part, for
// which Simpson's rule is exact.
TEST(SheetStock, AnOpeningWeakensTheSheetWhereItIs) {
  // Held at the left and the right; the other way is longer and stays the worse one.
  Stencil stencil = fixture::sheet(200, 450, 20);
  stencil.openings = {fixture::box_shape(40, 25, 160, 425)};
  const SheetStock& stock = named("solid board, 1 mm");
  const Load overspill(0.2);
  const double q = pressure(stock, overspill), d = rigidity(stock);
  const double length = 0.24, a = 0.06, whole = 0.49, left = 0.09;
  const double force = q * (whole * a + left * (length / 2 - a));
  const auto x_moment = [&](double x) {
    const double beyond = std::max(0.0, x - a), before = std::min(x, a);
    return x * (force * x - q * whole * before * (x - before / 2) - q * left * beyond * beyond / 2);
  };
  const auto simpson = [&](double from, double to) {
    return (to - from) / 6 * (x_moment(from) + 4 * x_moment((from + to) / 2) + x_moment(to));
  };
  const double sag = simpson(0, a) / (d * whole) + simpson(a, length / 2) / (d * left);
  const Lift lift = lift_of(stencil, stock, overspill);
  EXPECT_TRUE(lift.by_upright_edges);
  EXPECT_NEAR(lift.sag.value() / 1000 / sag, 1, 2e-3);
  EXPECT_GT(lift.sag, lift_of(fixture::sheet(200, 450, 20), stock, overspill).sag);
}

TEST(SheetStock, IsListedFromTheThinnest) {
  for (std::size_t i = 1; i < sheet_stocks().size(); ++i)
    EXPECT_LT(sheet_stocks()[i - 1].thickness, sheet_stocks()[i].thickness);
}

TEST(SheetStock, TheThinnestThatIsFlatEnoughIsTaken) {
  holds_always(
      [] {
        const double width = any_between(20, 500), height = any_between(20, 500);
        const Stencil stencil = fixture::trial_stencil(width, height);
        StockRules rules{Load(any_between(0.02, 0.4)), Millimetres(any_between(1.5, 8))};
        if (any_whole(0, 1) == 1)
          rules.raised = Millimetres(any_between(2, 6));
        const auto serves = [&](const SheetStock& stock) {
          const Lift lift = lift_of(stencil, stock, rules.overspill);
          return stock.narrowest <= rules.narrowest && lift.slope_deg <= steepest_lift_deg &&
                 (!rules.raised || lift.sag <= *rules.raised / 2);
        };
        const StockChoice choice = choose_stock(stencil, rules);
        RC_ASSERT(choice.stiff_enough == serves(choice.stock));
        for (const SheetStock& stock : sheet_stocks()) {
          if (!choice.stiff_enough)
            RC_ASSERT(!serves(stock));
          else if (stock.thickness < choice.stock.thickness)
            RC_ASSERT(!serves(stock));
        }
      },
      60);
}

TEST(SheetStock, PaperDumpsThePowderOfAPendantAndCardHoldsIt) {
  const StockChoice choice = choose_stock(fixture::trial_stencil(40, 40), {Load(0.2)});
  EXPECT_TRUE(choice.stiff_enough);
  EXPECT_GT(choice.stock.thickness, Millimetres(0.1));
  EXPECT_LT(choice.stock.thickness, Millimetres(1));
  EXPECT_NE(choice.reason.find("0.20 g/cm2"), std::string::npos) << choice.reason;
}

TEST(SheetStock, SpacersAskForAStifferSheet) {
  const Stencil stencil = fixture::trial_stencil(150, 150);
  const StockChoice flat = choose_stock(stencil, {Load(0.2)});
  const StockChoice raised = choose_stock(stencil, {Load(0.2), Millimetres(2), Millimetres(2)});
  EXPECT_GE(raised.stock.thickness, flat.stock.thickness);
  EXPECT_NE(raised.reason.find("spacers of 2 mm"), std::string::npos) << raised.reason;
}

TEST(SheetStock, AFineLargePanelIsToldWhatHelps) {
  const StockChoice choice = choose_stock(fixture::trial_stencil(1200, 600), {Load(0.3)});
  EXPECT_FALSE(choice.stiff_enough);
  EXPECT_LE(choice.stock.narrowest, Millimetres(2));
  EXPECT_NE(choice.reason.find("laths"), std::string::npos) << choice.reason;
}

TEST(SheetStock, FinerThanAnyKnifeTakesTheFinest) {
  const StockChoice choice = choose_stock(fixture::trial_stencil(60, 60), {Load(0.1), Millimetres(0.5)});
  EXPECT_EQ(choice.stock.narrowest, Millimetres(1.5));
  EXPECT_NE(choice.reason.find("1.5 mm is the least"), std::string::npos) << choice.reason;
}

}  // namespace
}  // namespace powderplan
