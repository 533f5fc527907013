#include "report/point_looks.h"

#include <algorithm>

#include "colour/observer.h"
#include "parallel.h"
#include "report/quick_srgb.h"

namespace powderplan {
namespace {

// Amounts are packed, so that those of most plans are one number.
constexpr unsigned amount_bits = 8 * sizeof(Amount);
constexpr std::size_t amounts_a_word = sizeof(std::uint64_t) / sizeof(Amount);

// What was seen lately is kept in so many places.
constexpr std::size_t places = std::size_t{1} << 15;

// Mostly one word or two: too few to call anything for.
bool same(const std::uint64_t* a, const std::uint64_t* b, std::size_t count) {
  std::uint64_t off = 0;
  for (std::size_t i = 0; i < count; ++i)
    off |= a[i] ^ b[i];
  return off == 0;
}

template <class Colour>
Colour converted(const LinearRgb& light);
template <>
Rgb8 converted(const LinearRgb& light) {
  return quick_rgb8(light);
}
template <>
PackedLab converted(const LinearRgb& light) {
  return to_pixel(to_lab(to_xyz(light)));
}

}  // namespace

template <class Colour>
PointLooks<Colour>::PointLooks(const PlanRecord& record, const Moment& moment, View view)
    : width_(record.separation.grid.width), stack_(ground_of(record, view), Observer(light_of(record))) {
  const std::vector<LayerThen> layers = layers_at(record, moment);
  std::vector<Kind> kinds;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    if (!layers[i].lies)
      continue;
    const Layer& layer = record.layers[i];
    const auto kind = std::find_if(kinds.begin(), kinds.end(), [&](const Kind& k) {
      return k.powder == layer.powder && k.values == layers[i].values;
    });
    lying_.push_back({layer.amount.data(), layer.load, static_cast<std::size_t>(kind - kinds.begin())});
    if (kind == kinds.end())
      kinds.push_back({layer.powder, layers[i].values, layer.load});
    else
      kind->most += layer.load;
  }
  for (const Kind& kind : kinds)
    tables_.emplace_back(record.palette.powders[kind.powder].optics, kind.values,
                         record.palette.glass.density, kind.most);
  amounts_.resize((lying_.size() + amounts_a_word - 1) / amounts_a_word, 0);
  last_ = amounts_;
  kept_amounts_.resize(places * amounts_.size());
  kept_colours_.resize(places);
  kept_.resize(places, 0);
}

template <class Colour>
bool PointLooks<Colour>::take_amounts(std::size_t point) {
  for (std::size_t word = 0, layer = 0; word < amounts_.size(); ++word) {
    std::uint64_t packed = 0;
    const std::size_t end = std::min(lying_.size(), layer + amounts_a_word);
    for (unsigned shift = 0; layer < end; ++layer, shift += amount_bits)
      packed |= std::uint64_t{lying_[layer].amounts[point]} << shift;
    amounts_[word] = packed;
  }
  const bool other = !any_ || !same(amounts_.data(), last_.data(), amounts_.size());
  std::copy(amounts_.begin(), amounts_.end(), last_.begin());
  any_ = true;
  return other;
}

template <class Colour>
Colour PointLooks<Colour>::colour() {
  std::uint64_t number = 0;
  for (const std::uint64_t word : amounts_)
    number = (number ^ word) * 0x9e3779b97f4a7c15U;
  const std::size_t place = number >> 49, words = amounts_.size();
  std::uint64_t* const kept = kept_amounts_.data() + place * words;
  if (kept_[place] == 0 || !same(amounts_.data(), kept, words)) {
    kept_colours_[place] = converted<Colour>(seen());
    std::copy(amounts_.begin(), amounts_.end(), kept);
    kept_[place] = 1;
  }
  return kept_colours_[place];
}

template <class Colour>
LinearRgb PointLooks<Colour>::seen() {
  coats_.clear();
  for (std::size_t layer = 0; layer < lying_.size(); ++layer) {
    const Lying& lying = lying_[layer];
    const auto amount =
        static_cast<Amount>(amounts_[layer / amounts_a_word] >> (amount_bits * (layer % amounts_a_word)));
    if (amount == 0)
      continue;
    const Load load = lying.load * (static_cast<double>(amount) / whole_amount);
    if (!coats_.empty() && coats_.back().kind == lying.kind)
      coats_.back().load += load;
    else
      coats_.push_back({lying.kind, load});
  }
  const auto differ = std::mismatch(laid_.begin(), laid_.end(), coats_.begin(), coats_.end());
  const auto common = differ.first - laid_.begin();
  stack_.keep_lowest(static_cast<std::size_t>(common));
  for (auto coat = coats_.begin() + common; coat != coats_.end(); ++coat)
    stack_.lay(tables_[coat->kind].of(coat->load, room_));
  laid_ = coats_;
  return stack_.colour();
}

template <class Colour>
Colour PointLooks<Colour>::at(std::size_t point) {
  if (take_amounts(point))
    last_colour_ = colour();
  return last_colour_;
}

template <class Colour>
void PointLooks<Colour>::row(int y, Colour* to) {
  const std::size_t width = static_cast<std::size_t>(width_), first = static_cast<std::size_t>(y) * width;
  for (std::size_t x = 0; x < width; ++x)
    to[x] = at(first + x);
}

template <class Colour>
void looks_by_rows(const PlanRecord& record, const Moment& moment, View view, Image<Colour>& into) {
  // Few, because each looks at its own points anew.
  constexpr int parts = 8;
  for_each_block(parts, [&](std::size_t part) {
    PointLooks<Colour> looks(record, moment, view);
    const auto row = [&](std::size_t at) { return static_cast<int>(at * into.height() / parts); };
    for (int y = row(part); y < row(part + 1); ++y)
      looks.row(y, into.row(y));
  });
}

template class PointLooks<Rgb8>;
template class PointLooks<PackedLab>;
template void looks_by_rows(const PlanRecord&, const Moment&, View, Image<Rgb8>&);
template void looks_by_rows(const PlanRecord&, const Moment&, View, Image<PackedLab>&);

}  // namespace powderplan
