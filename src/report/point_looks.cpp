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
    : PointLooks(record, std::vector<Moment>{moment}, view) {}

template <class Colour>
PointLooks<Colour>::PointLooks(const PlanRecord& record, const std::vector<Moment>& moments, View view)
    : width_(record.separation.grid.width), stack_(ground_of(record, view), Observer(light_of(record))) {
  std::vector<Kind> kinds;
  for (const Moment& moment : moments) {
    const std::vector<LayerThen> layers = layers_at(record, moment);
    std::vector<Lying>& lying = lying_.emplace_back();
    std::vector<Kind> now;
    for (std::size_t i = 0; i < layers.size(); ++i) {
      if (!layers[i].lies)
        continue;
      const Layer& layer = record.layers[i];
      const Amount* const amounts = layer.amount.data();
      const auto place = std::find(layers_.begin(), layers_.end(), amounts);
      const auto kind = std::find_if(now.begin(), now.end(), [&](const Kind& k) {
        return k.powder == layer.powder && k.values == layers[i].values;
      });
      lying.push_back({static_cast<std::size_t>(place - layers_.begin()), layer.load,
                       static_cast<std::size_t>(kind - now.begin())});
      if (place == layers_.end())
        layers_.push_back(amounts);
      if (kind == now.end())
        now.push_back({layer.powder, layers[i].values, layer.load});
      else
        kind->most += layer.load;
    }
    // Moments share the tables of what is the same at both.
    std::vector<std::size_t> table_of(now.size());
    for (std::size_t k = 0; k < now.size(); ++k) {
      const auto known = std::find(kinds.begin(), kinds.end(), now[k]);
      table_of[k] = static_cast<std::size_t>(known - kinds.begin());
      if (known == kinds.end())
        kinds.push_back(now[k]);
    }
    for (Lying& layer : lying)
      layer.kind = table_of[layer.kind];
  }
  for (const Kind& kind : kinds)
    tables_.emplace_back(record.palette.powders[kind.powder].optics, kind.values,
                         record.palette.glass.density, kind.most);
  amounts_.resize((layers_.size() + amounts_a_word - 1) / amounts_a_word, 0);
  last_ = amounts_;
  kept_amounts_.resize(places * amounts_.size());
  kept_colours_.resize(places * lying_.size());
  kept_.resize(places, 0);
}

template <class Colour>
bool PointLooks<Colour>::take_amounts(std::size_t point) {
  for (std::size_t word = 0, layer = 0; word < amounts_.size(); ++word) {
    std::uint64_t packed = 0;
    const std::size_t end = std::min(layers_.size(), layer + amounts_a_word);
    for (unsigned shift = 0; layer < end; ++layer, shift += amount_bits)
      packed |= std::uint64_t{layers_[layer][point]} << shift;
    amounts_[word] = packed;
  }
  const bool other = last_colours_ == nullptr || !same(amounts_.data(), last_.data(), amounts_.size());
  std::copy(amounts_.begin(), amounts_.end(), last_.begin());
  return other;
}

template <class Colour>
const Colour* PointLooks<Colour>::colours() {
  std::uint64_t number = 0;
  for (const std::uint64_t word : amounts_)
    number = (number ^ word) * 0x9e3779b97f4a7c15U;
  const std::size_t place = number >> 49, words = amounts_.size();
  std::uint64_t* const kept = kept_amounts_.data() + place * words;
  Colour* const colours = kept_colours_.data() + place * lying_.size();
  if (kept_[place] == 0 || !same(amounts_.data(), kept, words)) {
    for (std::size_t moment = 0; moment < lying_.size(); ++moment) {
      lay_coats(lying_[moment]);
      colours[moment] = converted<Colour>(stack_.colour());
    }
    std::copy(amounts_.begin(), amounts_.end(), kept);
    kept_[place] = 1;
  }
  return colours;
}

// What a moment has in common with the one before, at this point or at the last one, stays.
template <class Colour>
void PointLooks<Colour>::lay_coats(const std::vector<Lying>& lying) {
  coats_.clear();
  for (const Lying& layer : lying) {
    const auto amount = static_cast<Amount>(amounts_[layer.place / amounts_a_word] >>
                                            (amount_bits * (layer.place % amounts_a_word)));
    if (amount == 0)
      continue;
    const Load load = layer.load * (static_cast<double>(amount) / whole_amount);
    if (!coats_.empty() && coats_.back().kind == layer.kind)
      coats_.back().load += load;
    else
      coats_.push_back({layer.kind, load});
  }
  const auto differ = std::mismatch(laid_.begin(), laid_.end(), coats_.begin(), coats_.end());
  const auto common = differ.first - laid_.begin();
  stack_.keep_lowest(static_cast<std::size_t>(common));
  for (auto coat = coats_.begin() + common; coat != coats_.end(); ++coat)
    stack_.lay(tables_[coat->kind].of(coat->load, room_));
  laid_.swap(coats_);
}

template <class Colour>
const Colour* PointLooks<Colour>::at_all(std::size_t point) {
  if (take_amounts(point))
    last_colours_ = colours();
  return last_colours_;
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
