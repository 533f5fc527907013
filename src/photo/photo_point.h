// A place in a photo.
#pragma once

namespace powderplan {

// A place in the photo, pixels from its top left corner, y down; the middle of the first pixel is 0.5, 0.5.
struct PhotoPoint {
  double x = 0, y = 0;
};

}  // namespace powderplan
