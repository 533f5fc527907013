#include "raster/to_linear.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>
#include <utility>

#include "colour/tristimulus.h"
#include "raster/icc_profile.h"

namespace powderplan {
namespace {

constexpr std::size_t codes_of(SampleKind kind) {
  return kind == SampleKind::byte ? 256 : 65536;
}

// Reads sample after sample of one row, whatever its kind.
template <class T>
class Samples {
 public:
  Samples(const StoredPicture& picture, int y)
      : at_(picture.samples.data() + static_cast<std::size_t>(y) * picture.row_bytes()) {}
  T next() {
    T value;
    std::memcpy(&value, at_, sizeof value);
    at_ += sizeof value;
    return value;
  }

 private:
  const std::uint8_t* at_;
};

template <class T>
float to_share(T value) {
  if constexpr (std::is_same_v<T, float>)
    return value;
  else
    return static_cast<float>(value) /
           static_cast<float>(codes_of(sizeof(T) == 1 ? SampleKind::byte : SampleKind::word) - 1);
}

// Float files may overshoot.
template <class T>
float to_alpha(T value) {
  return std::clamp(to_share(value), 0.0f, 1.0f);
}

// Rows made by convert(samples, out) with samples of the picture's own type.
template <class F>
LightRows converted(const StoredPicture& picture, F convert) {
  return {picture.width, picture.height, [&picture, convert = std::move(convert)](int y, LinearPixel* out) {
            if (picture.kind == SampleKind::byte)
              convert(Samples<std::uint8_t>(picture, y), out);
            else if (picture.kind == SampleKind::word)
              convert(Samples<std::uint16_t>(picture, y), out);
            else
              convert(Samples<float>(picture, y), out);
          }};
}

template <class T>
float curve_at(const std::vector<float>& curve, T code) {
  if constexpr (std::is_same_v<T, float>)
    return code;
  else
    return curve[code];
}

// A grey sample stands for all three channels; a profile may still tint it, so each has its own curve.
LightRows by_curves(const StoredPicture& picture, CurvesAndMatrix space) {
  const auto m = [&space](std::size_t i) { return static_cast<float>(space.matrix[i]); };
  const std::array<float, 9> k{m(0), m(1), m(2), m(3), m(4), m(5), m(6), m(7), m(8)};
  const bool grey = picture.model == ColourModel::grey;
  return converted(picture, [&picture, space = std::move(space), k, grey](auto samples, LinearPixel* out) {
    for (LinearPixel *pixel = out, *end = out + picture.width; pixel != end; ++pixel) {
      const auto first = samples.next();
      const auto second = grey ? first : samples.next();
      const auto third = grey ? first : samples.next();
      const float r = curve_at(space.curves[0], first);
      const float g = curve_at(space.curves[1], second);
      const float b = curve_at(space.curves[2], third);
      pixel->r = k[0] * r + k[1] * g + k[2] * b;
      pixel->g = k[3] * r + k[4] * g + k[5] * b;
      pixel->b = k[6] * r + k[7] * g + k[8] * b;
      if (picture.alpha)
        pixel->alpha = to_alpha(samples.next());
    }
  });
}

// Any profile, pixel by pixel. A grey picture may carry an RGB profile: its grey is r = g = b there.
LightRows by_profile(const StoredPicture& picture, IccProfile opened) {
  // Rows are copied about with their function; a profile is opened once.
  const auto profile = std::make_shared<const IccProfile>(std::move(opened));
  const std::size_t width = static_cast<std::size_t>(picture.width);
  const std::size_t stored = static_cast<std::size_t>(picture.model);
  const std::size_t repeats = static_cast<std::size_t>(profile->model()) / stored;
  return converted(picture, [&picture, profile, width, stored, repeats](auto samples, LinearPixel* out) {
    std::vector<float> device(width * stored * repeats), linear(width * 3);
    for (std::size_t x = 0, i = 0; x < width; ++x) {
      for (std::size_t channel = 0; channel < stored; ++channel) {
        const float value = to_share(samples.next());
        for (std::size_t copy = 0; copy < repeats; ++copy)
          device[i++] = value;
      }
      if (picture.alpha)
        out[x].alpha = to_alpha(samples.next());
    }
    profile->transform(device.data(), linear.data(), width);
    for (std::size_t x = 0; x < width; ++x) {
      out[x].r = linear[3 * x];
      out[x].g = linear[3 * x + 1];
      out[x].b = linear[3 * x + 2];
    }
  });
}

// One-dimensional, so a table of every code says it all.
CurvesAndMatrix grey_curves(const IccProfile& profile, std::size_t codes) {
  const std::size_t channels = static_cast<std::size_t>(profile.model());
  std::vector<float> device(codes * channels), linear(codes * 3);
  for (std::size_t i = 0; i < device.size(); ++i) {
    const std::size_t code = i / channels;
    device[i] = static_cast<float>(code) / static_cast<float>(codes - 1);
  }
  profile.transform(device.data(), linear.data(), codes);
  CurvesAndMatrix out;
  for (std::size_t channel = 0; channel < 3; ++channel) {
    out.curves[channel].resize(codes);
    for (std::size_t i = 0; i < codes; ++i)
      out.curves[channel][i] = linear[3 * i + channel];
  }
  return out;
}

LightRows by_simple_inks(const StoredPicture& picture) {
  const CurvesAndMatrix srgb = srgb_curves(codes_of(SampleKind::word));
  return converted(picture, [&picture, curve = srgb.curves[0]](auto samples, LinearPixel* out) {
    const auto light = [&curve](float ink, float key) {
      const float encoded = std::clamp((1 - ink) * (1 - key), 0.0f, 1.0f);
      // NOLINTNEXTLINE(bugprone-incorrect-roundings): never below 0, and lround is a call for each sample
      return curve[static_cast<std::size_t>(encoded * 65535.0f + 0.5f)];
    };
    for (LinearPixel *pixel = out, *end = out + picture.width; pixel != end; ++pixel) {
      const float c = to_share(samples.next()), m = to_share(samples.next()), y = to_share(samples.next());
      const float k = to_share(samples.next());
      *pixel = {light(c, k), light(m, k), light(y, k), 1};
      if (picture.alpha)
        pixel->alpha = to_alpha(samples.next());
    }
  });
}

// The profile, when there is one that fits; otherwise why not, as a note.
std::optional<IccProfile> usable_profile(const StoredPicture& picture, std::vector<std::string>& notes) {
  const std::string instead = picture.model == ColourModel::cmyk ? "it is not used" : "taken as sRGB";
  if (picture.colour.icc.empty()) {
    if (picture.colour.icc_damaged)
      notes.push_back("the embedded colour profile is damaged: " + instead);
    return std::nullopt;
  }
  auto profile = IccProfile::open(picture.colour.icc);
  const bool grey_in_rgb =
      profile && picture.model == ColourModel::grey && profile->model() == ColourModel::rgb;
  if (profile && (profile->model() == picture.model || grey_in_rgb))
    return profile;
  notes.push_back(fmt::format("the embedded colour profile {}: {}",
                              IccProfile::why_not(picture.colour.icc, picture.model), instead));
  return std::nullopt;
}

LightRows with_profile(const StoredPicture& picture, IccProfile profile) {
  if (picture.kind == SampleKind::real || picture.model == ColourModel::cmyk)
    return by_profile(picture, std::move(profile));
  if (picture.model == ColourModel::grey)
    return by_curves(picture, grey_curves(profile, codes_of(picture.kind)));
  if (const auto curves = profile.curves(codes_of(picture.kind)))
    return by_curves(picture, *curves);
  return by_profile(picture, std::move(profile));
}

using Chromaticity = std::array<double, 2>;
Xyz xyz_of(const Chromaticity& c) {
  return {c[0] / c[1], 1.0, (1.0 - c[0] - c[1]) / c[1]};
}

using Vector = std::array<double, 3>;
double triple(const Vector& a, const Vector& b, const Vector& c) {
  return a[0] * (b[1] * c[2] - b[2] * c[1]) - b[0] * (a[1] * c[2] - a[2] * c[1]) +
         c[0] * (a[1] * b[2] - a[2] * b[1]);
}

// Primaries scaled so that they add up to their white, adapted to D65, in terms of those of sRGB.
std::array<double, 9> matrix_of(const std::array<double, 8>& xy) {
  constexpr std::array<double, 9> unity{1, 0, 0, 0, 1, 0, 0, 0, 1};
  if (xy[1] <= 0 || xy[3] <= 0 || xy[5] <= 0 || xy[7] <= 0)
    return unity;
  const Xyz white = xyz_of({xy[0], xy[1]});
  const Vector w{white.x, white.y, white.z};
  std::array<Vector, 3> p;
  for (std::size_t i = 0; i < 3; ++i) {
    const Xyz primary = xyz_of({xy[2 + 2 * i], xy[3 + 2 * i]});
    p[i] = {primary.x, primary.y, primary.z};
  }
  const double whole = triple(p[0], p[1], p[2]);
  if (std::abs(whole) < 1e-9)
    return unity;
  const Vector scale{triple(w, p[1], p[2]) / whole, triple(p[0], w, p[2]) / whole,
                     triple(p[0], p[1], w) / whole};
  std::array<double, 9> out{};
  for (std::size_t i = 0; i < 3; ++i) {
    const Xyz scaled = Xyz{p[i][0], p[i][1], p[i][2]} * scale[i];
    const LinearRgb rgb = to_linear_rgb(adapt(scaled, white, white_d65));
    out[i] = rgb.r;
    out[3 + i] = rgb.g;
    out[6 + i] = rgb.b;
  }
  return out;
}

}  // namespace

CurvesAndMatrix srgb_curves(std::size_t codes) {
  CurvesAndMatrix out;
  out.curves[0].resize(codes);
  for (std::size_t i = 0; i < codes; ++i)
    out.curves[0][i] =
        static_cast<float>(srgb_decode(static_cast<double>(i) / static_cast<double>(codes - 1)));
  out.curves[1] = out.curves[2] = out.curves[0];
  return out;
}

CurvesAndMatrix tagged_curves(const ColourTag& tag, std::size_t codes) {
  CurvesAndMatrix out = srgb_curves(codes);
  if (tag.gamma) {
    for (std::size_t i = 0; i < codes; ++i)
      out.curves[0][i] = static_cast<float>(
          std::pow(static_cast<double>(i) / static_cast<double>(codes - 1), 1.0 / *tag.gamma));
    out.curves[1] = out.curves[2] = out.curves[0];
  }
  if (tag.chromaticities)
    out.matrix = matrix_of(*tag.chromaticities);
  return out;
}

LightRows to_linear(const StoredPicture& picture, std::vector<std::string>& notes) {
  if (auto profile = usable_profile(picture, notes))
    return with_profile(picture, std::move(*profile));
  if (picture.model == ColourModel::cmyk) {
    notes.emplace_back("CMYK without a usable colour profile: its colours are approximate");
    return by_simple_inks(picture);
  }
  if (picture.kind == SampleKind::real && picture.colour.chromaticities) {
    return by_curves(picture, {{}, matrix_of(*picture.colour.chromaticities)});
  }
  if (picture.kind == SampleKind::real) {
    notes.emplace_back("float samples without a colour profile: taken as linear light with sRGB primaries");
    return by_curves(picture, {});
  }
  const ColourTag& tag = picture.colour;
  if (tag.gamma || tag.chromaticities)
    return by_curves(picture, tagged_curves(tag, codes_of(picture.kind)));
  if (!tag.srgb && tag.icc.empty() && !tag.icc_damaged)
    notes.emplace_back("no colour profile: taken as sRGB");
  return by_curves(picture, srgb_curves(codes_of(picture.kind)));
}

}  // namespace powderplan
