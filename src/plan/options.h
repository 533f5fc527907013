// Several plans of one picture that differ in a few settings, to be looked at side by side before one is
// chosen.
#pragma once

#include <string>
#include <vector>

#include "plan/pipeline.h"
#include "plan/settings.h"
#include "report/options_board.h"

namespace powderplan {

// A setting and the values to try of it.
struct Trying {
  const Setting* setting = nullptr;
  std::vector<std::string> values;
};

// As a user writes it: the name of a flag without its dashes, and values with commas between them:
// "layers=6,8,12". Throws Problem (command_line, "--try").
Trying trying_of(const std::string& said);

// A request, and what of it differs from the others.
struct Variant {
  std::vector<SettingText> changed;
  PlanRequest request;
};

// Every combination of the values, the last setting changing fastest. Throws Problem (command_line): a
// setting twice, a value that is out of range or does not go with the rest, more than most_variants.
std::vector<Variant> variants_of(const PlanRequest& request, const std::vector<Trying>& tried);
inline constexpr std::size_t most_variants = 12;

// Points of the grid across the narrowest opening that are enough to compare plans by.
inline constexpr double points_to_compare = 4;
// The grid's pitch for that, one for all of them, never finer than asked for. At least one variant.
Millimetres pitch_to_compare(const std::vector<Variant>& variants);

// Each planned whole, one after the other. What cannot be kept within its limits is told, not thrown; other
// Problems are.
std::vector<PlanOption> look_at(const std::vector<Variant>& variants, const Progress& progress = {});

}  // namespace powderplan
