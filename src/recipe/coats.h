// Coats that come again, computed once.
#pragma once

#include <bit>
#include <cstdint>
#include <unordered_map>

#include "optics/stack.h"
#include "recipe/recipe.h"

namespace powderplan {

// One coat for each powder, load and state of heat that was asked for. For one thread.
class Coats {
 public:
  // `flow` tells coats of one dose apart that were fired differently; `make` makes the coat when it is new.
  template <class Make>
  const CoveringLayer& of(const Dose& dose, Millimetres flow, Make&& make) {
    const auto [entry, fresh] = made_.try_emplace(Key{dose.powder, std::bit_cast<std::uint64_t>(flow.value()),
                                                      std::bit_cast<std::uint64_t>(dose.load.value())});
    if (fresh)
      entry->second = make();
    return entry->second;
  }

 private:
  struct Key {
    std::size_t powder;
    std::uint64_t flow, load;
    bool operator==(const Key&) const = default;
  };
  struct Hash {
    std::size_t operator()(const Key& key) const {
      return ((key.load ^ (key.powder << 3)) * 0x9e3779b97f4a7c15U ^ key.flow) * 0x9e3779b97f4a7c15U >> 7;
    }
  };
  std::unordered_map<Key, CoveringLayer, Hash> made_;
};

}  // namespace powderplan
