#include "report/proof_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/stage.h"
#include "spoken.h"
#include "utf8.h"

namespace powderplan {
namespace {

// What a page has room for: names longer than so many bytes are cut, and more of them only counted.
constexpr std::size_t longest_name = 60, most_names = 12;

// Each powder once, in bench order.
std::vector<std::string> powder_names(const PlanRecord& record) {
  std::vector<std::string> names;
  for (const Layer& layer : record.layers) {
    const std::string name = shortened(powder_of(record, layer).name, [](const std::string& shorter) {
      return shorter.size() <= longest_name;
    });
    if (std::find(names.begin(), names.end(), name) == names.end())
      names.push_back(name);
  }
  if (names.size() > most_names) {
    const std::size_t more = names.size() - most_names + 1;
    names.resize(most_names - 1);
    names.push_back(fmt::format("{} more", more));
  }
  return names;
}

std::string light_words(const std::string& illuminant) {
  return illuminant == "A" ? "in lamp light" : "in daylight";
}

std::string making_words(const PlanRecord& record) {
  const std::size_t firings = record.firing_plan.firings.size();
  if (record.layers.empty() || firings == 0)
    return "Bare sheet glass: nothing is laid on it.";
  std::string words = fmt::format("Crushed-glass powder, {}, sifted on in {} and melted on in {}. ",
                                  spoken(powder_names(record)), counted(record.layers.size(), "layer"),
                                  counted(firings, "firing"));
  switch (record.firing_plan.firings.back().finish) {
    case Finish::full:
      return words + "The finished surface is smooth and glossy, its edge rounded.";
    case Finish::contour:
      return words + "The finished surface is soft to the touch, with a low relief.";
    default:
      return words + "The finished surface keeps the texture of the grains, dull like fine sugar.";
  }
}

std::string colour_words(const PlanRecord& record) {
  const Fidelity& fidelity = record.fidelity;
  std::string words = fmt::format("Computed, as seen {}, from what is known of each powder. ",
                                  light_words(record.illuminant));
  if (fidelity.expected_de00 > 0)
    words += fmt::format("Fired, they may come out otherwise by a difference that is {}. ",
                         how_far_apart(fidelity.expected_de00));
  if (fidelity.mean_de00 > 0) {
    words += fmt::format("Against the picture it is made after, the difference is on average {}",
                         how_far_apart(fidelity.mean_de00));
    words += fidelity.p95_de00 > fidelity.mean_de00
                 ? fmt::format(", and at one spot in twenty {}. ", how_far_apart(fidelity.p95_de00))
                 : ". ";
  }
  return words + "Screens and printers add to that: where a colour matters, ask to see it fired on a sample.";
}

}  // namespace

std::string how_far_apart(double de00) {
  if (de00 < 1)
    return "too small to be seen";
  if (de00 < 2)
    return "so small that only a trained eye sees it";
  if (de00 < 3.5)
    return "small, to be seen side by side";
  if (de00 < 5)
    return "clear when held side by side";
  return de00 < 10 ? "plain at a glance" : "strong";
}

ProofWords proof_words(const PlanRecord& record) {
  ProofWords words;
  const Sheet& sheet = sheet_of(record);
  const char* place = record.view == View::wall ? "to hang on a wall" : "to hang in a window";
  words.piece =
      fmt::format("{:.0f} \u00d7 {:.0f} mm, on {} sheet glass {:g} mm thick, {}", record.width.value(),
                  record.height.value(), sheet.name, sheet.thickness.value(), place);
  words.making = making_words(record);
  words.colour = colour_words(record);
  words.by_hand =
      "Each layer is sifted by hand: edges, shades and single grains fall a little differently every time, "
      "and "
      "small bubbles and specks belong to the glass. No two pieces are alike.";
  if (record.bridges > 0)
    words.by_hand +=
        " Narrow bars, where a stencil holds its loose parts together, belong to the way it is "
        "made and show as drawn here.";
  if (!record.panels.panels.empty())
    words.by_hand += fmt::format(
        " It is made in {} that are set side by side: the joins between them show as fine lines, which this "
        "picture leaves out.",
        counted(record.panels.panels.size(), "panel"));
  words.agreed = fmt::format(
      "A piece of this size and glass, {}, with the differences of colour and handwork that this page "
      "describes.",
      place);
  return words;
}

}  // namespace powderplan
