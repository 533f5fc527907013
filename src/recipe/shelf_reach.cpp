#include "recipe/shelf_reach.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <unordered_map>
#include <utility>

#include "colour/difference.h"
#include "optics/kubelka_munk.h"
#include "parallel.h"

namespace powderplan {
namespace {

// Loads of the ladder, as shares of the largest: each step is about as visible as the next.
constexpr std::array<double, 6> ladder{0.03, 0.07, 0.15, 0.3, 0.55, 1.0};
// A colour of less chroma counts as a grey when the lightest and darkest are looked for.
constexpr double neutral_chroma = 14;

using Cells = std::unordered_map<std::uint64_t, Lab>;

std::uint64_t cell_of(const Lab& lab) {
  const auto part = [](double v) { return static_cast<std::uint64_t>(std::lround(v) + 512); };
  return part(lab.l) << 40 | part(lab.a) << 20 | part(lab.b);
}

Xyz mixed(const Xyz& without, const Xyz& with, double cover) {
  return without * (1 - cover) + with * cover;
}

// The recipes of one order of the powders, bottom first.
class Builder {
 public:
  Builder(const Painter& painter, const std::vector<std::size_t>& order, Load most, int most_powders)
      : painter_(painter), bare_(painter.look(painter.bare())), most_powders_(most_powders) {
    for (std::size_t powder : order) {
      auto& rungs = layers_.emplace_back();
      for (std::size_t i = 0; i < ladder.size(); ++i) {
        rungs[i].layer = painter.layer({powder, most * ladder[i]});
        rungs[i].state = painter.laid(painter.bare(), rungs[i].layer);
        rungs[i].look = painter.look(rungs[i].state);
      }
    }
  }

  // All recipes whose lowest powder is number `first` of the order. For a powder that covers a share c of
  // the spot, the colour is (1 - c) * what lies below + c * what is seen on its covered part; so each recipe
  // needs the fully covered stack of each of its subsets.
  void add_all(std::size_t first, Cells& cells) const {
    for (const Rung& a : layers_[first]) {
      keep(mixed(bare_, a.look, a.layer.cover), cells);
      if (most_powders_ < 2)
        continue;
      for (std::size_t second = first + 1; second < layers_.size(); ++second) {
        for (const Rung& b : layers_[second])
          add_pair(a, b, second, cells);
      }
    }
  }

 private:
  struct Rung {
    CoveringLayer layer;
    StackState state;  // covering the bare sheet
    Xyz look;
  };
  static void keep(const Xyz& colour, Cells& cells) {
    const Lab lab = to_lab(colour);
    cells.emplace(cell_of(lab), lab);
  }
  void add_pair(const Rung& a, const Rung& b, std::size_t second, Cells& cells) const {
    const StackState a_b = painter_.laid(a.state, b.layer);
    const double a_cover = a.layer.cover, b_cover = b.layer.cover;
    const Xyz two = mixed(mixed(bare_, a.look, a_cover), mixed(b.look, painter_.look(a_b), a_cover), b_cover);
    keep(two, cells);
    if (most_powders_ < 3)
      return;
    for (std::size_t third = second + 1; third < layers_.size(); ++third) {
      // Every second rung: three powders give enough tones between them.
      for (std::size_t i = 1; i < ladder.size(); i += 2) {
        const Rung& c = layers_[third][i];
        const auto under_c = [&](const StackState& below) {
          return painter_.look(painter_.laid(below, c.layer));
        };
        const Xyz covered = mixed(mixed(c.look, under_c(a.state), a_cover),
                                  mixed(under_c(b.state), under_c(a_b), a_cover), b_cover);
        keep(mixed(two, covered, c.layer.cover), cells);
      }
    }
  }

  const Painter& painter_;
  Xyz bare_;
  int most_powders_;
  std::vector<std::array<Rung, ladder.size()>> layers_;
};

// Powders by how little light a usual load lets through: what hides lies at the bottom.
std::vector<std::size_t> hiding_first(const Painter& painter, std::vector<std::size_t> usable) {
  std::vector<double> through(painter.palette().powders.size());
  for (std::size_t p : usable) {
    const PowderOptics& optics = painter.palette().powders[p].optics;
    for (std::size_t i = 0; i < band_count; ++i)
      through[p] += kubelka_munk(0, optics.s[i], 0.2).transmit;
  }
  std::stable_sort(usable.begin(), usable.end(),
                   [&](std::size_t a, std::size_t b) { return through[a] < through[b]; });
  return usable;
}

}  // namespace

ShelfReach::ShelfReach(const Painter& painter, const std::vector<std::size_t>& usable, Load most_load,
                       int most_powders) {
  std::vector<std::size_t> order = hiding_first(painter, usable);
  std::vector<Cells> found(2 * order.size());
  for (const bool reversed : {false, true}) {
    if (reversed)
      std::reverse(order.begin(), order.end());
    const Builder builder(painter, order, most_load, most_powders);
    for_each_block(order.size(), [&](std::size_t first) {
      builder.add_all(first, found[(reversed ? order.size() : 0) + first]);
    });
  }
  // Merged in order of the blocks and sorted, so that the threads' timing cannot show.
  Cells cells;
  for (const Cells& part : found)
    cells.insert(part.begin(), part.end());
  cells.emplace(cell_of(to_lab(painter.look(painter.bare()))), to_lab(painter.look(painter.bare())));
  std::vector<std::pair<std::uint64_t, Lab>> sorted(cells.begin(), cells.end());
  std::sort(sorted.begin(), sorted.end(), [](const auto& p, const auto& q) { return p.first < q.first; });
  std::vector<Lab> colours;
  for (const auto& [cell, lab] : sorted)
    colours.push_back(lab);
  nearest_ = std::make_shared<const NearestRecipe>(std::move(colours));
  measure_extent();
}

double ShelfReach::nearest_de00(const Lab& wanted) const {
  return ciede2000(wanted, colours()[nearest_->nearest_of_few(wanted)]);
}

void ShelfReach::measure_extent() {
  darkest_ = 100;
  lightest_ = 0;
  for (const Lab& c : colours()) {
    const double chroma = std::hypot(c.a, c.b);
    if (chroma < neutral_chroma) {
      darkest_ = std::min(darkest_, c.l);
      lightest_ = std::max(lightest_, c.l);
    }
    const double hue = std::atan2(c.b, c.a) / (2 * std::numbers::pi) + 1;
    const auto h = static_cast<std::size_t>(hue * hue_steps) % hue_steps;
    const auto l =
        static_cast<std::size_t>(std::clamp(c.l / 100 * lightness_steps, 0.0, lightness_steps - 1.0));
    chroma_[l][h] = std::max(chroma_[l][h], chroma);
  }
  if (darkest_ > lightest_) {  // a shelf without any grey
    darkest_ = 0;
    lightest_ = 100;
  }
  // A smooth limit: each cell the weighted mean of itself and its neighbours.
  auto smooth = chroma_;
  for (std::size_t l = 0; l < lightness_steps; ++l) {
    for (std::size_t h = 0; h < hue_steps; ++h) {
      double sum = 0, weight = 0;
      for (int dl = -1; dl <= 1; ++dl) {
        for (int dh = -1; dh <= 1; ++dh) {
          const int row = static_cast<int>(l) + dl;
          if (row < 0 || row >= lightness_steps)
            continue;
          const double w = (2 - std::abs(dl)) * (2 - std::abs(dh));
          sum += w * chroma_[static_cast<std::size_t>(row)]
                            [(h + hue_steps + static_cast<std::size_t>(dh + hue_steps)) % hue_steps];
          weight += w;
        }
      }
      smooth[l][h] = sum / weight;
    }
  }
  chroma_ = smooth;
}

double ShelfReach::most_chroma(double lightness, double hue) const {
  // Bilinear between the middles of the cells; the hue wraps around.
  const double row = std::clamp(lightness / 100 * lightness_steps - 0.5, 0.0, lightness_steps - 1.0);
  const double turns = hue / (2 * std::numbers::pi);
  const double column = (turns - std::floor(turns)) * hue_steps - 0.5 + hue_steps;
  const auto l0 = static_cast<std::size_t>(row), h0 = static_cast<std::size_t>(column);
  const std::size_t l1 = std::min<std::size_t>(l0 + 1, lightness_steps - 1);
  const double fl = row - static_cast<double>(l0), fh = column - static_cast<double>(h0);
  const auto at = [&](std::size_t l, std::size_t h) { return chroma_[l][h % hue_steps]; };
  return (1 - fl) * ((1 - fh) * at(l0, h0) + fh * at(l0, h0 + 1)) +
         fl * ((1 - fh) * at(l1, h0) + fh * at(l1, h0 + 1));
}

}  // namespace powderplan
