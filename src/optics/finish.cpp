#include "optics/finish.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "optics/grain.h"
#include "optics/levelling.h"
#include "optics/sintering.h"

namespace powderplan {
namespace {

constexpr std::array<std::pair<std::string_view, Finish>, 4> names{{{"unfired", Finish::unfired},
                                                                    {"tack", Finish::tack},
                                                                    {"contour", Finish::contour},
                                                                    {"full", Finish::full}}};

// 2^(2/3): the shadow of a half sphere over that of a sphere of the same volume.
constexpr double flush_spread = 1.5874010519681994;

// A grain in air sends back about a fifth of the light that meets it: two surfaces of 9 % each for diffuse
// light, and what comes back from inside. So loose powder scatters 0.2 for each single cover.
constexpr double sent_back_by_one_cover = 0.2;

// A grain and the gap beside it.
constexpr double grains_in_texture_wave = 2;

// Share of a way that cannot be told from its end.
constexpr double not_seen = 0.001;

double settled(double left) {
  return left < not_seen ? 0 : left;
}

Millimetres texture_wave(Millimetres grain) {
  return grain * grains_in_texture_wave;
}

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

FinishValues fired_values(Millimetres flow, Millimetres grain, Density density) {
  const double air_left = settled(1 - fused_share(flow, grain));
  const double way_left = settled(std::exp(-1.5 * (flow / (grain / 2))));
  return {.fused = 1 - air_left,
          .spread = 1 + (flush_spread - 1) * (1 - way_left),
          .s_air = sent_back_by_one_cover / load_of_one_cover(grain, density).value(),
          .matte = settled(relief_left(flow, texture_wave(grain)))};
}

Millimetres flow_for(Finish finish, Millimetres grain) {
  for (const FinishTarget& target : finish_targets) {
    if (target.finish == finish)
      return std::max({flow_to_fuse(target.fused, grain),
                       flow_to_level(target.grain_matte, texture_wave(grain)),
                       flow_to_level(target.relief_left, relief_wave)});
  }
  return Millimetres(0);
}

Finish finish_reached(Millimetres flow, Millimetres grain) {
  Finish reached = Finish::unfired;
  for (const FinishTarget& target : finish_targets) {
    if (flow >= flow_for(target.finish, grain) * (1 - finish_tolerance))
      reached = target.finish;
  }
  return reached;
}

std::string_view reached_in_words(Millimetres flow, Millimetres grain) {
  const Finish reached = finish_reached(flow, grain);
  return reached == Finish::unfired && flow > Millimetres(0) ? "below tack" : name_of(reached);
}

}  // namespace powderplan
