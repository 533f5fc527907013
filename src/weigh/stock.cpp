#include "weigh/stock.h"

#include <algorithm>

#include "weigh/jar.h"

namespace powderplan {

std::vector<JarState> jars_after(const Palette& palette, const std::vector<JarUse>& siftings, Grams reserve) {
  std::vector<JarState> jars;
  for (std::size_t i = 0; i < palette.powders.size(); ++i) {
    const Powder& powder = palette.powders[i];
    JarState jar;
    jar.powder = i;
    jar.stock = powder.stock;
    Jar asked;
    for (const JarUse& sifting : siftings) {
      if (sifting.powder != powder.id)
        continue;
      jar.wanted = true;
      asked.sift(sifting.leaves, sifting.used);
    }
    jar.used = asked.used();
    if (jar.stock) {
      const Grams none;
      jar.left = std::max(none, *jar.stock - jar.used);
      jar.short_of = asked.short_of(*jar.stock);
      jar.order = std::max({none, jar.short_of, reserve + jar.used - *jar.stock});
      if (powder.price_per_100g && jar.order > none)
        jar.price = jar.order.value() / 100 * *powder.price_per_100g;
    }
    jars.push_back(jar);
  }
  return jars;
}

}  // namespace powderplan
