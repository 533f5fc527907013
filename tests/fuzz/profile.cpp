// Colour profiles: opened, transformed from, and as curves.
#include <array>
#include <cmath>
#include <vector>

#include "fuzz/target.h"
#include "raster/icc_profile.h"

using namespace powderplan;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return fuzz::answered([&] {
    const auto profile = IccProfile::open({data, data + size});
    if (!profile)
      return;
    // Of as many channels as any model has.
    constexpr std::size_t colours = 64, channels = 4;
    std::vector<float> device(colours * channels), linear(colours * 3);
    for (std::size_t i = 0; i < device.size(); ++i)
      device[i] = static_cast<float>(i * 37 % 101) / 100;
    profile->transform(device.data(), linear.data(), colours);
    if (const auto curves = profile->curves(256)) {
      for (const std::vector<float>& curve : curves->curves)
        fuzz::promise(curve.size() == 256, "a curve has an entry for every code");
    }
  });
}
