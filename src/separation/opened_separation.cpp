#include "separation/opened_separation.h"

#include <algorithm>
#include <map>

namespace powderplan {
namespace {

// Something that a map can sort by.
std::vector<int> key_of(const Tones& tones) {
  return {tones.begin(), tones.end()};
}

using Numbers = std::map<std::vector<int>, std::uint16_t>;

Numbers numbers_of(const std::vector<Tones>& labels) {
  Numbers numbers;
  for (std::size_t i = 0; i < labels.size(); ++i)
    numbers.emplace(key_of(labels[i]), static_cast<std::uint16_t>(i));
  return numbers;
}

}  // namespace

const LaidLayer* find(const std::vector<LaidLayer>& laid, std::size_t nest, std::size_t step) {
  const auto at = std::find_if(laid.begin(), laid.end(),
                               [&](const LaidLayer& l) { return l.nest == nest && l.step == step; });
  return at == laid.end() ? nullptr : &*at;
}

OpenedSeparation opened(const Separation& planned, std::size_t most_at_a_spot) {
  OpenedSeparation out;
  std::vector<bool> free(planned.choice.size(), false);
  for (const Fade& fade : planned.fades)
    free[fade.nest] = free[fade.nest] || fade.free;
  std::vector<std::size_t> place(planned.choice.size());
  Choice& choice = out.faded.stencils.choice;
  for (std::size_t n = 0; n < planned.choice.size(); ++n) {
    place[n] = choice.size();
    if (free[n])
      continue;
    choice.push_back(planned.choice[n]);
    out.nest_was.push_back(n);
  }
  // Free fades lie by place, those of one place in their order.
  std::vector<Fade> fades = planned.fades;
  std::stable_sort(fades.begin(), fades.end(), [](const Fade& a, const Fade& b) { return a.nest < b.nest; });
  for (const Fade& fade : fades) {
    const Dose& dose = planned.choice[fade.nest].steps[fade.step - 1];
    out.faded.fades.push_back({fade.free, place[fade.nest], fade.step, fade.free ? dose.powder : 0,
                               fade.free ? dose.load : Load(0), fade.amount});
    out.fade_was.push_back(fade.nest);
  }
  // All labels that could be, those of the map among them.
  std::vector<Tones>& labels = out.faded.stencils.labels;
  labels = all_labels(choice, most_at_a_spot);
  Numbers number = numbers_of(labels);
  std::vector<std::uint16_t> renumbered;
  for (const Tones& tones : planned.labels) {
    Tones kept;
    for (const std::size_t n : out.nest_was)
      kept.push_back(tones[n]);
    const auto [entry, fresh] = number.try_emplace(key_of(kept), static_cast<std::uint16_t>(labels.size()));
    if (fresh)
      labels.push_back(kept);
    renumbered.push_back(entry->second);
  }
  out.faded.stencils.label_at = planned.label_at;
  for (std::size_t i = 0; i < planned.label_at.size(); ++i)
    out.faded.stencils.label_at[i] = renumbered[planned.label_at[i]];
  return out;
}

void close_what_is_missing(OpenedSeparation& opened, const std::vector<LaidLayer>& laid) {
  LabelledChoice& map = opened.faded.stencils;
  const std::vector<std::size_t>& nest_was = opened.nest_was;
  const Numbers number = numbers_of(map.labels);
  for (std::size_t n = 0; n < nest_was.size(); ++n) {
    for (std::size_t step = map.choice[n].steps.size(); step >= 1; --step) {
      const LaidLayer* const layer = find(laid, nest_was[n], step);
      if (layer == nullptr)
        continue;
      // A tone holds all steps below it, so one goes with those above it.
      std::vector<std::uint16_t> without(map.labels.size());
      for (std::size_t i = 0; i < without.size(); ++i) {
        Tones tones = map.labels[i];
        tones[n] = std::min(tones[n], static_cast<std::uint8_t>(step - 1));
        const auto found = number.find(key_of(tones));
        without[i] = found == number.end() ? static_cast<std::uint16_t>(i) : found->second;
      }
      for (std::size_t p = 0; p < map.label_at.size(); ++p) {
        if (layer->there[p] == 0)
          map.label_at[p] = without[map.label_at[p]];
      }
    }
  }
}

}  // namespace powderplan
