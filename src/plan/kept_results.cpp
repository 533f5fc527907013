#include "plan/kept_results.h"

#include <fmt/format.h>

#include <algorithm>
#include <span>
#include <sstream>

#include "plan/settings.h"
#include "report/files.h"

namespace powderplan {
namespace {

std::string_view name_of(KeptStep step) {
  switch (step) {
    case KeptStep::base:
      return "base";
    case KeptStep::nests:
      return "nests";
    case KeptStep::separation:
      return "separation";
    case KeptStep::layers:
      return "layers";
    case KeptStep::judgement:
      return "judgement";
    case KeptStep::pictures:
      return "pictures";
  }
  return "";
}

// A text that cannot run into its neighbour.
std::string counted(std::string_view text) {
  return fmt::format("{}:{}", text.size(), text);
}

}  // namespace

std::vector<std::string_view> no_matter_to(KeptStep step) {
  // How it is called, weighed, looked at from afar, cut for the shelf and put on paper comes after all layers
  // are made. What jars hold reaches the planning by prices alone, which are part of every key.
  std::vector<std::string_view> flags{"--title",      "--paper",        "--repeats", "--sweep-margin-mm",
                                      "--comes-back", "--within-stock", "--shelf",   "--shelf-margin-mm"};
  if (step != KeptStep::judgement)
    flags.push_back("--seen-from-mm");
  // Cut lines are drawn last round the openings of the layers.
  if (step != KeptStep::layers)
    flags.insert(flags.end(), {"--border-mm", "--cut-tolerance-mm"});
  // A number of nests is tried for itself, flat on the glass. What comes after the trials is told apart by
  // what came of them.
  if (step != KeptStep::layers)
    flags.insert(flags.end(), {"--firings", "--raised"});
  if (step != KeptStep::layers && step != KeptStep::nests)
    flags.push_back("--bridge-mm");
  return flags;
}

std::string fingerprint_of_piece(const PlanRecord& record) {
  std::string all;
  const auto add = [&](const auto&... values) {
    std::ostringstream bytes;
    cereal::BinaryOutputArchive archive(bytes);
    archive(values...);
    const std::string_view written = bytes.view();
    all += sha256(std::span(reinterpret_cast<const std::uint8_t*>(written.data()), written.size()));
  };
  add(record.sheet, record.separation.grid, record.separation.choice, record.separation.labels);
  for (const Layer& layer : record.layers)
    add(layer.powder, layer.nest, layer.step, layer.technique, layer.load, layer.amount, layer.open,
        layer.lines, layer.scratched);
  for (const Firing& firing : record.firing_plan.firings)
    add(firing.finish, firing.flow, firing.layers);
  for (const LayerPlace& place : record.firing_plan.places)
    add(place.firing, place.raised);
  return sha256(all);
}

std::string fingerprint_of_rules(const SeparationRules& rules) {
  std::ostringstream bytes;
  cereal::BinaryOutputArchive archive(bytes);
  const ChoiceLimits& limits = rules.limits;
  archive(limits.most_layers, limits.most_powders, limits.most_at_a_spot, limits.most_nests,
          limits.least_load, limits.most_load, limits.use, limits.usable, limits.order, limits.apart,
          limits.heat);
  for (const PairPrice& pair : limits.pairs)
    archive(pair.one, pair.other, pair.price);
  archive(limits.pairs.size(), limits.in_firing.size());
  for (const ChoiceLimits::InFiring& wish : limits.in_firing)
    archive(wish.powder, wish.firing);
  archive(rules.choice, rules.smallest, rules.quick, rules.fades.most_fades, rules.fades.edge_low,
          rules.fades.edge_high);
  return sha256(bytes.str());
}

KeptResults::KeptResults(const PlanRequest& request, const std::vector<InputFile>& inputs)
    : settings_(settings_in_words(request)) {
  if (!request.kept)
    return;
  store_.emplace(*request.kept);
  rest_ = fingerprint_of_program();
  for (const InputFile& input : inputs) {
    // A piece file acts by its settings alone.
    if (input.role != "piece")
      rest_ += counted(input.role) + counted(input.sha256);
  }
  for (const auto& [powder, price] : request.dear)
    rest_ += counted(powder) + counted(fmt::format("{}", price));
}

std::string KeptResults::key_of(KeptStep step, const std::string& which) const {
  std::string all = counted(name_of(step)) + counted(which) + counted(rest_);
  const std::vector<std::string_view> left_out = no_matter_to(step);
  for (const SettingText& setting : settings_) {
    if (std::find(left_out.begin(), left_out.end(), setting.flag) == left_out.end())
      all += counted(setting.flag) + counted(setting.value);
  }
  return sha256(all);
}

}  // namespace powderplan
