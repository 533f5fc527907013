#include "plan/options.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "nearest_word.h"
#include "plan/flag_answer.h"
#include "plan/stay_in_stock.h"
#include "problem.h"

namespace powderplan {
namespace {

[[noreturn]] void refuse(const std::string& wrong, const std::string& remedy) {
  throw Problem(ProblemKind::command_line, "--try", wrong, remedy);
}

constexpr std::string_view dashes = "--";

// Not what makes another piece of it, another picture or another look at it; the grid is chosen for all.
constexpr std::array<std::string_view, 13> of_the_piece{
    "--title", "--palette",      "--width",    "--height", "--crop",           "--fit", "--view", "--light",
    "--paper", "--seen-from-mm", "--pitch-mm", "--shelf",  "--shelf-margin-mm"};

bool can_be_tried(const Setting& setting) {
  return setting.flag.starts_with(dashes) &&
         std::find(of_the_piece.begin(), of_the_piece.end(), setting.flag) == of_the_piece.end();
}

const Setting& setting_named(const std::string& name) {
  std::vector<std::string_view> known;
  for (const Setting& setting : all_settings()) {
    if (!can_be_tried(setting))
      continue;
    known.push_back(setting.flag.substr(dashes.size()));
    if (known.back() == name)
      return setting;
  }
  const auto meant = nearest_word(name, known);
  refuse(fmt::format("\"{}\" is no setting that can be tried", name),
         meant ? fmt::format("did you mean {}?", *meant)
               : "give a flag of the piece without its dashes, e.g. layers, base, firings or finish");
}

}  // namespace

Trying trying_of(const std::string& said) {
  const std::size_t sign = said.find('=');
  if (sign == std::string::npos)
    refuse(fmt::format("\"{}\" names no values", said), "write it as layers=6,8,12");
  Trying tried{&setting_named(said.substr(0, sign)), {}};
  tried.values = FlagAnswer("--try", {said.substr(sign + 1)}).texts();
  for (auto value = tried.values.begin(); value != tried.values.end(); ++value)
    if (std::find(tried.values.begin(), value, *value) != value)
      refuse(fmt::format("{} is to be tried with \"{}\" twice", tried.setting->flag.substr(dashes.size()),
                         *value),
             "name each value once");
  return tried;
}

std::vector<Variant> variants_of(const PlanRequest& request, const std::vector<Trying>& tried) {
  std::vector<Variant> variants{{{}, request}};
  for (auto one = tried.begin(); one != tried.end(); ++one) {
    if (std::any_of(tried.begin(), one, [&](const Trying& o) { return o.setting == one->setting; }))
      refuse(fmt::format("{} is there twice", one->setting->flag.substr(dashes.size())),
             "give all its values in one --try");
    if (variants.size() * one->values.size() > most_variants)
      refuse(fmt::format("that makes more than {} plans", most_variants), "try fewer values at a time");
    std::vector<Variant> more;
    for (const Variant& variant : variants) {
      for (const std::string& value : one->values) {
        Variant with = variant;
        one->setting->take(FlagAnswer(std::string(one->setting->flag), {value}, one->setting->repeats),
                           with.request);
        with.changed.push_back({std::string(one->setting->flag), value});
        more.push_back(std::move(with));
      }
    }
    variants = std::move(more);
  }
  for (const Variant& variant : variants)
    check_together(variant.request);
  return variants;
}

Millimetres pitch_to_compare(const std::vector<Variant>& variants) {
  const Millimetres pitch = variants.front().request.pitch;
  Millimetres narrowest = variants.front().request.smallest;
  for (const Variant& variant : variants)
    narrowest = std::min(narrowest, variant.request.smallest);
  return std::max(pitch, narrowest * (1 / points_to_compare));
}

std::vector<PlanOption> look_at(const std::vector<Variant>& variants, const Progress& progress) {
  std::vector<PlanOption> options;
  for (std::size_t i = 0; i < variants.size(); ++i) {
    const auto part = [&](std::string_view step, double share) {
      if (progress)
        progress(fmt::format("{} of {}: {}", i + 1, variants.size(), step),
                 (static_cast<double>(i) + share) / static_cast<double>(variants.size()));
    };
    PlanOption option{variants[i].changed, std::nullopt, {}};
    try {
      option.plan = glance_at(make_asked_plan(variants[i].request, part));
    } catch (const Problem& problem) {
      if (problem.kind() != ProblemKind::infeasible)
        throw;
      option.refused = fmt::format("{}: {}; {}", problem.place(), problem.wrong(), problem.remedy());
    }
    options.push_back(std::move(option));
  }
  return options;
}

}  // namespace powderplan
