#include "weigh/stock.h"

#include <algorithm>

namespace powderplan {

std::vector<JarState> jars_after(const Palette& palette, const std::vector<JarUse>& siftings, Grams reserve) {
  std::vector<JarState> jars;
  for (std::size_t i = 0; i < palette.powders.size(); ++i) {
    const Powder& powder = palette.powders[i];
    JarState jar;
    jar.powder = i;
    jar.stock = powder.stock;
    Grams busiest;  // most that one sifting needs the jar to have held in the beginning
    for (const JarUse& sifting : siftings) {
      if (sifting.powder != powder.id)
        continue;
      jar.wanted = true;
      busiest = std::max(busiest, jar.used + sifting.leaves);
      jar.used += sifting.used;
    }
    if (jar.stock) {
      const Grams none;
      jar.left = std::max(none, *jar.stock - jar.used);
      jar.short_of = std::max(none, busiest - *jar.stock);
      jar.order = std::max({none, jar.short_of, reserve + jar.used - *jar.stock});
      if (powder.price_per_100g && jar.order > none)
        jar.price = jar.order.value() / 100 * *powder.price_per_100g;
    }
    jars.push_back(jar);
  }
  return jars;
}

}  // namespace powderplan
