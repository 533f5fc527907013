#include "layers/sheet_stock.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "layers/shape_measures.h"

namespace powderplan {
namespace {

constexpr double gravity = 9.80665;  // m/s2, ISO 80000-3
constexpr double degrees = 180 / 3.14159265358979323846;

constexpr std::array<SheetStock, 7> stocks{{
    {"copy paper, 80 g/m2", Millimetres(0.1), 2.5, 800, Millimetres(2), 1},
    {"polyester film, 0.25 mm", Millimetres(0.25), 4.0, 1390, Millimetres(1.5), 2},
    {"card, 300 g/m2", Millimetres(0.4), 2.5, 750, Millimetres(1.5), 1},
    {"polyester film, 0.5 mm", Millimetres(0.5), 4.0, 1390, Millimetres(2), 3},
    {"solid board, 1 mm", Millimetres(1), 2.0, 700, Millimetres(2), 3},
    {"solid board, 2 mm", Millimetres(2), 2.0, 700, Millimetres(3), 5},
    {"foam board, 3 mm", Millimetres(3), 1.0, 150, Millimetres(6), 3},
}};

// Lengths of the sheet that is not opening along lines across the way from one held edge to the other, in the
// middle of each slice. `upright`: the way runs along x.
std::vector<double> solid_widths(const Stencil& stencil, bool upright, int slices) {
  const double border = stencil.border.value();
  const double along = (upright ? stencil.width : stencil.height).value() + 2 * border;
  const double across = (upright ? stencil.height : stencil.width).value() + 2 * border;
  const double step = along / slices;
  std::vector<double> widths(static_cast<std::size_t>(slices), across);
  std::vector<double> crossings;
  for (const PolygonMm& opening : stencil.openings) {
    if (opening.size() < 3)
      continue;
    const BoxMm box = box_of(opening);
    const double low = (upright ? box.left : box.top) + border;
    const double high = (upright ? box.right : box.bottom) + border;
    const int first = std::max(0, static_cast<int>(low / step)),
              last = std::min(slices - 1, static_cast<int>(high / step));
    for (int k = first; k <= last; ++k) {
      const double at = (k + 0.5) * step - border;
      crossings.clear();
      for (std::size_t i = 0; i < opening.size(); ++i) {
        const PointMm a = opening[i], b = opening[(i + 1) % opening.size()];
        const double a_along = upright ? a.x : a.y, b_along = upright ? b.x : b.y;
        if ((a_along <= at) == (b_along <= at))
          continue;
        const double a_across = upright ? a.y : a.x, b_across = upright ? b.y : b.x;
        crossings.push_back(a_across + (b_across - a_across) * (at - a_along) / (b_along - a_along));
      }
      std::sort(crossings.begin(), crossings.end());
      for (std::size_t i = 0; i + 1 < crossings.size(); i += 2)
        widths[static_cast<std::size_t>(k)] -= crossings[i + 1] - crossings[i];
    }
  }
  return widths;
}

Lift lift_by(const Stencil& stencil, const SheetStock& stock, Load overspill, bool upright) {
  constexpr int slices = 500;
  const double border = stencil.border.value();
  const double span = ((upright ? stencil.width : stencil.height).value() + 2 * border) / 1000;  // m
  const double step = span / slices;
  const double thickness = stock.thickness.value() / 1000;
  const double pressure = (stock.density_kg_m3 * thickness + overspill.value() * 10) * gravity;  // Pa
  const double rigidity = stock.modulus_gpa * 1e9 * std::pow(thickness, 3) / 12;  // N m2 for each m of width
  std::vector<double> widths = solid_widths(stencil, upright, slices);
  // Where a stencil has no border at all, a hair of web keeps the sum finite.
  for (double& width : widths)
    width = std::max(width, 0.01) / 1000;

  double shear = 0;  // begins as the force on the first edge
  for (int k = 0; k < slices; ++k)
    shear += pressure * widths[static_cast<std::size_t>(k)] * step * (1 - (k + 0.5) / slices);
  double moment = 0, turn = 0, drop = 0;
  std::vector<double> turns{0}, drops{0};
  for (int k = 0; k < slices; ++k) {
    const double width = widths[static_cast<std::size_t>(k)], weight = pressure * width * step;
    const double middle = moment + shear * step / 2 - weight * step / 8;
    const double bend = middle / (rigidity * width) * step;
    drop += (turn + bend / 2) * step;
    turn += bend;
    moment += (shear - weight / 2) * step;
    shear -= weight;
    turns.push_back(turn);
    drops.push_back(drop);
  }
  // Both edges are held at one height: the whole is turned until the far one is there.
  const double tilt = drop / span;
  Lift lift{.by_upright_edges = upright, .span = Millimetres(span * 1000), .sag = Millimetres(0)};
  double deepest = 0, steepest = 0;
  for (int k = 0; k <= slices; ++k) {
    deepest = std::max(deepest, tilt * k * step - drops[static_cast<std::size_t>(k)]);
    steepest = std::max(steepest, std::abs(tilt - turns[static_cast<std::size_t>(k)]));
  }
  lift.sag = Millimetres(deepest * 1000);
  lift.slope_deg = std::atan(steepest) * degrees;
  return lift;
}

bool can_be_cut(const SheetStock& stock, const StockRules& rules) {
  return stock.narrowest <= rules.narrowest;
}

bool clears(const Lift& lift, const StockRules& rules) {
  return !rules.raised || lift.sag <= *rules.raised / 2;
}

bool is_flat(const Lift& lift) {
  return lift.slope_deg <= steepest_lift_deg;
}

std::string held(const Lift& lift) {
  return lift.by_upright_edges ? "Held by its left and right edges" : "Held by its top and bottom edges";
}

// "slopes by 3 degrees and sags 2.1 mm over 220 mm"
std::string bend(const Lift& lift) {
  if (lift.slope_deg > 45)
    return fmt::format("hangs through over {:.0f} mm", lift.span.value());
  return fmt::format("slopes by {:.1f} degrees and sags {:.1f} mm over {:.0f} mm", lift.slope_deg,
                     lift.sag.value(), lift.span.value());
}

std::string why_not(const SheetStock& stock, const Lift& lift, const StockRules& rules) {
  if (!can_be_cut(stock, rules))
    return fmt::format("{} cannot be cut {:g} mm narrow, only {:g} mm.", stock.name, rules.narrowest.value(),
                       stock.narrowest.value());
  return fmt::format("{} {}.", stock.name, bend(lift));
}

std::string limits(const StockRules& rules) {
  std::string words =
      fmt::format("Powder begins to move where a sheet slopes by more than {:g} degrees", steepest_lift_deg);
  if (rules.raised)
    words += fmt::format(", and on spacers of {:g} mm it may sag {:g} mm", rules.raised->value(),
                         rules.raised->value() / 2);
  return words + ".";
}

}  // namespace

std::span<const SheetStock> sheet_stocks() {
  return stocks;
}

Lift lift_of(const Stencil& stencil, const SheetStock& stock, Load overspill) {
  const Lift upright = lift_by(stencil, stock, overspill, true);
  const Lift level = lift_by(stencil, stock, overspill, false);
  return upright.slope_deg < level.slope_deg ? upright : level;
}

StockChoice choose_stock(const Stencil& stencil, const StockRules& rules) {
  std::array<Lift, stocks.size()> lifts;
  for (std::size_t i = 0; i < stocks.size(); ++i)
    lifts[i] = lift_of(stencil, stocks[i], rules.overspill);

  const std::string load = fmt::format("with {:.2f} g/cm2 of powder on it", rules.overspill.value());
  for (std::size_t i = 0; i < stocks.size(); ++i) {
    if (!can_be_cut(stocks[i], rules) || !is_flat(lifts[i]) || !clears(lifts[i], rules))
      continue;
    StockChoice choice{stocks[i], lifts[i], true, {}};
    choice.reason = fmt::format("{} {}, it {}. {}", held(lifts[i]), load, bend(lifts[i]), limits(rules));
    if (i > 0)
      choice.reason += " Thinner: " + why_not(stocks[i - 1], lifts[i - 1], rules);
    return choice;
  }
  // None: the flattest of those that can be cut; where even that fails, of those cut narrowest.
  Millimetres finest = stocks[0].narrowest;
  for (const SheetStock& stock : stocks)
    finest = std::min(finest, stock.narrowest);
  const Millimetres allowed = std::max(finest, rules.narrowest);
  std::size_t best = stocks.size();
  for (std::size_t i = 0; i < stocks.size(); ++i) {
    if (stocks[i].narrowest <= allowed &&
        (best == stocks.size() || lifts[i].slope_deg < lifts[best].slope_deg))
      best = i;
  }
  StockChoice choice{stocks[best], lifts[best], is_flat(lifts[best]) && clears(lifts[best], rules), {}};
  choice.reason = fmt::format("{} {}, it {}. {}", held(lifts[best]), load, bend(lifts[best]), limits(rules));
  if (finest > rules.narrowest)
    choice.reason += fmt::format(" No sheet here is cut {:g} mm narrow by knife; {:g} mm is the least.",
                                 rules.narrowest.value(), finest.value());
  if (!choice.stiff_enough)
    choice.reason +=
        " No sheet that can be cut this fine is stiff enough by itself: glue laths to its border, from one "
        "held edge to the other, and lift it with a second pair of hands.";
  if (!choice.stiff_enough && rules.raised)
    choice.reason += " Set more spacers below it where the glass is bare.";
  return choice;
}

}  // namespace powderplan
