#include "separation/disc_opening.h"

#include "masks.h"

namespace powderplan {
namespace {

TEST(DiscOpening, IsThePlainOne) {
  holds_always([] {
    const cv::Mat mask = any_mask(200);
    const int diameter = *rc::gen::inRange(1, 90);
    RC_ASSERT(same(opened_by_disc(BitMask(mask), diameter).bytes(), opened_by_disc_plainly(mask, diameter)));
  });
}

}  // namespace
}  // namespace powderplan
