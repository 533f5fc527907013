#include "plan/kept_results.h"

#include <fmt/format.h>

#include <algorithm>

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
    case KeptStep::layers:
      return "layers";
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
  std::vector<std::string_view> flags{"--title",           "--paper",      "--repeats",
                                      "--sweep-margin-mm", "--comes-back", "--seen-from-mm",
                                      "--within-stock",    "--shelf",      "--shelf-margin-mm"};
  // Cut lines are drawn last round the openings of the layers.
  if (step != KeptStep::layers)
    flags.insert(flags.end(), {"--border-mm", "--cut-tolerance-mm"});
  // A number of nests is tried for itself, flat on the glass.
  if (step == KeptStep::nests || step == KeptStep::base)
    flags.insert(flags.end(), {"--firings", "--raised"});
  if (step == KeptStep::base)
    flags.push_back("--bridge-mm");
  return flags;
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
