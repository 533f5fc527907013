#include "report/options_files.h"

#include <fmt/format.h>

#include <array>
#include <nlohmann/json.hpp>

#include "raster/png.h"
#include "report/own_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr std::array<std::string_view, 3> entries{"options.json", "options.png", "pictures"};
constexpr FolderKind kind{"board of options", "options.json", entries};

std::string picture_file(std::size_t option) {
  return fmt::format("pictures/{}.png", option + 1);
}

Json plan_json(const PlanGlance& plan) {
  Json short_of = Json::array();
  for (const auto& [name, weight] : plan.short_of)
    short_of.push_back({{"powder", name}, {"short_g", weight.value()}});
  return {{"base", plan.base.id},
          {"layers", plan.layers},
          {"powders", plan.powders},
          {"firings", plan.firings},
          {"finish", name_of(plan.finish)},
          {"mean_de00", plan.fidelity.mean_de00},
          {"p95_de00", plan.fidelity.p95_de00},
          {"seen_mean_de00", plan.fidelity.seen_mean_de00},
          {"stencils", plan.effort.stencils},
          {"raised", plan.effort.raised},
          {"bridges", plan.effort.bridges},
          {"fades", plan.effort.fades},
          {"lines", plan.effort.lines},
          {"cut_mm", plan.effort.cut.value()},
          {"cut_min", plan.effort.cut_minutes},
          {"lands_g", plan.lands.value()},
          {"short", std::move(short_of)}};
}

}  // namespace

std::string options_json(const std::vector<PlanOption>& options) {
  Json list = Json::array();
  for (std::size_t i = 0; i < options.size(); ++i) {
    Json changed = Json::object();
    for (const SettingText& setting : options[i].changed)
      changed[setting.flag] = setting.value;
    Json one{{"number", i + 1}, {"changed", std::move(changed)}};
    if (options[i].plan) {
      one["picture"] = picture_file(i);
      one["pitch_mm"] = options[i].plan->pitch.value();
      one["plan"] = plan_json(*options[i].plan);
    } else {
      one["refused"] = options[i].refused;
    }
    list.push_back(std::move(one));
  }
  const Json json{{"schema", options_schema}, {"options", std::move(list)}};
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

OwnPlace check_options_folder(const fs::path& folder, bool replace) {
  return check_own_folder(folder, replace, kind);
}

std::string write_options(const std::vector<PlanOption>& options, const OwnPlace& place,
                          const std::function<void()>& may_go_on) {
  std::vector<OwnFile> files{
      {"options.json", [&] { return bytes_of(options_json(options)); }},
      {"options.png", [&] { return encode_png(options_board(options), options_board_pitch); }}};
  for (std::size_t i = 0; i < options.size(); ++i)
    if (options[i].plan)
      files.push_back(
          {picture_file(i), [&plan = *options[i].plan] { return encode_png(plan.finished, plan.pitch); }});
  return write_own_folder(place, kind, files, may_go_on);
}

}  // namespace powderplan
