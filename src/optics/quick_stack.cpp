#include "optics/quick_stack.h"

#include <algorithm>
#include <cmath>

#include "optics/surface.h"
#include "wide_vectors.h"

namespace powderplan {
namespace {

// A share below this cannot change a colour code.
constexpr float negligible = 1e-7F;
// Nor can what lies below a coat that lets no more than this through, there and back.
constexpr float hidden = 1e-6F;
constexpr std::size_t last_node = 255;
constexpr std::size_t lanes = std::tuple_size_v<decltype(QuickBands::at)>;

QuickBands narrowed(const Spectrum& spectrum) {
  QuickBands bands;
  for (std::size_t i = 0; i < band_count; ++i)
    bands.at[i] = static_cast<float>(spectrum[i]);
  return bands;
}

QuickBands unscattered(const Spectrum& scatter) {
  return narrowed(per_band([](double s) { return std::exp(-s); }, scatter));
}

POWDERPLAN_WIDE_VECTORS
void mix(const QuickBands& low, const QuickBands& high, float share, QuickBands& __restrict into) {
  for (std::size_t i = 0; i < lanes; ++i)
    into.at[i] = low.at[i] + share * (high.at[i] - low.at[i]);
}

// laid_on and seen of stack.cpp in one, for a wall.
POWDERPLAN_WIDE_VECTORS
void cover_on_wall(const QuickBands& below, const QuickCoat& coat, float share,
                   QuickBands& __restrict reflect, QuickBands& __restrict seen) {
  const auto outer = static_cast<float>(glass_surface().outer),
             inner = static_cast<float>(glass_surface().inner);
  const float glare = share * outer * coat.matte, through = share * (1 - outer) * (1 - inner);
  for (std::size_t i = 0; i < lanes; ++i) {
    const float r = coat.reflect.at[i], t = coat.transmit.at[i], b = below.at[i];
    const float above = r + t * t * b / (1 - r * b);
    reflect.at[i] = above;
    seen.at[i] += glare + through * above / (1 - inner * above);
  }
}

// Light from behind, through the lower surface, the stack, the upper surface; as in stack.cpp.
float through_window(float reflect, float transmit, float reflect_below, float straight, float outer,
                     float inside) {
  const float inner = outer * straight + inside * (1 - straight);
  const float bounce_above = 1 - inner * reflect;
  const float up = transmit * (1 - inner) / bounce_above;
  const float back = reflect_below + transmit * transmit * inner / bounce_above;
  return (1 - outer) * up / (1 - inner * back);
}

POWDERPLAN_WIDE_VECTORS
void see_in_window(const QuickBands& reflect, const QuickBands& transmit, const QuickBands& reflect_below,
                   const QuickBands& straight, float share, QuickBands& __restrict seen) {
  const auto outer = static_cast<float>(glass_surface().outer),
             inner = static_cast<float>(glass_surface().inner);
  for (std::size_t i = 0; i < lanes; ++i)
    seen.at[i] += share * through_window(reflect.at[i], transmit.at[i], reflect_below.at[i], straight.at[i],
                                         outer, inner);
}

POWDERPLAN_WIDE_VECTORS
void cover_in_window(const QuickBands& reflect_of, const QuickBands& transmit_of,
                     const QuickBands& reflect_below_of, const QuickBands& straight_of, const QuickCoat& coat,
                     QuickBands& __restrict reflect, QuickBands& __restrict transmit,
                     QuickBands& __restrict reflect_below, QuickBands& __restrict straight) {
  for (std::size_t i = 0; i < lanes; ++i) {
    const float r = coat.reflect.at[i], t = coat.transmit.at[i], b = reflect_of.at[i], d = transmit_of.at[i];
    const float bounce = 1 - r * b;
    reflect.at[i] = r + t * t * b / bounce;
    transmit.at[i] = t * d / bounce;
    reflect_below.at[i] = reflect_below_of.at[i] + d * d * r / bounce;
    straight.at[i] = straight_of.at[i] * coat.straight.at[i];
  }
}

// In an order of its own, so that it does not depend on the width of vectors.
POWDERPLAN_WIDE_VECTORS
float weighed(const QuickBands& weights, const QuickBands& values) {
  std::array<float, 8> sums{};
  for (std::size_t i = 0; i < lanes; i += sums.size()) {
    for (std::size_t j = 0; j < sums.size(); ++j)
      sums[j] += weights.at[i + j] * values.at[i + j];
  }
  return ((sums[0] + sums[4]) + (sums[1] + sums[5])) + ((sums[2] + sums[6]) + (sums[3] + sums[7]));
}

}  // namespace

CoatTable::CoatTable(const PowderOptics& powder, const FinishValues& finish, Density density, Load most)
    : powder_(powder), finish_(finish), density_(density), most_(most), nodes_(last_node + 1) {}

const QuickCoat& CoatTable::node(std::size_t place) {
  Node& node = nodes_[place];
  if (!node.made) {
    const double root = static_cast<double>(place) / last_node;
    const CoveringLayer exact = covering_layer(powder_, most_ * (root * root), finish_, density_);
    node.coat = {static_cast<float>(exact.cover),
                 static_cast<float>(exact.matte),
                 static_cast<float>(*std::max_element(exact.transmit.begin(), exact.transmit.end())),
                 narrowed(exact.reflect),
                 narrowed(exact.transmit),
                 unscattered(exact.scatter)};
    node.made = true;
  }
  return node.coat;
}

const QuickCoat& CoatTable::of(Load load, QuickCoat& room) {
  const double place = std::sqrt(std::clamp(load / most_, 0.0, 1.0)) * last_node;
  const auto below = std::min(static_cast<std::size_t>(place), last_node - 1);
  const QuickCoat& high = node(below + 1);
  if (place >= last_node)
    return high;
  // By load, which is the square of the place.
  const auto low_place = static_cast<double>(below);
  const auto up = static_cast<float>((place * place - low_place * low_place) / (2 * low_place + 1));
  // The thinner a coat, the less it covers; what it is where it covers hardly changes. The lowest node has no
  // such part.
  const QuickCoat& low = below > 0 ? node(below) : high;
  const float least = below > 0 ? low.cover : 0;
  room.cover = least + up * (high.cover - least);
  room.matte = high.matte;
  room.clearest = low.clearest + up * (high.clearest - low.clearest);
  mix(low.reflect, high.reflect, up, room.reflect);
  mix(low.transmit, high.transmit, up, room.transmit);
  mix(low.straight, high.straight, up, room.straight);
  return room;
}

QuickStack::QuickStack(const Ground& ground, const Observer& observer) : view_(ground.view), stages_(1) {
  for (std::size_t i = 0; i < band_count; ++i) {
    const LinearRgb rgb = to_linear_rgb(observer.weights()[i]);
    weights_[0].at[i] = static_cast<float>(rgb.r);
    weights_[1].at[i] = static_cast<float>(rgb.g);
    weights_[2].at[i] = static_cast<float>(rgb.b);
  }
  const StackState bare = bare_sheet(ground);
  Stage& stage = stages_.front();
  stage.parts.push_back({1, narrowed(bare.reflect)});
  if (view_ == View::window)
    stage.behind.push_back(
        {narrowed(bare.transmit), narrowed(bare.reflect_below), unscattered(bare.scatter)});
  see(narrowed(powderplan::seen(bare, view_)), stage);
}

void QuickStack::see(const QuickBands& seen, Stage& stage) const {
  for (std::size_t c = 0; c < weights_.size(); ++c)
    stage.colour[c] += weighed(weights_[c], seen);
}

void QuickStack::cover(const Part& below, const Behind* behind, float share, const QuickCoat& coat,
                       Stage& into, QuickBands& seen) const {
  Part& above = into.parts.emplace_back();
  above.share = share;
  if (view_ == View::wall) {
    cover_on_wall(below.reflect, coat, share, above.reflect, seen);
    return;
  }
  Behind& also = into.behind.emplace_back();
  cover_in_window(below.reflect, behind->transmit, behind->reflect_below, behind->straight, coat,
                  above.reflect, also.transmit, also.reflect_below, also.straight);
  see_in_window(above.reflect, also.transmit, also.reflect_below, also.straight, share, seen);
}

void QuickStack::lay(const QuickCoat& coat) {
  ++coats_;
  if (stages_.size() <= coats_)
    stages_.emplace_back();
  Stage& laid = stages_[coats_];
  laid.parts.clear();
  laid.behind.clear();
  laid.open = coat.cover > 1 - negligible ? 0 : 1 - coat.cover;
  for (std::size_t c = 0; c < laid.colour.size(); ++c)
    laid.colour[c] = laid.open * stages_[coats_ - 1].colour[c];
  QuickBands seen;
  const bool hides = (view_ == View::wall ? coat.clearest * coat.clearest : coat.clearest) < hidden;
  float covered = 1 - laid.open;
  for (std::size_t at = coats_; at-- > 0 && covered > negligible;) {
    const Stage& below = stages_[at];
    for (std::size_t i = 0; i < below.parts.size(); ++i) {
      const float share = hides ? 1 - laid.open : below.parts[i].share * covered;
      if (share > negligible)
        cover(below.parts[i], below.behind.empty() ? nullptr : &below.behind[i], share, coat, laid, seen);
      if (hides) {
        covered = 0;
        break;
      }
    }
    covered *= below.open;
  }
  see(seen, laid);
}

LinearRgb QuickStack::colour() const {
  const std::array<float, 3>& colour = stages_[coats_].colour;
  return {static_cast<double>(colour[0]), static_cast<double>(colour[1]), static_cast<double>(colour[2])};
}

}  // namespace powderplan
