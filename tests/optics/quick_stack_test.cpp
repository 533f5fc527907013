#include "optics/quick_stack.h"

#include <algorithm>
#include <cmath>

#include "finished.h"
#include "optics/any_ground.h"
#include "property.h"

namespace powderplan {
namespace {

// g/cm2 of one powder, more than a plan lays.
constexpr double most_at_once = 1.5;

struct AnyCoat {
  PowderOptics powder;
  FinishValues finish;
  Load load;
};

AnyCoat any_coat() {
  const Spectrum k = any_spectrum(0, 20), s = any_spectrum(0, 20);
  const PowderOptics powder{k, s, Millimetres(any_decade_between(0.03, 0.5))};
  const Finish finish = *rc::gen::element(Finish::unfired, Finish::tack, Finish::contour, Finish::full);
  return {powder, finished(finish, powder.grain), Load(any_decade_between(1e-4, most_at_once))};
}

double code(double light) {
  return 255 * srgb_encode(std::clamp(light, 0.0, 1.0));
}

void lay(QuickStack& stack, const AnyCoat& coat) {
  CoatTable table(coat.powder, coat.finish, glass_density, Load(most_at_once));
  QuickCoat room;
  stack.lay(table.of(coat.load, room));
}

TEST(QuickStack, ShowsWhatTheStackShows) {
  const Observer observer(illuminant_d65());
  double worst = 0;
  holds_always(
      [&] {
        const Ground ground = any_ground();
        QuickStack quick(ground, observer);
        Stack exact(ground);
        for (int i = any_whole(0, 4); i > 0; --i) {
          const AnyCoat coat = any_coat();
          lay(quick, coat);
          exact.lay(covering_layer(coat.powder, coat.load, coat.finish));
        }
        const LinearRgb wanted = to_linear_rgb(observer(exact.seen())), got = quick.colour();
        for (const double off :
             {code(got.r) - code(wanted.r), code(got.g) - code(wanted.g), code(got.b) - code(wanted.b)})
          worst = std::max(worst, std::abs(off));
        RC_ASSERT(worst <= quick_stack_codes);
      },
      2000);
  EXPECT_GT(worst, 0);
}

TEST(QuickStack, GoesOnFromTheCoatsThatItKeeps) {
  const Observer observer(illuminant_d65());
  holds_always([&] {
    const Ground ground = any_ground();
    const AnyCoat below = any_coat(), first = any_coat(), second = any_coat();
    QuickStack changed(ground, observer), fresh(ground, observer);
    lay(changed, below);
    lay(changed, first);
    lay(changed, second);
    changed.keep_lowest(1);
    lay(changed, second);
    lay(fresh, below);
    lay(fresh, second);
    RC_ASSERT(changed.coats() == 2u);
    RC_ASSERT(changed.colour().r == fresh.colour().r);
    RC_ASSERT(changed.colour().g == fresh.colour().g);
    RC_ASSERT(changed.colour().b == fresh.colour().b);
  });
}

TEST(CoatTable, IsExactAtItsMost) {
  holds_always([] {
    const AnyCoat coat = any_coat();
    CoatTable table(coat.powder, coat.finish, glass_density, coat.load);
    QuickCoat room;
    const QuickCoat& got = table.of(coat.load, room);
    const CoveringLayer wanted = covering_layer(coat.powder, coat.load, coat.finish);
    RC_ASSERT(got.cover == static_cast<float>(wanted.cover));
    for (std::size_t i = 0; i < band_count; ++i) {
      RC_ASSERT(got.reflect.at[i] == static_cast<float>(wanted.reflect[i]));
      RC_ASSERT(got.transmit.at[i] == static_cast<float>(wanted.transmit[i]));
    }
  });
}

}  // namespace
}  // namespace powderplan
