#include "layers/cut_stencil.h"

#include <utility>

namespace powderplan {
namespace {

// Of cutting, when one small template makes all places; less the time to lay it.
double saved_minutes(const Repeat& repeat, const Stencil& sheet, const Stencil& small,
                     const SheetStock& stock) {
  Stencil places = sheet;
  places.openings.clear();
  for (const RepeatPlace& place : repeat.places)
    places.openings.push_back(sheet.openings[place.opening]);
  const auto count = static_cast<double>(repeat.places.size());
  return stencil_effort(places, stock).minutes - stencil_effort(small, stock).minutes -
         minutes_per_place * count;
}

}  // namespace

void set_up_cutting(CutStencil& cut, const CutSetup& setup) {
  StockRules rules{.overspill = setup.load, .narrowest = setup.narrowest};
  if (setup.raised)
    rules.raised = spacer_height;
  cut.stock = choose_stock(cut.stencil, rules);
  cut.effort = stencil_effort(cut.stencil, cut.stock.stock);
  cut.repeats.clear();
  if (setup.repeats == RepeatUse::never || !setup.even_coat)
    return;
  const RepeatRules shapes;
  for (Repeat& repeat : find_repeats(cut.stencil.openings, shapes)) {
    Stencil small = small_template(repeat, shapes);
    const double saved = saved_minutes(repeat, cut.stencil, small, cut.stock.stock);
    // A small sheet on spacers tips, and one beside loose powder may touch it.
    const bool worth_it = saved > 0 && repeat.too_close.empty() && !setup.raised;
    if (setup.repeats == RepeatUse::always || worth_it)
      cut.repeats.push_back({std::move(repeat), std::move(small), saved});
  }
}

}  // namespace powderplan
