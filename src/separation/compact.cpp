#include "separation/compact.h"

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

constexpr double load_step = 0.001;  // g/cm2

// Rounded tone by tone, the heaviest downwards: so each tone is what was meant, and no nest gets heavier than
// a firing may be.
void round_loads(Nest& nest) {
  double exact = 0, before = 0;
  for (std::size_t i = 0; i < nest.steps.size(); ++i) {
    exact += nest.steps[i].load.value() / load_step;
    const bool last = i + 1 == nest.steps.size();
    const double rounded = std::max(before + 1, last ? std::floor(exact + 1e-6) : std::round(exact));
    nest.steps[i].load = Load((rounded - before) * load_step);
    before = rounded;
  }
}

// Fades without a template as nests of the choice, on every label.
FadedChoice with_free_fades_inside(const FadedChoice& from) {
  const Choice& choice = from.stencils.choice;
  FadedChoice to;
  to.fades = from.fades;
  to.stencils.labels.resize(from.stencils.labels.size());
  for (std::size_t p = 0; p <= choice.size(); ++p) {
    for (HandLaid& fade : to.fades) {
      if (!fade.free || from.fades[static_cast<std::size_t>(&fade - to.fades.data())].nest != p)
        continue;
      fade.nest = to.stencils.choice.size();
      fade.step = 1;
      to.stencils.choice.push_back(nest_of(fade.powder, {fade.load}));
      for (Tones& label : to.stencils.labels)
        label.push_back(1);
    }
    if (p == choice.size())
      break;
    for (std::size_t f = 0; f < to.fades.size(); ++f) {
      if (!from.fades[f].free && from.fades[f].nest == p)
        to.fades[f].nest = to.stencils.choice.size();
    }
    to.stencils.choice.push_back(choice[p]);
    for (std::size_t i = 0; i < from.stencils.labels.size(); ++i)
      to.stencils.labels[i].push_back(from.stencils.labels[i][p]);
  }
  return to;
}

}  // namespace

Separation compacted(const Grid& grid, FadedChoice faded) {
  const Image<std::uint16_t> label_at = std::move(faded.stencils.label_at);
  const FadedChoice whole = with_free_fades_inside(faded);
  const Choice& choice = whole.stencils.choice;
  const std::vector<Tones>& labels = whole.stencils.labels;
  std::vector<std::uint8_t> most(choice.size(), 0);
  std::vector<bool> used(labels.size(), false);
  used[0] = true;
  for (std::size_t i = 0; i < label_at.size(); ++i)
    used[label_at[i]] = true;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    for (std::size_t p = 0; p < choice.size() && used[i]; ++p)
      most[p] = std::max(most[p], labels[i][p]);
  }
  Separation out;
  out.grid = grid;
  std::vector<std::size_t> place(choice.size());
  for (std::size_t p = 0; p < choice.size(); ++p) {
    place[p] = out.choice.size();
    if (most[p] == 0)
      continue;
    out.choice.push_back(choice[p]);
    out.choice.back().steps.resize(most[p]);
    round_loads(out.choice.back());
  }
  std::vector<std::uint16_t> renumbered(labels.size(), 0);
  for (std::size_t i = 0; i < labels.size(); ++i) {
    if (!used[i])
      continue;
    renumbered[i] = static_cast<std::uint16_t>(out.labels.size());
    Tones kept;
    for (std::size_t p = 0; p < choice.size(); ++p) {
      if (most[p] != 0)
        kept.push_back(labels[i][p]);
    }
    out.labels.push_back(std::move(kept));
  }
  out.label_at = Image<std::uint16_t>(label_at.width(), label_at.height());
  for (std::size_t i = 0; i < label_at.size(); ++i)
    out.label_at[i] = renumbered[label_at[i]];
  for (const HandLaid& fade : whole.fades) {
    if (fade.step <= most[fade.nest])
      out.fades.push_back({place[fade.nest], fade.step, fade.free, fade.amount});
  }
  return out;
}

}  // namespace powderplan
