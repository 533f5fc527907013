#include "report/spot_looks.h"

#include <algorithm>
#include <array>
#include <numeric>

#include "colour/observer.h"
#include "optics/grain.h"
#include "parallel.h"
#include "report/grain_chance.h"

namespace powderplan {
namespace {

// A coat that covers more than this is drawn as even: no eye finds the rest.
constexpr double even_cover = 0.98;
// Shares below this cannot change a colour code.
constexpr double negligible = 1e-4;

// What a coat is on and how much of the light comes from there.
struct Part {
  double share;
  std::size_t grains;  // bits: which coats drawn by grains cover it
  StackState state;
};

struct BlockOfSpots {
  std::vector<std::size_t> coat_count, colour_count;
  std::vector<CoatLook> coats;
  std::vector<Light3> colours;
};

class Looker {
 public:
  Looker(const PlanRecord& record, const Moment& moment, View view)
      : record_(record),
        layers_(layers_at(record, moment)),
        view_(view),
        ground_(ground_of(record, view)),
        observer_(light_of(record)),
        bare_(bare_sheet(ground_)) {}

  void look(std::size_t spot, Coats& made, BlockOfSpots& out) const {
    const std::vector<Coat> coats = coats_at(record_, spot, layers_);
    const Density density = record_.palette.glass.density;
    std::vector<CoveringLayer> stack;
    std::vector<CoatLook> looks;
    for (const Coat& coat : coats) {
      const PowderOptics& optics = record_.palette.powders[coat.dose.powder].optics;
      stack.push_back(made.of(coat.dose, coat.flow,
                              [&] { return covering_layer(optics, coat.dose.load, coat.values, density); }));
      CoatLook look;
      look.layer = static_cast<std::uint16_t>(coat.last_layer);
      look.cover = static_cast<float>(stack.back().cover);
      look.covers = static_cast<float>(
          std::min(most_covers, coat.dose.load / load_of_one_cover(optics.grain, density)));
      looks.push_back(look);
    }
    choose_grained(stack, looks);
    lay(stack, looks, out);
    out.coat_count.push_back(looks.size());
    out.coats.insert(out.coats.end(), looks.begin(), looks.end());
  }

 private:
  static void choose_grained(const std::vector<CoveringLayer>& stack, std::vector<CoatLook>& looks) {
    std::vector<std::size_t> thin;
    for (std::size_t i = 0; i < looks.size(); ++i) {
      if (stack[i].cover > 0 && stack[i].cover < even_cover)
        thin.push_back(i);
    }
    std::stable_sort(thin.begin(), thin.end(),
                     [&](std::size_t a, std::size_t b) { return stack[a].cover < stack[b].cover; });
    if (thin.size() > most_grained)
      thin.resize(most_grained);
    for (const std::size_t i : thin)
      looks[i].grains = true;
  }

  void lay(const std::vector<CoveringLayer>& stack, const std::vector<CoatLook>& looks,
           BlockOfSpots& out) const {
    std::vector<Part> parts{{1, 0, bare_}};
    std::size_t bit = 1;
    for (std::size_t i = 0; i < stack.size(); ++i) {
      const std::size_t before = parts.size();
      for (std::size_t p = 0; p < before; ++p) {
        Part covered{parts[p].share, parts[p].grains, laid_on(parts[p].state, stack[i], view_)};
        if (looks[i].grains) {
          covered.grains |= bit;
          parts.push_back(covered);
          continue;
        }
        const double open = parts[p].share * (1 - stack[i].cover);
        covered.share -= open;
        if (open < negligible) {
          covered.share += open;
          parts[p] = covered;
        } else if (covered.share > 0) {
          parts[p].share = open;
          parts.push_back(covered);
        }
      }
      if (looks[i].grains)
        bit <<= 1;
    }
    std::array<Light3, most_mixed> colours{};
    for (const Part& part : parts) {
      const LinearRgb rgb = to_linear_rgb(observer_(seen(part.state, view_)));
      Light3& colour = colours[part.grains];
      colour =
          colour + Light3{static_cast<float>(rgb.r), static_cast<float>(rgb.g), static_cast<float>(rgb.b)} *
                       static_cast<float>(part.share);
    }
    out.colour_count.push_back(bit);
    out.colours.insert(out.colours.end(), colours.begin(),
                       colours.begin() + static_cast<std::ptrdiff_t>(bit));
  }

  const PlanRecord& record_;
  std::vector<LayerThen> layers_;
  View view_;
  Ground ground_;
  Observer observer_;
  StackState bare_;
};

}  // namespace

SpotLooks::SpotLooks(const PlanRecord& record, const Moment& moment, View view,
                     std::span<const std::uint8_t> wanted)
    : first_coat_(wanted.size() + 1, 0),
      first_colour_(wanted.size() + 1, 0),
      grained_(record.layers.size(), false) {
  const Looker looker(record, moment, view);
  // Few, because each makes its own coats.
  constexpr std::size_t parts = 8;
  std::vector<BlockOfSpots> blocks(parts);
  for_each_block(parts, [&](std::size_t b) {
    Coats made;
    for (std::size_t spot = b * wanted.size() / parts; spot < (b + 1) * wanted.size() / parts; ++spot) {
      if (wanted[spot] != 0) {
        looker.look(spot, made, blocks[b]);
      } else {
        blocks[b].coat_count.push_back(0);
        blocks[b].colour_count.push_back(0);
      }
    }
    blocks[b].coats.shrink_to_fit();
    blocks[b].colours.shrink_to_fit();
  });
  std::size_t coats = 0, colours = 0;
  for (const BlockOfSpots& part : blocks) {
    coats += part.coats.size();
    colours += part.colours.size();
  }
  coats_.reserve(coats);
  colours_.reserve(colours);
  std::size_t spot = 0;
  for (BlockOfSpots& looked_at : blocks) {
    // Each part goes when it has been taken over: a large piece has a million spots.
    const BlockOfSpots part = std::move(looked_at);
    for (std::size_t i = 0; i < part.coat_count.size(); ++i, ++spot) {
      first_coat_[spot + 1] = first_coat_[spot] + part.coat_count[i];
      first_colour_[spot + 1] = first_colour_[spot] + part.colour_count[i];
    }
    coats_.insert(coats_.end(), part.coats.begin(), part.coats.end());
    colours_.insert(colours_.end(), part.colours.begin(), part.colours.end());
  }
  for (const CoatLook& coat : coats_) {
    if (coat.grains)
      grained_[coat.layer] = true;
  }
}

GrainKind grains_of(const PlanRecord& record, std::size_t layer, const Moment& moment, std::uint64_t seed) {
  const bool loose = std::find(moment.loose.begin(), moment.loose.end(), layer) != moment.loose.end();
  return {
      bits_of_place(seed, static_cast<std::int64_t>(layer), 0),
      powder_of(record, record.layers[layer]).optics.grain,
      loose ? values_at(record, layer, Millimetres(0)) : values_after(record, layer, moment.firings_done)};
}

}  // namespace powderplan
