#include "app/stock_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <optional>
#include <ostream>
#include <set>

#include "app/interrupt.h"
#include "app/stock_take.h"
#include "app/usual_flags.h"
#include "glass/palette.h"
#include "plan/flag_answer.h"
#include "problem.h"
#include "report/files.h"
#include "report/folder_lock.h"
#include "report/inside_folder.h"
#include "spoken.h"
#include "utf8.h"
#include "weigh/real_weights.h"
#include "weigh/stock.h"

namespace powderplan {
namespace {

constexpr Range reserves{0, 1e6, "g"};
constexpr Range firing_numbers{1, 10000};

// The file itself, where the user named that.
std::filesystem::path plan_json_of(const std::string& named) {
  const std::filesystem::path path(named);
  return path.filename() == "plan.json" ? path : file_inside(path, "plan.json");
}

std::set<int> firings_of(const StockOptions& options) {
  std::set<int> firings;
  if (options.firings.empty())
    return firings;
  for (const std::string& said : FlagAnswer("--firing", options.firings, true).texts())
    firings.insert(FlagAnswer("--firing", {said}).whole(firing_numbers));
  return firings;
}

// Of layers that do not count this time, too: the notes of a whole plan serve for each of its firings.
void put_real_weights(std::vector<PlannedLayer>& layers, const std::string& file, const std::string& sha256) {
  for (const auto& [index, grams] : parse_real_weights(read_text_file(file), file, sha256)) {
    const int wanted = index;
    const auto layer =
        std::find_if(layers.begin(), layers.end(), [&](const PlannedLayer& l) { return l.index == wanted; });
    if (layer == layers.end())
      throw Problem(ProblemKind::input, file, fmt::format("the plan has no layer {}", index),
                    "check its number on the worksheet");
    layer->used = layer->sift = grams;
  }
}

// `weights` may be empty: as planned.
StockPlan stock_plan(const std::string& named, const std::set<int>& firings, const std::string& weights) {
  const std::filesystem::path file = plan_json_of(named);
  const std::string text = read_text_file(file);
  StockPlan plan;
  plan.file = file.string();
  plan.sha256 = sha256(text);
  PlanTotals totals = parse_plan_totals(text, plan.file);
  plan.title = totals.title;
  if (!firings.empty() && *firings.rbegin() > totals.firings)
    throw Problem(ProblemKind::command_line, "--firing",
                  fmt::format("{} has {}, and no firing {}", plan.file,
                              counted(static_cast<std::size_t>(totals.firings), "firing"), *firings.rbegin()),
                  "choose one of its firings, or leave --firing out for all");
  if (!weights.empty())
    put_real_weights(totals.layers, weights, plan.sha256);
  for (const PlannedLayer& layer : totals.layers)
    if (firings.empty() || firings.contains(layer.firing))
      plan.layers.push_back(layer);
  return plan;
}

std::vector<StockPlan> plans_of(const StockOptions& options) {
  if (options.plans.empty())
    throw Problem(ProblemKind::command_line, "PLAN-FOLDER", "no plan is named",
                  "name the folder of a plan, or several");
  const std::set<int> firings = firings_of(options);
  std::string weights;
  if (!options.weights.empty()) {
    weights = FlagAnswer("--weights", options.weights).text();
    if (options.plans.size() > 1)
      throw Problem(ProblemKind::command_line, "--weights", "more than one plan is named",
                    "give real weights for one plan at a time");
  }
  std::vector<StockPlan> plans;
  for (const std::string& named : options.plans) {
    plans.push_back(stock_plan(named, firings, weights));
    const bool there = std::any_of(plans.begin(), plans.end() - 1,
                                   [&](const StockPlan& p) { return p.sha256 == plans.back().sha256; });
    if (there && !options.again)
      throw Problem(ProblemKind::command_line, named, "is the same plan as one before it",
                    "name it once, or say --again if the piece is made twice");
  }
  return plans;
}

std::vector<StockPalette> shelves_of(const StockOptions& options) {
  need(options.palettes, "--palette", "name the file of your shelf");
  std::vector<StockPalette> shelves;
  for (const std::string& file : options.palettes)
    shelves.push_back(read_stock_palette(file));
  return shelves;
}

Palette merged(const std::vector<StockPalette>& shelves) {
  std::vector<Palette> palettes;
  std::vector<std::string> files;
  for (const StockPalette& shelf : shelves) {
    palettes.push_back(shelf.palette);
    files.push_back(shelf.file);
  }
  return merge(palettes, files);
}

std::vector<JarUse> siftings_of(const std::vector<StockPlan>& plans, const Palette& palette) {
  std::vector<JarUse> siftings;
  for (const StockPlan& plan : plans)
    for (const PlannedLayer& layer : plan.layers) {
      if (palette.find_powder(layer.powder) == nullptr)
        throw Problem(ProblemKind::input, plan.file,
                      fmt::format("its powder \"{}\" is not on the shelf", layer.powder),
                      "name the palette that it was planned with, or all of them");
      siftings.push_back({layer.powder, layer.used, layer.sift});
    }
  return siftings;
}

std::string grams_text(const std::optional<Grams>& grams) {
  return grams ? fmt::format("{:.2f}", grams->value()) : std::string("not known");
}

std::string jar_table(const Palette& palette, const std::vector<JarState>& jars) {
  std::size_t width = std::string_view("powder").size();
  for (const JarState& jar : jars)
    width = std::max(width, palette.powders[jar.powder].id.size());
  std::string text = fmt::format("\n  {:<{}}  {:>10}  {:>10}  {:>10}  {:>10}\n", "powder", width, "in jar g",
                                 "uses g", "left g", "short g");
  for (const JarState& jar : jars) {
    if (!jar.wanted)
      continue;
    text +=
        fmt::format("  {:<{}}  {:>10}  {:>10.2f}  {:>10}  {:>10}\n", palette.powders[jar.powder].id, width,
                    grams_text(jar.stock), jar.used.value(), grams_text(jar.left),
                    jar.short_of > Grams(0) ? fmt::format("{:.2f}", jar.short_of.value()) : std::string());
  }
  return text;
}

std::string order_list(const Palette& palette, const std::vector<JarState>& jars, Grams reserve) {
  // Half of the last digit that is shown is nothing to order.
  constexpr Grams least{0.005};
  std::string text;
  double price = 0;
  bool all_priced = true;
  for (const JarState& jar : jars) {
    if (jar.order < least)
      continue;
    const Powder& powder = palette.powders[jar.powder];
    text += fmt::format("  {} ({}): {:.2f} g{}\n", powder.name, powder.id, jar.order.value(),
                        jar.price
                            ? fmt::format(", {:.2f} at {:.2f} per 100 g", *jar.price, *powder.price_per_100g)
                            : std::string());
    price += jar.price.value_or(0);
    all_priced = all_priced && jar.price;
  }
  std::vector<std::string> unknown;
  for (const JarState& jar : jars)
    if (jar.wanted && !jar.stock)
      unknown.push_back(palette.powders[jar.powder].id);
  const std::string not_known =
      unknown.empty() ? "" : fmt::format("Not known of {}: no stock_g on the shelf.\n", spoken(unknown));
  const std::string wish =
      reserve > Grams(0) ? fmt::format(", {:g} g in reserve of each", reserve.value()) : "";
  if (text.empty())
    return fmt::format("\nNothing to order{}.\n", wish) + not_known;
  return fmt::format("\nTo order{}:\n{}", wish, text) +
         (price > 0 ? fmt::format("  {} {:.2f}\n", all_priced ? "in all" : "those with a price", price)
                    : std::string()) +
         not_known;
}

}  // namespace

void run_stock(const StockOptions& options, std::ostream& out) {
  const std::vector<StockPlan> plans = plans_of(options);
  // What is taken at the same time is taken one after the other, each from what the one before has left.
  std::optional<FolderLocks> locks;
  if (options.take)
    locks.emplace(std::vector<std::filesystem::path>(options.palettes.begin(), options.palettes.end()));
  const std::vector<StockPalette> shelves = shelves_of(options);
  const Palette palette = merged(shelves);
  const Grams reserve(options.reserve.empty() ? 0.0
                                              : FlagAnswer("--reserve", options.reserve).number(reserves));
  const std::vector<JarUse> siftings = siftings_of(plans, palette);
  const std::vector<JarState> jars = jars_after(palette, siftings, reserve);

  std::string text;
  for (const StockPlan& plan : plans)
    text +=
        fmt::format("{} ({}): {}\n", plan.title, plain_text(plan.file), counted(plan.layers.size(), "layer"));
  text += jar_table(palette, jars) + order_list(palette, jars, reserve);
  if (!options.take) {
    for (const std::string& words : taken_before(plans, shelves))
      text += fmt::format("\nNote: {}; this list counts it once more.\n", plain_text(words));
    out << text << "\nNothing has been changed; --take writes what will be left into the palette.\n";
    return;
  }
  const std::vector<std::string> done = take_off(plans, shelves, jars, palette, options.again);
  out << text << "\n";
  for (const std::string& words : done)
    out << plain_text(words) << ".\n";
}

}  // namespace powderplan
