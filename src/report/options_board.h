// Plans that differ in a few settings on one sheet, side by side: what each looks like, how near it comes and
// what it asks of the hands.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "report/plan_glance.h"

namespace powderplan {

struct PlanOption {
  std::vector<SettingText> changed;  // what sets it apart, as a user writes it
  std::optional<PlanGlance> plan;    // nothing where the limits cannot be kept
  std::string refused;               // then why, and what would help
};

// "8 layers, base white": what sets an option apart.
std::string heading_of(const PlanOption& option);

// At least one option that can be made. All pieces are drawn to one scale, numbered from 1, after the picture
// that they aim at; bars compare their figures, the lowest of each in bold.
Image<Rgb8> options_board(const std::vector<PlanOption>& options);
inline constexpr Millimetres options_board_pitch{0.15};

}  // namespace powderplan
