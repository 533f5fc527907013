#include "separation/label_colours.h"

#include <algorithm>
#include <map>
#include <unordered_map>

namespace powderplan {

LabelShape::LabelShape(const Choice& choice, std::vector<Tones> labels) : labels_(std::move(labels)) {
  std::map<Coat, std::uint32_t> coat_number;
  std::unordered_map<std::uint64_t, std::uint32_t> stack_number;
  stacks_.push_back({});
  const auto stack_on = [&](std::uint32_t below, std::uint32_t coat) {
    const auto [entry, fresh] = stack_number.try_emplace(std::uint64_t{below} << 32 | coat,
                                                         static_cast<std::uint32_t>(stacks_.size()));
    if (fresh)
      stacks_.push_back({below, coat});
    return entry->second;
  };
  for (const Tones& label : labels_) {
    std::vector<Coat> lies;
    std::size_t top_powder = 0;
    for (std::size_t nest = 0; nest < label.size(); ++nest) {
      for (std::size_t step = label[nest]; step-- > 0;) {
        const std::size_t powder = choice[nest].steps[step].powder;
        if (lies.empty() || powder != top_powder)
          lies.emplace_back();
        lies.back().push_back({static_cast<std::uint8_t>(nest), static_cast<std::uint8_t>(step)});
        top_powder = powder;
      }
    }
    Parts parts;
    parts.stacks = {0};
    for (const Coat& coat : lies) {
      const auto [entry, fresh] = coat_number.try_emplace(coat, static_cast<std::uint32_t>(coats_.size()));
      if (fresh)
        coats_.push_back(coat);
      parts.coats.push_back(entry->second);
      const std::size_t before = parts.stacks.size();
      for (std::size_t m = 0; m < before; ++m)
        parts.stacks.push_back(stack_on(parts.stacks[m], entry->second));
    }
    parts_.push_back(std::move(parts));
  }
}

std::vector<std::size_t> pattern_of(const Choice& choice) {
  std::vector<std::size_t> met, pattern;
  for (const Nest& nest : choice) {
    for (const Dose& step : nest.steps) {
      const auto known = std::find(met.begin(), met.end(), step.powder);
      pattern.push_back(static_cast<std::size_t>(known - met.begin()));
      if (known == met.end())
        met.push_back(step.powder);
    }
    pattern.push_back(~std::size_t{0});
  }
  return pattern;
}

std::vector<Xyz> label_colours(const Painter& painter, const Choice& choice, const LabelShape& shape) {
  std::vector<CoveringLayer> coats;
  coats.reserve(shape.coats().size());
  for (const LabelShape::Coat& coat : shape.coats()) {
    Dose dose{choice[coat.front().nest].steps[coat.front().step].powder, Load(0)};
    for (const LabelShape::Place& place : coat)
      dose.load += choice[place.nest].steps[place.step].load;
    coats.push_back(painter.layer(dose));
  }
  const auto& stacks = shape.stacks();
  std::vector<StackState> covered(stacks.size());
  std::vector<Xyz> look(stacks.size());
  covered[0] = painter.bare();
  look[0] = painter.look(covered[0]);
  for (std::size_t i = 1; i < stacks.size(); ++i) {
    covered[i] = painter.laid(covered[stacks[i].below], coats[stacks[i].coat]);
    look[i] = painter.look(covered[i]);
  }
  std::vector<Xyz> colours;
  colours.reserve(shape.parts().size());
  std::vector<double> share;
  for (const LabelShape::Parts& parts : shape.parts()) {
    // Shares of the stacks: each coat doubles the list into "does not cover" and "covers".
    share.assign(1, 1.0);
    for (const std::uint32_t coat : parts.coats) {
      const double cover = coats[coat].cover;
      const std::size_t before = share.size();
      for (std::size_t m = 0; m < before; ++m) {
        share.push_back(share[m] * cover);
        share[m] *= 1 - cover;
      }
    }
    Xyz colour{};
    for (std::size_t m = 0; m < share.size(); ++m)
      colour = colour + look[parts.stacks[m]] * share[m];
    colours.push_back(colour);
  }
  return colours;
}

}  // namespace powderplan
