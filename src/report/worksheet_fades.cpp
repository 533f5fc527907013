#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "colour/observer.h"
#include "optics/grain.h"
#include "report/bench_numbers.h"
#include "report/fade_drawing.h"
#include "report/fade_words.h"
#include "report/stage.h"
#include "report/worksheet.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {
namespace {

// Steps of the load that are sifted on a spare piece to compare with.
constexpr std::array swatch_shares{1.0, 0.75, 0.5, 0.25, 0.125};
constexpr double swatch_cm2 = 10;
// Less than this cannot be told from nothing.
constexpr Millimetres least_height{0.1};

// In tenths of a millimetre, each point by its way from the one before: long lines stay short in the page.
std::string path_of(const std::vector<PointMm>& points, bool closed) {
  std::string path;
  long last_x = 0, last_y = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const long x = std::lround(points[i].x * 10), y = std::lround(points[i].y * 10);
    const long dx = x - last_x, dy = y - last_y;
    if (i > 0 && dx == 0 && dy == 0)
      continue;
    path += fmt::format("{}{:g}{}{:g}",
                        i == 0   ? "M"
                        : i == 1 ? "l"
                        : dx < 0 ? ""
                                 : " ",
                        static_cast<double>(dx) / 10, dy < 0 ? "" : " ", static_cast<double>(dy) / 10);
    last_x = x;
    last_y = y;
  }
  return closed ? path + "Z" : path;
}

std::string shown_height(Millimetres height) {
  return fmt::format("{:.0f} cm", std::max(1.0, height.value() / 10));
}

PageData level_paths(const FadeBench& bench) {
  PageData list(PageData::type::list);
  for (const FadeLevel& level : bench.levels) {
    for (const LineMm& line : level.lines)
      list.push_back(PageData("path", path_of(line, false)));
  }
  return list;
}

// The edges of its template.
PageData template_paths(const Layer& layer) {
  PageData list(PageData::type::list);
  if (layer.stencil) {
    for (const PolygonMm& opening : layer.stencil->stencil.openings)
      list.push_back(PageData("path", path_of(opening, true)));
  }
  return list;
}

PageData arrow_paths(const std::vector<FadeArrow>& arrows, double letter) {
  PageData list(PageData::type::list);
  for (const FadeArrow& arrow : arrows) {
    const double length = std::hypot(arrow.to.x - arrow.from.x, arrow.to.y - arrow.from.y);
    const PointMm way{(arrow.to.x - arrow.from.x) / length, (arrow.to.y - arrow.from.y) / length};
    const double head = 0.85 * letter;
    const auto barb = [&](double side) {
      return PointMm{arrow.to.x - head * (way.x - 0.7 * side * way.y),
                     arrow.to.y - head * (way.y + 0.7 * side * way.x)};
    };
    list.push_back(PageData(
        "path", path_of({arrow.from, arrow.to}, false) + path_of({barb(1), arrow.to, barb(-1)}, false)));
  }
  return list;
}

PageData bands(const PlanRecord& record, const FadeBench& bench) {
  PageData list(PageData::type::list);
  for (auto band = bench.bands.rbegin(); band != bench.bands.rend(); ++band) {
    PageData row;
    row.set("between", band->from > 0
                           ? fmt::format("{} to {}", shown_share(band->from), shown_share(band->to))
                           : "below " + shown_share(band->to));
    row.set("area", shown_area(band->area_cm2));
    row.set("grams", shown(band->lands));
    // Single peaks count for nothing, as where the fade is fullest.
    const Millimetres height = unfired_height(std::min(band->mean, bench.full), record.palette.glass.density);
    row.set("height", height < least_height ? "under " + shown(least_height) : shown(height));
    list.push_back(row);
  }
  return list;
}

// Each on the bare sheet: loose on the bench, and after the last firing.
PageData swatches(const PlanRecord& record, std::size_t layer) {
  const Observer observer(light_of(record));
  const Density density = record.palette.glass.density;
  const Powder& powder = powder_of(record, record.layers[layer]);
  const auto colour = [&](Load load, const FinishValues& values, View view) {
    const CoveringLayer coat = covering_layer(powder.optics, load, values, density);
    return to_hex(to_rgb8(to_linear_rgb(observer(seen(ground_of(record, view), std::array{coat})))));
  };
  PageData list(PageData::type::list);
  for (const double share : swatch_shares) {
    const Load load = fullest_load(record.layers[layer]) * share;
    PageData swatch;
    swatch.set("share", shown_share(share));
    swatch.set("load", shown(load));
    swatch.set("grams", shown(Grams(load.value() * swatch_cm2)));
    swatch.set("loose", colour(load, values_at(record, layer, Millimetres(0)), View::wall));
    swatch.set("fired",
               colour(load, values_after(record, layer, record.firing_plan.firings.size()), record.view));
    list.push_back(swatch);
  }
  return list;
}

// Where to begin, by the numbers on the picture.
std::string start_words(const FadeBench& bench) {
  std::vector<std::string> numbers;
  for (std::size_t i = 0; i < bench.way.starts.size(); ++i)
    numbers.push_back(std::to_string(i + 1));
  return spoken(numbers);
}

// Where openings differ, which of them thins out which way: "1 and 3: thins out upwards; 2: ...".
std::string differing_ways(const FadeBench& bench) {
  if (bench.way.course != FadeCourse::several || bench.places.size() < 2)
    return "";
  std::vector<std::pair<std::string, std::vector<std::string>>> ways;
  std::size_t number = 0;
  for (const FadePlace& place : bench.places) {
    if (place.way.course == FadeCourse::even)
      continue;
    const std::string words = place.way.course == FadeCourse::several ? "" : place_course_words(place.way);
    auto way =
        std::find_if(ways.begin(), ways.end(), [&](const auto& known) { return known.first == words; });
    if (way == ways.end())
      way = ways.insert(ways.end(), {words, {}});
    for (std::size_t i = 0; i < place.way.starts.size() && number < bench.way.starts.size(); ++i)
      way->second.push_back(std::to_string(++number));
    if (way->second.empty())
      ways.erase(way);
  }
  std::string text;
  for (const auto& [words, numbers] : ways)
    if (!words.empty())
      text += fmt::format("{}{}: {}", text.empty() ? "" : "; ", spoken(numbers), words);
  return text;
}

PageData drawing(const PlanRecord& record, std::size_t i, const FadeBench& bench) {
  const Layer& layer = record.layers[i];
  const Grid& grid = record.separation.grid;
  const double letter = std::max(grid.width, grid.height) * grid.pitch.value() / 26;
  const FadeDrawing drawn = fade_drawing(bench, layer, grid, Millimetres(letter));
  PageData data, marks(PageData::type::list), begins(PageData::type::list);
  for (const LevelMark& mark : drawn.marks) {
    PageData item;
    item.set("x", fmt::format("{:.2f}", mark.at.x));
    item.set("y", fmt::format("{:.2f}", mark.at.y));
    item.set("share", shown_share(mark.share));
    marks.push_back(item);
  }
  for (std::size_t k = 0; k < drawn.starts.size(); ++k) {
    PageData item;
    item.set("x", fmt::format("{:.2f}", drawn.starts[k].x));
    item.set("y", fmt::format("{:.2f}", drawn.starts[k].y));
    item.set("mark", std::to_string(k + 1));
    begins.push_back(item);
  }
  const auto size = [&](const char* name, double letters) {
    data.set(name, fmt::format("{:.3f}", letters * letter));
  };
  size("letter", 1.35);
  size("number", 0.95);
  size("halo", 0.34);
  size("line", 0.09);
  size("line_halo", 0.26);
  size("edge", 0.11);
  size("shaft", 0.24);
  size("shaft_halo", 0.5);
  size("disc", 0.75);
  data.set("of", std::to_string(i + 1));
  data.set("levels", level_paths(bench));
  data.set("openings", template_paths(layer));
  data.set("arrows", arrow_paths(drawn.arrows, letter));
  data.set("marks", marks);
  data.set("starts", begins);
  return data;
}

}  // namespace

std::optional<FadePage> fade_page(const PlanRecord& record, std::size_t layer) {
  const std::optional<FadeBench> bench = bench_of_fade(record, layer);
  if (!bench)
    return std::nullopt;
  const Powder& powder = powder_of(record, record.layers[layer]);
  const FadeHold& hold = bench->hold;
  FadePage page;
  page.facts.set("course", course_words(*bench, record.width, record.height));
  page.facts.set("edges", edge_words(*bench));
  page.facts.set("has_edges", !edge_words(*bench).empty());
  page.facts.set("hold", std::string(hold.high ? "high" : "low"));
  page.facts.set("edge", shown(hold.edge));
  page.facts.set("height", shown_height(hold.height));
  page.facts.set("rises", hold.height_where_thin > hold.height);
  page.facts.set("thin_height", shown_height(hold.height_where_thin));
  page.facts.set("passes", std::to_string(passes_for(bench->full, powder, record.palette.glass.density)));
  page.facts.set("starts", start_words(*bench));
  page.facts.set("ways", differing_ways(*bench));
  page.facts.set("differ", !differing_ways(*bench).empty());
  page.facts.set("any_levels", !bench->levels.empty());
  page.facts.set("bands", bands(record, *bench));
  page.facts.set("swatches", swatches(record, layer));
  page.facts.set("swatch_area", fmt::format("{:.0f}", swatch_cm2));
  page.facts.set("load", shown(bench->full));
  page.facts.set("view", std::string(record.view == View::wall ? "on the wall" : "in the window"));
  page.drawing = drawing(record, layer, *bench);
  return page;
}

}  // namespace powderplan
