#include "report/plan_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "colour/observer.h"
#include "firing/viscosity.h"
#include "json_reader.h"
#include "raster/picture.h"
#include "raster/png.h"
#include "report/amount_file.h"
#include "report/files.h"
#include "report/inside_folder.h"
#include "report/panel_json.h"
#include "report/plan_json.h"
#include "report/separation_file.h"
#include "utf8.h"

namespace powderplan {
namespace {

constexpr Range lengths{0.01, 1e5, "mm"};
constexpr Range pitches{0.01, 100, "mm"};
constexpr Range points{1, 1e6};
constexpr Range loads{0, 100, "g/cm2"};
constexpr Range places{1, 1e4};
constexpr Range shares{0, 1};
constexpr Range rates{-1e5, 1e5};
constexpr Range temperatures{-100, 2000};
constexpr Range minutes{0, 1e6};
constexpr Range bridge_counts{0, 1e6};
constexpr Range differences{0, 1000};
constexpr Range distances{0, 1e6, "mm"};

const char* const make_again = "make the plan again";

Technique technique_named(const JsonPart& layer) {
  const std::string name = layer.text("technique");
  for (const Technique technique : {Technique::stencil, Technique::fade, Technique::line})
    if (name == name_of(technique))
      return technique;
  layer.fail(fmt::format("\"{}\" is no technique", name), make_again);
}

template <class Entry>
std::size_t place_in(const std::vector<Entry>& shelf, const JsonPart& part, std::string_view key,
                     std::string_view kind) {
  const std::string id = part.text(key);
  const auto found =
      std::find_if(shelf.begin(), shelf.end(), [&](const Entry& entry) { return entry.id == id; });
  if (found == shelf.end())
    part.fail(fmt::format("the palette holds no {} \"{}\"", kind, id),
              "name the palette that the plan was made with");
  return static_cast<std::size_t>(found - shelf.begin());
}

// What is wrong with a file of the plan cannot be mended by hand.
template <class F>
auto of_the_plan(F&& read) {
  try {
    return read();
  } catch (const Problem& problem) {
    throw Problem(problem.kind(), problem.place(), problem.wrong(), make_again);
  }
}

// A PNG of one point for each of the grid: what is larger or smaller is not decoded.
std::vector<std::uint8_t> read_png_of_grid(const std::filesystem::path& file, const Grid& grid) {
  std::vector<std::uint8_t> bytes = read_file(file);
  const auto size = size_of_png(bytes);
  if (size && (size->width != static_cast<std::uint64_t>(grid.width) ||
               size->height != static_cast<std::uint64_t>(grid.height)))
    throw Problem(ProblemKind::input, file.string(),
                  fmt::format("has {} x {} points where the plan has {} x {}", size->width, size->height,
                              grid.width, grid.height),
                  make_again);
  return bytes;
}

Image<Amount> read_amount(const std::filesystem::path& file, const Grid& grid) {
  return of_the_plan([&] { return amount_of_png(read_png_of_grid(file, grid), file); });
}

std::filesystem::path inside(const std::filesystem::path& folder, const JsonPart& part,
                             std::string_view key) {
  const std::string name = part.text(key);
  if (!stays_inside(name))
    part.fail(fmt::format("\"{}\" lies outside the plan", name), make_again);
  return file_inside(folder, name);
}

void read_layers(const std::filesystem::path& folder, const JsonPart& root, PlanRecord& record) {
  for (const JsonPart& part : root.objects("layers", "layer")) {
    Layer layer;
    layer.powder = place_in(record.palette.powders, part, "powder", "powder");
    layer.technique = technique_named(part);
    layer.load = Load(part.number("load_g_cm2", loads));
    layer.amount = read_amount(inside(folder, part, "amount"), record.separation.grid);
    layer.nest = static_cast<std::size_t>(part.whole("nest", places)) - 1;
    layer.step = part.whole("step", places);
    const Choice& choice = record.separation.choice;
    if (layer.nest >= choice.size() || layer.step > static_cast<int>(choice[layer.nest].steps.size()))
      part.fail("is not in the plan's separation", make_again);
    measure(layer, record.separation.grid);
    if (part.has("scratched"))
      layer.scratched.emplace();
    record.firing_plan.places.push_back(
        {static_cast<std::size_t>(part.whole("firing", places)) - 1, false, ""});
    record.layers.push_back(std::move(layer));
  }
}

void read_firings(const JsonPart& root, PlanRecord& record) {
  const ViscosityCurve viscosity(record.palette.glass);
  for (const JsonPart& part : root.objects("firings", "firing")) {
    Firing firing;
    const std::optional<Finish> finish = finish_named(part.text("finish"));
    if (!finish)
      part.fail(fmt::format("\"{}\" is no finish", part.text("finish")), make_again);
    firing.finish = *finish;
    // Plans of older versions were made for the sheet alone.
    firing.thickness = part.has("thickness_mm") ? Millimetres(part.number("thickness_mm", lengths))
                                                : record.palette.sheets[record.sheet].thickness;
    for (const JsonPart& leg : part.objects("segments", "segment"))
      firing.segments.push_back({leg.number("rate_c_per_h", rates), Celsius(leg.number("to_c", temperatures)),
                                 leg.number("hold_min", minutes)});
    firing.flow = flow_of(firing.segments, viscosity);
    firing.sintering = part.number("sintering", shares);
    firing.texture = part.number("texture", shares);
    const bool done = part.truth("done");
    if (done && record.firings_done < record.firing_plan.firings.size())
      part.fail("is done, and the one before it is not", make_again);
    record.firings_done += done ? 1 : 0;
    record.firing_plan.firings.push_back(std::move(firing));
  }
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    const std::size_t firing = record.firing_plan.places[i].firing;
    if (firing >= record.firing_plan.firings.size())
      root.fail(fmt::format("layer {} is in a firing that is not listed", i + 1), make_again);
    record.firing_plan.firings[firing].layers.push_back(i);
  }
}

Fidelity read_fidelity(const JsonPart& part) {
  Fidelity f;
  f.mean_de00 = part.number("mean_de00", differences);
  f.p95_de00 = part.number("p95_de00", differences);
  f.softened_mean_de00 = part.number("softened_mean_de00", differences);
  f.seen_mean_de00 = part.number("seen_mean_de00", differences);
  f.seen_from_mm = part.number("seen_from_mm", distances);
  f.edge_mm = part.number("edge_mm", distances);
  f.flat_mean_de00 = part.number("flat_mean_de00", differences);
  f.bound_mean_de00 = part.number("bound_mean_de00", differences);
  f.unfitted_mean_de00 = part.number("unfitted_mean_de00", differences);
  f.expected_de00 = part.number("expected_de00", differences);
  f.lost_detail = part.number("lost_detail", shares);
  return f;
}

Image<Rgb8> read_target(const std::filesystem::path& file, const Grid& grid) {
  const Picture picture = of_the_plan([&] {
    (void)read_png_of_grid(file, grid);
    return read_picture(file, {.most_pixels = most_layer_pixels});
  });
  if (picture.pixels.width() != grid.width || picture.pixels.height() != grid.height)
    throw Problem(ProblemKind::input, file.string(), "has not the size of the plan's grid", make_again);
  Image<Rgb8> target(grid.width, grid.height);
  for (std::size_t i = 0; i < target.size(); ++i) {
    const LinearPixel& pixel = picture.pixels[i];
    target[i] = to_rgb8(LinearRgb{pixel.r, pixel.g, pixel.b});
  }
  return target;
}

// Only a plan with bare sheet has the file.
Image<std::uint8_t> read_bare(const std::filesystem::path& file, const Grid& grid) {
  if (!std::filesystem::exists(file))
    return {};
  const Image<Amount> map = read_amount(file, grid);
  Image<std::uint8_t> bare(grid.width, grid.height);
  for (std::size_t i = 0; i < map.size(); ++i)
    bare[i] = map[i] != 0 ? 1 : 0;
  return bare;
}

}  // namespace

PlanRecord read_plan(const std::filesystem::path& folder, const Palette& palette) {
  const std::filesystem::path file = file_inside(folder, "plan.json");
  const nlohmann::json document =
      parse_json(read_text_file(file), file.string(), plan_schema, {"a plan", make_again});
  const JsonPart root(document, file.string(), "");
  PlanRecord record;
  record.palette = palette;
  const JsonPart piece = root.object("piece"), grid = root.object("grid"), light = root.object("light");
  record.title = plain_text(piece.text("title"));
  record.width = Millimetres(piece.number("width_mm", lengths));
  record.height = Millimetres(piece.number("height_mm", lengths));
  record.smallest = Millimetres(piece.number("smallest_mm", lengths));
  record.sheet = place_in(palette.sheets, piece, "base", "sheet");
  const std::string view = piece.text("view");
  if (view != "wall" && view != "window")
    piece.fail(fmt::format("\"{}\" is no view", view), make_again);
  record.view = view == "wall" ? View::wall : View::window;
  record.illuminant = light.text("illuminant");
  if (!illuminant_named(record.illuminant))
    light.fail(fmt::format("\"{}\" is no light", record.illuminant), make_again);
  const std::vector<double> backing = light.numbers("backing", band_count, shares);
  std::copy(backing.begin(), backing.end(), &record.backing[0]);
  for (const JsonPart& input : root.objects("inputs", "input"))
    record.inputs.push_back({input.text("role"), input.text("name"), input.text("sha256")});
  for (const JsonPart& setting : root.objects("settings", "setting"))
    record.settings.push_back({setting.text("flag"), setting.text("value")});

  const Grid points_of_plan{Millimetres(grid.number("pitch_mm", pitches)), grid.whole("width", points),
                            grid.whole("height", points)};
  const std::filesystem::path separation = file_inside(folder, "separation/separation.json");
  const std::filesystem::path labels = file_inside(folder, "separation/labels.png");
  record.separation.grid = points_of_plan;
  record.separation = read_separation(
      of_the_plan([&] { return read_text_file(separation); }), separation.string(),
      of_the_plan([&] { return decode_layer_png(read_png_of_grid(labels, points_of_plan), labels); }),
      points_of_plan, palette);
  read_layers(folder, root, record);
  read_firings(root, record);
  record.panels = read_panels(root, points_of_plan);
  record.spots = Spots(record.layers, points_of_plan.width, points_of_plan.height);
  record.target = read_target(file_inside(folder, "previews/target.png"), points_of_plan);
  record.bare = read_bare(file_inside(folder, std::string(bare_file)), points_of_plan);
  record.fidelity = read_fidelity(root.object("fidelity"));
  record.bridges = root.object("effort").whole("bridges", bridge_counts);
  return record;
}

}  // namespace powderplan
