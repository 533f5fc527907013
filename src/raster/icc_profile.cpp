#include "raster/icc_profile.h"

#include <fmt/format.h>
#include <lcms2.h>

#include <Eigen/Dense>
#include <limits>
#include <string_view>
#include <utility>

#include "raster/picture_file.h"

namespace powderplan {
namespace {

constexpr cmsUInt32Number intent = INTENT_RELATIVE_COLORIMETRIC;
// Profiles store colorants as s15.16 and adapt them with slightly different numbers: a matrix this close to
// unity is that of sRGB itself, and greys must stay grey.
constexpr double same_primaries = 5e-4;

struct CloseContext {
  void operator()(cmsContext context) const { cmsDeleteContext(context); }
};
struct CloseProfile {
  void operator()(cmsHPROFILE profile) const { cmsCloseProfile(profile); }
};
struct CloseTransform {
  void operator()(cmsHTRANSFORM transform) const { cmsDeleteTransform(transform); }
};
using Context = std::unique_ptr<std::remove_pointer_t<cmsContext>, CloseContext>;
using Profile = std::unique_ptr<void, CloseProfile>;
using Transform = std::unique_ptr<void, CloseTransform>;

void keep_silent(cmsContext, cmsUInt32Number, const char*) {}

// IEC 61966-2-1 white and primaries with a straight curve; LittleCMS adapts it to the D50 of profiles.
Profile linear_srgb(cmsContext context) {
  const cmsCIExyY white{0.3127, 0.3290, 1.0};
  const cmsCIExyYTRIPLE primaries{{0.64, 0.33, 1.0}, {0.30, 0.60, 1.0}, {0.15, 0.06, 1.0}};
  cmsToneCurve* straight = cmsBuildGamma(context, 1.0);
  cmsToneCurve* curves[3] = {straight, straight, straight};
  Profile profile(cmsCreateRGBProfileTHR(context, &white, &primaries, curves));
  cmsFreeToneCurve(straight);
  return profile;
}

std::optional<ColourModel> model_of(cmsHPROFILE profile) {
  switch (cmsGetColorSpace(profile)) {
    case cmsSigGrayData:
      return ColourModel::grey;
    case cmsSigRgbData:
      return ColourModel::rgb;
    case cmsSigCmykData:
      return ColourModel::cmyk;
    default:
      return std::nullopt;
  }
}

cmsUInt32Number format_of(ColourModel model) {
  return model == ColourModel::grey  ? TYPE_GRAY_FLT
         : model == ColourModel::rgb ? TYPE_RGB_FLT
                                     : TYPE_CMYK_FLT;
}

std::optional<Eigen::Matrix3d> colorants(cmsHPROFILE profile) {
  constexpr cmsTagSignature tags[3] = {cmsSigRedColorantTag, cmsSigGreenColorantTag, cmsSigBlueColorantTag};
  Eigen::Matrix3d out;
  for (int i = 0; i < 3; ++i) {
    const auto* xyz = static_cast<const cmsCIEXYZ*>(cmsReadTag(profile, tags[i]));
    if (xyz == nullptr)
      return std::nullopt;
    out.col(i) << xyz->X, xyz->Y, xyz->Z;
  }
  return out;
}

std::vector<float> tabulate(const cmsToneCurve* curve, std::size_t codes) {
  std::vector<float> out(codes);
  for (std::size_t i = 0; i < codes; ++i)
    out[i] = cmsEvalToneCurveFloat(curve, static_cast<float>(i) / static_cast<float>(codes - 1));
  return out;
}

}  // namespace

struct IccProfile::State {
  Context context;
  Profile device, linear;
  Transform transform;
  ColourModel model = ColourModel::rgb;
};

IccProfile::IccProfile(std::unique_ptr<State> state) : state_(std::move(state)) {}
IccProfile::IccProfile(IccProfile&&) noexcept = default;
IccProfile& IccProfile::operator=(IccProfile&&) noexcept = default;
IccProfile::~IccProfile() = default;

std::optional<IccProfile> IccProfile::open(const std::vector<std::uint8_t>& bytes) {
  if (bytes.size() > std::numeric_limits<cmsUInt32Number>::max())
    return std::nullopt;
  auto state = std::make_unique<State>();
  state->context.reset(cmsCreateContext(nullptr, nullptr));
  if (!state->context)
    throw std::bad_alloc();
  cmsContext context = state->context.get();
  cmsSetLogErrorHandlerTHR(context, keep_silent);
  state->device.reset(
      cmsOpenProfileFromMemTHR(context, bytes.data(), static_cast<cmsUInt32Number>(bytes.size())));
  if (!state->device)
    return std::nullopt;
  const auto model = model_of(state->device.get());
  if (!model)
    return std::nullopt;
  state->model = *model;
  state->linear = linear_srgb(context);
  // No cache: it would be shared between threads.
  state->transform.reset(cmsCreateTransformTHR(context, state->device.get(), format_of(*model),
                                               state->linear.get(), TYPE_RGB_FLT, intent, cmsFLAGS_NOCACHE));
  if (!state->transform)
    return std::nullopt;
  return IccProfile(std::move(state));
}

std::string IccProfile::why_not(const std::vector<std::uint8_t>& bytes, ColourModel picture) {
  // ICC.1:2010, 7.2: the class stands at byte 12, the colours at 16, the mark of any profile at 36.
  constexpr std::size_t header = 128;
  if (bytes.size() < header || !has_text(bytes, 36, "acsp"))
    return "is damaged";
  for (const std::string_view kind : {"link", "abst", "nmcl"})
    if (has_text(bytes, 12, kind))
      return "is of a kind that does not say what a picture's colours are";
  using Colours = std::pair<std::string_view, ColourModel>;
  for (const auto& [name, model] :
       {Colours{"GRAY", ColourModel::grey}, {"RGB ", ColourModel::rgb}, {"CMYK", ColourModel::cmyk}}) {
    if (!has_text(bytes, 16, name))
      continue;
    if (model == picture || (model == ColourModel::rgb && picture == ColourModel::grey))
      return "is damaged";
    return fmt::format("is for {} pictures, and this is none", model == ColourModel::grey  ? "grey"
                                                               : model == ColourModel::rgb ? "RGB"
                                                                                           : "CMYK");
  }
  return "is for colours that no picture here has";
}

ColourModel IccProfile::model() const {
  return state_->model;
}

void IccProfile::transform(const float* device, float* linear, std::size_t count) const {
  // LittleCMS counts ink in percent.
  if (state_->model == ColourModel::cmyk) {
    std::vector<float> percent(device, device + 4 * count);
    for (float& ink : percent)
      ink *= 100.0f;
    cmsDoTransform(state_->transform.get(), percent.data(), linear, static_cast<cmsUInt32Number>(count));
    return;
  }
  cmsDoTransform(state_->transform.get(), device, linear, static_cast<cmsUInt32Number>(count));
}

std::optional<CurvesAndMatrix> IccProfile::curves(std::size_t codes) const {
  cmsHPROFILE device = state_->device.get();
  if (state_->model != ColourModel::rgb || !cmsIsMatrixShaper(device) ||
      cmsIsCLUT(device, intent, LCMS_USED_AS_INPUT) || cmsGetPCS(device) != cmsSigXYZData)
    return std::nullopt;
  const auto from = colorants(device), to = colorants(state_->linear.get());
  constexpr cmsTagSignature tags[3] = {cmsSigRedTRCTag, cmsSigGreenTRCTag, cmsSigBlueTRCTag};
  CurvesAndMatrix out;
  for (std::size_t i = 0; i < 3; ++i) {
    const auto* curve = static_cast<const cmsToneCurve*>(cmsReadTag(device, tags[i]));
    if (curve == nullptr || !from || !to)
      return std::nullopt;
    out.curves[i] = tabulate(curve, codes);
  }
  Eigen::Matrix3d matrix = to->inverse() * *from;
  if ((matrix - Eigen::Matrix3d::Identity()).cwiseAbs().maxCoeff() < same_primaries)
    matrix.setIdentity();
  Eigen::Map<Eigen::Matrix<double, 3, 3, Eigen::RowMajor>>(out.matrix.data()) = matrix;
  return out;
}

}  // namespace powderplan
