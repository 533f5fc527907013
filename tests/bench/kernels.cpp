// How long the kernels of the program take, one thread each: build/bench_kernels. Times by the clock of the
// thread, so that other work on the machine counts as little as it can.
#include <benchmark/benchmark.h>

#include <filesystem>
#include <map>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#include "colour/difference.h"
#include "colour/difference_bounds.h"
#include "colour/difference_keys.h"
#include "places.h"
#include "raster/picture.h"
#include "raster/png.h"
#include "recipe/nearest_recipe.h"
#include "recipe/painter.h"
#include "report/files.h"
#include "separation/choice_search.h"
#include "separation/colour_index.h"
#include "separation/separate.h"
#include "shelf.h"

namespace powderplan {
namespace {

constexpr std::size_t points = 1 << 20;

double between(std::mt19937_64& engine, double least, double most) {
  return least + (most - least) * static_cast<double>(engine() >> 11) * 0x1p-53;
}

std::vector<Lab> random_labs(std::size_t count, unsigned seed) {
  std::mt19937_64 engine(seed);
  std::vector<Lab> labs(count);
  for (Lab& lab : labs)
    lab = {between(engine, 0, 100), between(engine, -75, 75), between(engine, -75, 75)};
  return labs;
}

// A photo where scripts/photos has fetched one, otherwise the picture of an example; its colours row by row.
const Image<PackedLab>& picture() {
  static const Image<PackedLab> labs = [] {
    const std::filesystem::path source(testing::source_folder());
    std::filesystem::path file = source / "build/photos/coffee.png";
    if (!std::filesystem::exists(file))
      file = source / "examples/avocet-window/picture.png";
    const Picture read = read_picture(file);
    Image<PackedLab> to(read.pixels.width(), read.pixels.height());
    for (std::size_t i = 0; i < to.size(); ++i) {
      const Lab lab = to_lab(to_xyz(LinearRgb{read.pixels[i].r, read.pixels[i].g, read.pixels[i].b}));
      to[i] = {static_cast<float>(lab.l), static_cast<float>(lab.a), static_cast<float>(lab.b)};
    }
    return to;
  }();
  return labs;
}
const std::vector<Lab>& picture_points() {
  static const std::vector<Lab> labs = [] {
    std::vector<Lab> all(points);
    for (std::size_t i = 0; i < points; ++i)
      all[i] = to_lab(picture()[i % picture().size()]);
    return all;
  }();
  return labs;
}

const NearestRecipe& recipes(std::size_t count) {
  static std::map<std::size_t, NearestRecipe> made;
  const auto there = made.find(count);
  return there != made.end() ? there->second
                             : made.emplace(count, NearestRecipe(random_labs(count, 1))).first->second;
}

// Cells made already, as after the first eight million points of a large picture.
void nearest(benchmark::State& state, const std::vector<Lab>& wanted, int passes_before) {
  const NearestRecipe& of = recipes(static_cast<std::size_t>(state.range(0)));
  std::vector<std::uint32_t> found(wanted.size());
  for (int i = 0; i < passes_before; ++i)
    of.find(wanted, found);
  for (auto _ : state) {
    of.find(wanted, found);
    benchmark::DoNotOptimize(found.data());
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(wanted.size()));
}
void nearest_of_picture(benchmark::State& state) {
  nearest(state, picture_points(), 8);
}
void nearest_of_random(benchmark::State& state) {
  nearest(state, random_labs(points, 2), 8);
}
// The first look at a picture, making of the recipes' table and of the cells included.
void nearest_of_picture_first(benchmark::State& state) {
  const std::vector<Lab> of = random_labs(static_cast<std::size_t>(state.range(0)), 1);
  std::vector<std::uint32_t> found(points);
  for (auto _ : state) {
    const NearestRecipe fresh(of);
    fresh.find(picture_points(), found);
    benchmark::DoNotOptimize(found.data());
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(points));
}
void nearest_plain(benchmark::State& state) {
  const std::vector<Lab>& of = recipes(static_cast<std::size_t>(state.range(0))).colours();
  std::size_t i = 0;
  for (auto _ : state)
    benchmark::DoNotOptimize(nearest_of_all(of, picture_points()[i++ * 7919 % points]));
  state.SetItemsProcessed(state.iterations());
}
void table_of_recipes(benchmark::State& state) {
  const std::vector<Lab> of = random_labs(static_cast<std::size_t>(state.range(0)), 1);
  for (auto _ : state)
    benchmark::DoNotOptimize(NearestRecipe(of).bytes_of_cells());
}
BENCHMARK(nearest_of_picture)->Arg(4096)->Arg(65536)->Unit(benchmark::kMillisecond);
BENCHMARK(nearest_of_random)->Arg(4096)->Arg(65536)->Unit(benchmark::kMillisecond);
BENCHMARK(nearest_of_picture_first)->Arg(4096)->Arg(65536)->Unit(benchmark::kMillisecond);
BENCHMARK(nearest_plain)->Arg(4096)->Arg(65536)->Unit(benchmark::kMicrosecond);
BENCHMARK(table_of_recipes)->Arg(4096)->Arg(65536)->Unit(benchmark::kMillisecond);

void quick_pairs(benchmark::State& state) {
  const std::vector<Lab> labs = random_labs(64 * 9, 3);
  std::vector<QuickPairs> pairs(64);
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    pairs[i].one = to_quick(labs[9 * i]);
    for (std::size_t k = 0; k < pairs_at_once; ++k)
      pairs[i].others[k] = to_quick(labs[9 * i + 1 + k]);
  }
  std::vector<std::int32_t> keys(pairs.size() * pairs_at_once);
  for (auto _ : state) {
    quick_keys(pairs.data(), pairs.size(), keys.data());
    benchmark::DoNotOptimize(keys.data());
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(keys.size()));
}
void exact_pairs(benchmark::State& state) {
  const std::vector<Lab> labs = random_labs(1024, 3);
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(ciede2000(labs[i % 1024], labs[(i + 511) % 1024]));
    ++i;
  }
  state.SetItemsProcessed(state.iterations());
}
void models_of_cell(benchmark::State& state) {
  const std::vector<Lab> labs = random_labs(512, 3);
  std::vector<QuickLab> colours;
  for (const Lab& lab : labs)
    colours.push_back(to_quick(lab));
  std::vector<DifferenceModel> models(colours.size());
  const ColourBox cell{to_quick({50, 20, 20}), 1, 1, 1};
  for (auto _ : state) {
    difference_models(cell, colours.data(), colours.size(), models.data());
    benchmark::DoNotOptimize(models.data());
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(colours.size()));
}
BENCHMARK(quick_pairs);
BENCHMARK(exact_pairs);
BENCHMARK(models_of_cell);

// The colour of a spot of three powders, from their spectra.
void colour_of_recipe(benchmark::State& state) {
  const Painter painter = small_painter();
  double share = 0.1;
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        painter.lab({{white, full_load * share}, {red, full_load * 0.2}, {blue, full_load * 0.1}}));
    share = share < 0.9 ? share + 1e-3 : 0.1;
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(colour_of_recipe);

void index_of_picture(benchmark::State& state) {
  const Image<std::uint8_t> bare(picture().width(), picture().height());
  for (auto _ : state)
    benchmark::DoNotOptimize(
        index_colours(picture(), bare, static_cast<std::size_t>(state.range(0))).colours.data());
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(picture().size()));
}
BENCHMARK(index_of_picture)->Arg(8000)->Unit(benchmark::kMillisecond);

// The full shelf of the examples, and more powders halfway between its own until there are 40.
const Palette& shelf_of_40() {
  static const Palette shelf = [] {
    const std::string file = "palettes/marsh-full.toml";
    Palette palette =
        parse_palette(read_text_file(std::filesystem::path(testing::source_folder()) / file), file);
    const std::size_t own = palette.powders.size();
    const auto halfway = [](const Spectrum& one, const Spectrum& other) {
      return per_band([](double a, double b) { return 0.5 * (a + b); }, one, other);
    };
    for (std::size_t i = 0; palette.powders.size() < 40; ++i) {
      Powder between = palette.powders[i % own];
      const Powder& other = palette.powders[(i * 7 + 3) % own];
      between.optics.k = halfway(between.optics.k, other.optics.k);
      between.optics.s = halfway(between.optics.s, other.optics.s);
      palette.powders.push_back(between);
    }
    return palette;
  }();
  return shelf;
}

// Which of 40 powders, in 12 layers, on all threads and by the clock on the wall: as far as one choice goes.
// The argument is the number of nests, 0: as many as there are powders.
void choice_of_powders(benchmark::State& state) {
  const Palette& shelf = shelf_of_40();
  const Painter painter(shelf,
                        ground_of(shelf.sheets[0], shelf.glass.density, View::wall, Spectrum::constant(0.9)),
                        flow_for(Finish::full, Millimetres(0.1)), daylight_observer());
  Target target;
  target.grid = {Millimetres(0.5), picture().width(), picture().height()};
  target.wanted = picture();
  const std::vector<WeightedColour> colours = choice_colours(target, Millimetres(2));
  ChoiceLimits limits;
  limits.most_layers = 12;
  limits.usable.resize(shelf.powders.size());
  std::iota(limits.usable.begin(), limits.usable.end(), std::size_t{0});
  if (state.range(0) > 0)
    limits.most_nests = static_cast<std::size_t>(state.range(0));
  double found = 0;
  for (auto _ : state)
    found = search_choice(painter, colours, limits, SearchEffort::thorough).mean_distance;
  state.counters["mean_distance"] = found;
}
BENCHMARK(choice_of_powders)
    ->ArgName("nests")
    ->Arg(0)
    ->Arg(1)
    ->Arg(4)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

// A layer of the size of the picture: its lightness as amount, and as one opening.
void png_of_layer(benchmark::State& state) {
  Image<std::uint16_t> layer(picture().width(), picture().height());
  for (std::size_t i = 0; i < layer.size(); ++i) {
    const float l = picture()[i].l();
    layer[i] = state.range(0) != 0 ? static_cast<std::uint16_t>(l * 600) : l > 50 ? 65535 : 0;
  }
  for (auto _ : state)
    benchmark::DoNotOptimize(encode_png(layer, Millimetres(0.25)).data());
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(layer.size()));
}
BENCHMARK(png_of_layer)->ArgName("faded")->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace powderplan

BENCHMARK_MAIN();
