// Sets of the layers of a plan.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>

namespace powderplan {

// One bit a layer; bit i is the layer in place i.
using LayerSet = std::uint64_t;
inline constexpr std::size_t most_layers_in_a_set = 64;

inline LayerSet only(std::size_t layer) {
  return LayerSet{1} << layer;
}
inline LayerSet first_layers(std::size_t count) {
  return count >= most_layers_in_a_set ? ~LayerSet{0} : only(count) - 1;
}
inline bool holds(LayerSet set, std::size_t layer) {
  return (set >> layer & 1) != 0;
}
inline std::size_t size_of(LayerSet set) {
  return static_cast<std::size_t>(std::popcount(set));
}
inline std::size_t first_of(LayerSet set) {
  return static_cast<std::size_t>(std::countr_zero(set));
}
// Calls `visit` with each layer of the set, lowest first.
template <class Visit>
void for_each_layer(LayerSet set, Visit&& visit) {
  for (; set != 0; set &= set - 1)
    visit(first_of(set));
}

}  // namespace powderplan
