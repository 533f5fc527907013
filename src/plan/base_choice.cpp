#include "plan/base_choice.h"

#include <fmt/format.h>

#include <algorithm>

#include "colour/difference.h"
#include "problem.h"
#include "separation/separate.h"

namespace powderplan {
namespace {

// Enough colours and layers to tell the sheets apart.
constexpr std::size_t colours_of_trial = 80;
constexpr std::size_t layers_of_trial = 5;
// What stays bare is the ground of a drawing: it is meant to look like paper.
constexpr Lab paper{95, 0, 0};

double bare_share(const Target& target) {
  std::size_t bare = 0;
  for (std::size_t i = 0; i < target.bare.size(); ++i)
    bare += target.bare[i] != 0 ? 1 : 0;
  return target.bare.empty() ? 0 : static_cast<double>(bare) / static_cast<double>(target.bare.size());
}

}  // namespace

std::size_t choose_base(const std::string& wanted, const Palette& palette,
                        const std::function<Painter(const Sheet&)>& painter_on, const Target& target,
                        Millimetres smallest, const ChoiceLimits& limits, std::vector<BaseTrial>& trials) {
  if (wanted != "auto") {
    const Sheet* sheet = palette.find_sheet(wanted);
    if (sheet == nullptr) {
      std::vector<std::string> known;
      for (const Sheet& s : palette.sheets)
        known.push_back(s.id);
      throw Problem(ProblemKind::command_line, "--base", fmt::format("no sheet \"{}\" on the shelf", wanted),
                    fmt::format("the shelf has {}; or use auto", fmt::join(known, ", ")));
    }
    return static_cast<std::size_t>(sheet - palette.sheets.data());
  }
  const std::vector<WeightedColour> colours = search_colours(target, smallest, colours_of_trial);
  ChoiceLimits short_limits = limits;
  short_limits.most_layers = std::max(limits.use.size(), std::min(limits.most_layers, layers_of_trial));
  short_limits.pairs.clear();  // the error is told as one of colour
  const double bare = bare_share(target);
  std::size_t best = 0;
  double least = 0;
  for (std::size_t i = 0; i < palette.sheets.size(); ++i) {
    const Painter painter = painter_on(palette.sheets[i]);
    const double drawn = search_choice(painter, colours, short_limits, SearchEffort::quick).mean_distance;
    const double reached = (1 - bare) * drawn + bare * ciede2000(paper, painter.lab({}));
    trials.push_back({palette.sheets[i].id, reached});
    if (i == 0 || reached < least) {
      least = reached;
      best = i;
    }
  }
  std::stable_sort(trials.begin(), trials.end(),
                   [](const BaseTrial& a, const BaseTrial& b) { return a.mean_de00 < b.mean_de00; });
  return best;
}

}  // namespace powderplan
