#include "optics/finish.h"

#include <array>
#include <utility>

#include "optics/grain.h"

namespace powderplan {
namespace {

constexpr std::array<std::pair<std::string_view, Finish>, 4> names{{{"unfired", Finish::unfired},
                                                                    {"tack", Finish::tack},
                                                                    {"contour", Finish::contour},
                                                                    {"full", Finish::full}}};

// A grain that only rounds and takes hold has still about its own shadow; one that has sunk flush into a
// sheet as soft as itself is a half sphere of the same volume, with 2^(2/3) = 1.59 times the shadow. Full
// heat is there, tack is half-way.
constexpr double spread_tack = 1.3, spread_contour = 1.45, spread_full = 1.59;

// A grain in air sends back about a fifth of the light that meets it: two surfaces of 9 % each for diffuse
// light, and what comes back from inside. So loose powder scatters 0.2 for each single cover.
constexpr double sent_back_by_one_cover = 0.2;

}  // namespace

std::optional<Finish> finish_named(std::string_view name) {
  for (const auto& [known, finish] : names) {
    if (name == known)
      return finish;
  }
  return std::nullopt;
}

std::string_view name_of(Finish finish) {
  return names[static_cast<std::size_t>(finish)].first;
}

FinishValues finish_values(Finish finish, Millimetres grain, Density density) {
  const double s_air = sent_back_by_one_cover / load_of_one_cover(grain, density).value();
  switch (finish) {
    case Finish::unfired:
      return {.fused = 0.0, .spread = 1.0, .s_air = s_air, .matte = 1.0};
    case Finish::tack:
      return {.fused = 0.93, .spread = spread_tack, .s_air = s_air, .matte = 0.6};
    case Finish::contour:
      return {.fused = 0.985, .spread = spread_contour, .s_air = s_air, .matte = 0.15};
    case Finish::full:
      return {.fused = 1.0, .spread = spread_full, .s_air = s_air, .matte = 0.0};
  }
  return {};
}

}  // namespace powderplan
