#include "report/fade_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "optics/grain.h"
#include "spoken.h"

namespace powderplan {
namespace {

// A side is crisp, or soft, when so much of its length is.
constexpr double mostly_crisp = 0.75, mostly_soft = 0.5;

// Which of eight directions: 0 right, 1 bottom right, 2 bottom, ...
std::size_t eighth_of_turn(PointMm way) {
  const double turn = std::atan2(way.y, way.x) / (2 * std::numbers::pi);
  return static_cast<std::size_t>(std::lround(turn * 8) + 8) % 8;
}

std::string side_words(PointMm way) {
  constexpr std::array words{"the right", "the bottom right", "the bottom", "the bottom left",
                             "the left",  "the top left",     "the top",    "the top right"};
  return words[eighth_of_turn(way)];
}

std::string way_words(PointMm way) {
  constexpr std::array words{"to the right", "down and to the right", "downwards", "down and to the left",
                             "to the left",  "up and to the left",    "upwards",   "up and to the right"};
  return words[eighth_of_turn(way)];
}

std::string edges_named(const std::vector<std::string>& sides) {
  return fmt::format("the {} edge{}", spoken(sides), sides.size() == 1 ? "" : "s");
}

}  // namespace

std::optional<FadeBench> bench_of_fade(const PlanRecord& record, std::size_t layer) {
  if (!record.fade_benches.empty())
    return record.fade_benches[layer];
  const Fade* fade = fade_of(record.separation, record.layers[layer]);
  if (fade == nullptr)
    return std::nullopt;
  return fade_bench(record.layers[layer], *fade, record.separation.grid, record.soft_edge);
}

std::string shown_share(double share) {
  constexpr std::array eighths{"0",      "\u215b", "\u00bc", "\u215c", "\u00bd",
                               "\u215d", "\u00be", "\u215e", "full"};
  const long nearest = std::lround(share * 8);
  if (nearest >= 0 && nearest <= 8 && std::abs(share * 8 - static_cast<double>(nearest)) < 1e-9)
    return eighths[static_cast<std::size_t>(nearest)];
  return fmt::format("{:.0f} %", share * 100);
}

std::string place_words(PointMm at, Millimetres width, Millimetres height) {
  const auto third = [](double x, Millimetres of) {
    return std::clamp(static_cast<int>(std::floor(3 * x / of.value())), 0, 2);
  };
  const int column = third(at.x, width), row = third(at.y, height);
  const std::string down = row == 0 ? "top" : "bottom", across = column == 0 ? "left" : "right";
  if (row == 1)
    return column == 1 ? "the middle" : "the " + across + " edge";
  return column == 1 ? "the " + down + " edge" : "the " + down + " " + across + " corner";
}

std::string place_course_words(const FadeWay& way) {
  const PointMm back{-way.towards.x, -way.towards.y};
  switch (way.course) {
    case FadeCourse::even:
      return "nearly even";
    case FadeCourse::one_way:
      return "thins out " + way_words(way.towards);
    case FadeCourse::outwards:
      return "thins out to all sides";
    case FadeCourse::inwards:
      return "thins out from all sides inwards";
    case FadeCourse::from_band:
      return fmt::format("thins out {} and {}", way_words(back), way_words(way.towards));
    case FadeCourse::to_band:
      return "thins out from two sides inwards";
    case FadeCourse::several:
      return "follow the lines";
  }
  return "";
}

std::string course_words(const FadeBench& bench, Millimetres width, Millimetres height) {
  const FadeWay& way = bench.way;
  if (bench.places.size() > 1 && way.course == FadeCourse::several)
    return "Another way in each opening: follow the lines.";
  if (bench.places.size() > 1 && way.course != FadeCourse::even) {
    std::string words = place_course_words(way) + " in every opening.";
    words[0] = 'T';  // all of them begin with "thins out"
    return words;
  }
  const std::string first = way.starts.empty() ? "" : place_words(way.starts[0], width, height);
  const PointMm back{-way.towards.x, -way.towards.y};
  switch (way.course) {
    case FadeCourse::even:
      return "Nearly even.";
    case FadeCourse::one_way:
      return fmt::format("From {} towards {}.", first, side_words(way.towards));
    case FadeCourse::outwards:
      return fmt::format("From {} outwards.", place_words(way.middle, width, height));
    case FadeCourse::inwards:
      return fmt::format("From all round inwards, thinnest at {}.", place_words(way.middle, width, height));
    case FadeCourse::from_band:
      return fmt::format("From a band through {} to both sides, {} and {}.", first, side_words(back),
                         side_words(way.towards));
    case FadeCourse::to_band:
      return fmt::format("From two sides, {} and {}, towards a band between them.", side_words(back),
                         side_words(way.towards));
    case FadeCourse::several:
      return way.starts.size() > 1 ? "From several places; no one direction leads."
                                   : fmt::format("Fullest at {}; no one direction leads.", first);
  }
  return "";
}

std::string edge_words(const FadeBench& bench) {
  if (!bench.edges)
    return "";
  std::vector<std::string> crisp, soft;
  std::size_t sides = 0;
  EdgeSide fullest = EdgeSide::left;
  for (const EdgeSide side : all_edge_sides) {
    const EdgeOfFade& edge = bench.edges->at(side);
    if (edge.length_mm <= 0)
      continue;
    ++sides;
    if (edge.crisp_share() >= mostly_crisp)
      crisp.emplace_back(name_of(side));
    else if (edge.crisp_share() <= mostly_soft)
      soft.emplace_back(name_of(side));
    if (edge.amount > bench.edges->at(fullest).amount)
      fullest = side;
  }
  if (sides == 0)
    return "";
  const std::string thins =
      bench.way.course == FadeCourse::one_way ? ", thins out " + way_words(bench.way.towards) : "";
  if (crisp.size() == sides)
    return fmt::format("Crisp all round{}.", thins);
  if (!crisp.empty())
    return fmt::format("Crisp along {}{}.", edges_named(crisp), thins);
  if (soft.size() == sides)
    return fmt::format("Soft at its edges, fullest along {}{}.", edges_named({std::string(name_of(fullest))}),
                       thins);
  return fmt::format("Crisp along {:.0f} % of its outline{}.", 100 * bench.edges->crisp_share, thins);
}

int passes_for(Load load, const Powder& powder, Density density) {
  const double covers = load / load_of_one_cover(powder.optics.grain, density);
  return std::max(fewest_passes, static_cast<int>(std::ceil(covers / covers_in_a_pass)));
}

}  // namespace powderplan
