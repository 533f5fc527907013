#include "report/proof_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/stage.h"
#include "report/utf8.h"

namespace powderplan {
namespace {

// What a page has room for: names longer than so many bytes are cut, and more of them only counted.
constexpr std::size_t longest_name = 60, most_names = 12;

std::string counted(std::size_t number, const char* one, const char* many) {
  return fmt::format("{} {}", number, number == 1 ? one : many);
}

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

// "a", "a and b", "a, b and c".
std::string listed(const std::vector<std::string>& names) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i)
    text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return text;
}

std::string light_words(const std::string& illuminant) {
  return illuminant == "A" ? "in lamp light" : "in daylight";
}

std::string making_words(const PlanRecord& record) {
  const std::size_t firings = record.firing_plan.firings.size();
  if (record.layers.empty() || firings == 0)
    return "Bare sheet glass: nothing is laid on it.";
  std::string words = fmt::format(
      "Crushed-glass powder, {}, sifted on in {} and melted on in {}. ", listed(powder_names(record)),
      counted(record.layers.size(), "layer", "layers"), counted(firings, "firing", "firings"));
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
    words +=
        fmt::format("The fired colours may differ from these {}. ", how_far_apart(fidelity.expected_de00));
  if (fidelity.mean_de00 > 0) {
    words += fmt::format("From the picture it is made after they differ {} on average",
                         how_far_apart(fidelity.mean_de00));
    words += fidelity.p95_de00 > fidelity.mean_de00
                 ? fmt::format(", {} at one spot in twenty. ", how_far_apart(fidelity.p95_de00))
                 : ". ";
  }
  return words + "Screens and printers add to that: where a colour matters, ask to see it fired on a sample.";
}

}  // namespace

std::string how_far_apart(double de00) {
  if (de00 < 1)
    return "too little to be seen";
  if (de00 < 2)
    return "so little that only a trained eye sees it";
  if (de00 < 3.5)
    return "a little, to be seen side by side";
  if (de00 < 5)
    return "clearly when held side by side";
  return de00 < 10 ? "at a glance" : "strongly";
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
  words.agreed = fmt::format(
      "A piece of this size and glass, {}, with the differences of colour and handwork that this page "
      "describes.",
      place);
  return words;
}

}  // namespace powderplan
