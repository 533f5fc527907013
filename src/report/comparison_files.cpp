#include "report/comparison_files.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "raster/png.h"
#include "report/canvas.h"
#include "report/difference_map.h"
#include "report/own_folder.h"
#include "report/preview.h"
#include "report/stage.h"
#include "report/whole_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr int schema = 1;
constexpr std::array<std::string_view, 4> entries{"compare.json", "comparison.png", "seen.png",
                                                  "difference.png"};
constexpr Rgb8 black{0, 0, 0}, grey{95, 95, 95}, light{205, 205, 205}, white{255, 255, 255};

// Pixels of the sheet.
constexpr int sheet_width = 1800, margin = 60, gap = 30;
constexpr int picture_width = (sheet_width - 2 * margin - 2 * gap) / 3;
constexpr std::size_t worst_shown = 8;

Image<Rgb8> difference_picture(const PieceComparison& comparison) {
  Image<Rgb8> map(comparison.grid.width, comparison.grid.height);
  for (std::size_t i = 0; i < map.size(); ++i)
    map[i] = comparison.counts[i] != 0 ? difference_colour(static_cast<double>(comparison.de00[i]))
                                       : not_counted_colour;
  return map;
}

// To the width of a column, by nearest points where it grows.
Image<Rgb8> fitted(const Image<Rgb8>& picture, int width) {
  if (picture.width() > width)
    return shrunk(picture, width);
  const int height = std::max(
      1, static_cast<int>(std::lround(static_cast<double>(picture.height()) * width / picture.width())));
  Image<Rgb8> out(width, height);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      out.at(x, y) = picture.at(x * picture.width() / width, y * picture.height() / height);
  return out;
}

Json powders_json(const PlanRecord& record, const PieceComparison& comparison) {
  Json list = Json::array();
  for (const PowderFinding& finding : comparison.powders)
    list.push_back({{"powder", record.palette.powders[finding.powder].id},
                    {"factor", finding.factor},
                    {"off_by", finding.off_by},
                    {"words", in_words(finding)}});
  return list;
}

Json layers_json(const PlanRecord& record, const PieceComparison& comparison) {
  Json list = Json::array();
  for (const LayerFinding& finding : comparison.layers) {
    Json regions = Json::array();
    for (const RegionFinding& region : finding.regions)
      regions.push_back({{"id", region.id},
                         {"area_cm2", region.area_cm2},
                         {"mean_de00", region.mean_de00},
                         {"lighter", region.lighter}});
    list.push_back({{"index", finding.layer + 1},
                    {"powder", powder_of(record, record.layers[finding.layer]).id},
                    {"strength", comparison.strength[finding.layer]},
                    {"mean_de00", finding.mean_de00},
                    {"lighter", finding.lighter},
                    {"regions", std::move(regions)}});
  }
  return list;
}

// Each powder's factor on a scale from half to double, with two standard deviations to either side.
class Factors {
 public:
  Factors(Canvas& canvas, const PlanRecord& record, const PieceComparison& comparison, double top)
      : canvas_(canvas), record_(record), comparison_(comparison), top_(top) {}

  double draw() {
    canvas_.text(margin, top_, "Powder against the plan", {.size = 30, .weight = Weight::bold});
    const double rows = top_ + 70;
    for (const double factor : {0.5, 0.7, 1.0, 1.4, 2.0}) {
      canvas_.fill(place(factor), rows - 26, factor == 1.0 ? 3 : 1,
                   row_height * static_cast<double>(comparison_.powders.size()) + 20,
                   factor == 1.0 ? black : light);
      canvas_.text(place(factor), rows - 32, fmt::format("\u00d7 {:g}", factor),
                   {.size = 20, .align = Align::centre, .colour = grey});
    }
    double y = rows;
    for (const PowderFinding& finding : comparison_.powders) {
      const Powder& powder = record_.palette.powders[finding.powder];
      canvas_.text_within(margin, y + 16, name_width, powder.name, {.size = 24});
      const bool told = finding.off_by <= not_told * finding.factor;
      const double low = place(finding.factor - clear_of * finding.off_by);
      const double high = place(finding.factor + clear_of * finding.off_by);
      canvas_.fill(low, y + 6, std::max(1.0, high - low), 4, told ? black : light);
      if (told)
        canvas_.fill(place(finding.factor) - 8, y, 16, 16, is_told(finding) ? Rgb8{150, 30, 30} : black);
      canvas_.text(scale_left + scale_width + 40, y + 16, in_words(finding),
                   {.size = 24, .weight = is_told(finding) ? Weight::bold : Weight::normal});
      y += row_height;
    }
    return y + 20;
  }

 private:
  static constexpr double name_width = 380, scale_left = margin + 420, scale_width = 640, row_height = 44;

  static double place(double factor) {
    return scale_left + scale_width * (std::log2(std::clamp(factor, 0.5, 2.0)) + 1) / 2;
  }

  Canvas& canvas_;
  const PlanRecord& record_;
  const PieceComparison& comparison_;
  double top_;
};

const Region& region_of(const PlanRecord& record, const PieceComparison& comparison,
                        const WorstRegion& worst) {
  return record.layers[comparison.layers[worst.layer].layer]
      .regions[static_cast<std::size_t>(worst.region.id - 1)];
}

}  // namespace

bool is_told(const PowderFinding& finding) {
  return std::abs(finding.factor - 1) > std::max(clear_of * finding.off_by, least_told) &&
         finding.off_by <= not_told * finding.factor;
}

std::string in_words(const PowderFinding& finding) {
  if (finding.off_by > not_told * finding.factor)
    return "the photo does not tell";
  if (!is_told(finding))
    return fmt::format("as planned, within {:.0f} %", 100 * std::max(least_told, clear_of * finding.off_by));
  return fmt::format("{:.0f} % {} than planned (\u00b1 {:.0f})", 100 * std::abs(finding.factor - 1),
                     finding.factor > 1 ? "heavier" : "lighter", 100 * clear_of * finding.off_by);
}

std::vector<WorstRegion> worst_regions(const PieceComparison& comparison, std::size_t count) {
  // A spot of a few points is nobody's concern.
  constexpr double least_cm2 = 1;
  std::vector<WorstRegion> all;
  for (std::size_t layer = 0; layer < comparison.layers.size(); ++layer)
    for (const RegionFinding& region : comparison.layers[layer].regions)
      if (region.area_cm2 >= least_cm2)
        all.push_back({layer, region});
  std::stable_sort(all.begin(), all.end(), [](const WorstRegion& a, const WorstRegion& b) {
    return a.region.mean_de00 > b.region.mean_de00;
  });
  all.resize(std::min(all.size(), count));
  return all;
}

std::string comparison_json(const PlanRecord& record, const PieceComparison& comparison,
                            const std::string& photo, const std::vector<std::string>& notes) {
  const Json json{{"schema", schema},
                  {"photo", photo},
                  {"title", record.title},
                  {"after_firing", comparison.firings_done},
                  {"pitch_mm", comparison.grid.pitch.value()},
                  {"mean_de00", comparison.mean_de00},
                  {"p95_de00", comparison.p95_de00},
                  {"explained_mean_de00", comparison.explained_de00},
                  {"powders", powders_json(record, comparison)},
                  {"layers", layers_json(record, comparison)},
                  {"notes", notes}};
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Image<Rgb8> comparison_sheet(const PlanRecord& record, const PieceComparison& comparison) {
  const std::array<std::pair<std::string, Image<Rgb8>>, 3> columns{
      {{"As planned", fitted(comparison.planned, picture_width)},
       {"As it came out", fitted(comparison.seen, picture_width)},
       {"Difference", fitted(difference_picture(comparison), picture_width)}}};
  constexpr double head = 190;
  const int tall = columns[0].second.height();
  const std::vector<WorstRegion> worst = worst_regions(comparison, worst_shown);
  const int below =
      190 + 44 * static_cast<int>(comparison.powders.size()) + 110 + 40 * static_cast<int>(worst.size());
  Canvas canvas(sheet_width, static_cast<int>(head) + tall + below);
  canvas.text_within(margin, 80, sheet_width - 2 * margin, record.title,
                     {.size = 44, .weight = Weight::bold});
  canvas.text_within(
      margin, 122, sheet_width - 2 * margin,
      fmt::format(
          "After firing {} of {}: differs from the plan by {:.1f} in the mean, 95 % of it by less than "
          "{:.1f} (CIEDE2000); {:.1f} is left when the powders are taken as found below",
          comparison.firings_done, record.firing_plan.firings.size(), comparison.mean_de00,
          comparison.p95_de00, comparison.explained_de00),
      {.size = 24});
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const int left = margin + static_cast<int>(i) * (picture_width + gap);
    canvas.text(left, head - 14, columns[i].first, {.size = 26, .weight = Weight::bold});
    canvas.picture(left, static_cast<int>(head), columns[i].second);
    canvas.frame(left, head, picture_width, tall, 1, light);
  }
  const double left = margin + 2.0 * (picture_width + gap);
  const double scale = picture_width / record.width.value();
  for (std::size_t i = 0; i < worst.size(); ++i) {
    const Region& region = region_of(record, comparison, worst[i]);
    const double x = left + region.centre.x * scale, y = head + region.centre.y * scale;
    canvas.fill(x - 15, y - 15, 30, 30, white);
    canvas.frame(x - 15, y - 15, 30, 30, 2, black);
    canvas.text(x, y + 8, std::to_string(i + 1),
                {.size = 22, .weight = Weight::bold, .align = Align::centre});
  }
  double y = Factors(canvas, record, comparison, head + tall + 70).draw();
  if (!worst.empty()) {
    canvas.text(margin, y + 34, "Where it is off most", {.size = 30, .weight = Weight::bold});
    y += 76;
  }
  for (std::size_t i = 0; i < worst.size(); ++i) {
    const LayerFinding& layer = comparison.layers[worst[i].layer];
    const RegionFinding& region = worst[i].region;
    canvas.text_within(
        margin, y, sheet_width - 2 * margin,
        fmt::format("{}   layer {}, {}, region {} ({:.0f} cm\u00b2): {:.1f} off, {}", i + 1, layer.layer + 1,
                    powder_of(record, record.layers[layer.layer]).name, region.id, region.area_cm2,
                    region.mean_de00,
                    std::abs(region.lighter) < 0.5 ? "no lighter and no darker"
                                                   : fmt::format("{:.1f} L* {}", std::abs(region.lighter),
                                                                 region.lighter > 0 ? "lighter" : "darker")),
        {.size = 24});
    y += 40;
  }
  return canvas.image();
}

void check_comparison_folder(const fs::path& folder, bool replace) {
  check_own_folder(folder, replace, {"comparison", "compare.json", entries});
}

std::string write_comparison(const PlanRecord& record, const PieceComparison& comparison,
                             const std::string& photo, const std::vector<std::string>& notes,
                             const fs::path& folder, bool replace, const std::function<void()>& may_go_on) {
  check_comparison_folder(folder, replace);
  WholeFolder whole(folder);
  const auto put = [&](std::string_view name, const std::vector<std::uint8_t>& bytes) {
    if (may_go_on)
      may_go_on();
    write_bytes(whole.path() / name, bytes);
  };
  const std::string json = comparison_json(record, comparison, photo, notes);
  put("compare.json", {json.begin(), json.end()});
  put("comparison.png", encode_png(comparison_sheet(record, comparison), comparison_sheet_pitch));
  put("seen.png", encode_png(comparison.seen, comparison.grid.pitch));
  put("difference.png",
      encode_png(with_difference_scale(difference_picture(comparison), "Difference from the plan, CIEDE2000",
                                       comparison.mean_de00, comparison.p95_de00),
                 comparison.grid.pitch));
  if (may_go_on)
    may_go_on();
  check_comparison_folder(folder, replace);
  if (const auto left = whole.commit(replace))
    return fmt::format("the old comparison could not be removed and lies in {} now", left->string());
  return "";
}

}  // namespace powderplan
