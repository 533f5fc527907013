// CMYK JPEG: the direction of the ink, YCCK, and profiles. Files are written by libjpeg, profiles by
// LittleCMS. jpeglib.h needs the size_t and FILE of cstdio.
// clang-format off
#include <cstdio>
#include <jpeglib.h>
// clang-format on

#include <array>
#include <cstdlib>

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

using Inks = std::array<std::uint8_t, 4>;  // 255 = full ink

// 16 x 16 of one colour. With Adobe's marker the inks are stored upside down (Adobe TN 5116).
FileBytes cmyk_jpeg(const Inks& inks, bool adobe, bool ycck) {
  jpeg_compress_struct state{};
  jpeg_error_mgr errors{};
  state.err = jpeg_std_error(&errors);
  jpeg_create_compress(&state);
  unsigned char* data = nullptr;
  unsigned long size = 0;
  jpeg_mem_dest(&state, &data, &size);
  state.image_width = state.image_height = 16;
  state.input_components = 4;
  state.in_color_space = JCS_CMYK;
  jpeg_set_defaults(&state);
  jpeg_set_colorspace(&state, ycck ? JCS_YCCK : JCS_CMYK);
  state.write_Adobe_marker = adobe ? TRUE : FALSE;
  jpeg_set_quality(&state, 100, TRUE);
  jpeg_start_compress(&state, TRUE);
  std::vector<std::uint8_t> row;
  for (int x = 0; x < 16; ++x) {
    for (const std::uint8_t ink : inks)
      row.push_back(adobe ? static_cast<std::uint8_t>(255 - ink) : ink);
  }
  JSAMPROW rows = row.data();
  while (state.next_scanline < state.image_height)
    jpeg_write_scanlines(&state, &rows, 1);
  jpeg_finish_compress(&state);
  jpeg_destroy_compress(&state);
  FileBytes out(data, data + size);
  std::free(data);
  return out;
}

// A press whose inks are deliberately wrong by name: cyan ink prints red and so on. Nothing but the profile
// can know that.
cmsInt32Number odd_press(const cmsUInt16Number in[], cmsUInt16Number out[], void* to_lab) {
  const auto paper = [&in](int ink) { return (1 - in[ink] / 65535.0) * (1 - in[3] / 65535.0); };
  const double rgb[3] = {paper(1), paper(2), paper(0)};
  cmsDoTransform(to_lab, rgb, out, 1);
  return 1;
}

FileBytes odd_press_profile() {
  cmsHPROFILE srgb = cmsCreate_sRGBProfile(), lab = cmsCreateLab4Profile(nullptr);
  cmsHTRANSFORM to_lab =
      cmsCreateTransform(srgb, TYPE_RGB_DBL, lab, TYPE_Lab_16, INTENT_RELATIVE_COLORIMETRIC,
                         cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE);
  cmsHPROFILE press = cmsCreateProfilePlaceholder(nullptr);
  cmsSetProfileVersion(press, 4.3);
  cmsSetDeviceClass(press, cmsSigOutputClass);
  cmsSetColorSpace(press, cmsSigCmykData);
  cmsSetPCS(press, cmsSigLabData);
  cmsPipeline* table = cmsPipelineAlloc(nullptr, 4, 3);
  cmsStage* grid = cmsStageAllocCLut16bit(nullptr, 9, 4, 3, nullptr);
  cmsStageSampleCLut16bit(grid, odd_press, to_lab, 0);
  cmsPipelineInsertStage(table, cmsAT_BEGIN, cmsStageAllocToneCurves(nullptr, 4, nullptr));
  cmsPipelineInsertStage(table, cmsAT_END, grid);
  cmsPipelineInsertStage(table, cmsAT_END, cmsStageAllocToneCurves(nullptr, 3, nullptr));
  cmsWriteTag(press, cmsSigAToB0Tag, table);
  cmsPipelineFree(table);
  cmsDeleteTransform(to_lab);
  cmsCloseProfile(srgb);
  cmsCloseProfile(lab);
  return saved(press);
}

FileBytes with_profile(FileBytes jpeg, const FileBytes& profile) {
  constexpr std::size_t most = 65000;
  const std::size_t count = (profile.size() + most - 1) / most;
  for (std::size_t i = count; i-- > 0;) {
    const auto begin = profile.begin() + static_cast<std::ptrdiff_t>(i * most);
    const auto end = profile.begin() + static_cast<std::ptrdiff_t>(std::min(profile.size(), (i + 1) * most));
    jpeg = jpeg_with(jpeg, 0xe2,
                     bytes_of(std::string_view("ICC_PROFILE\0", 12)) +
                         FileBytes{static_cast<std::uint8_t>(i + 1), static_cast<std::uint8_t>(count)} +
                         FileBytes(begin, end));
  }
  return jpeg;
}

const std::vector<std::string> approximate{
    "CMYK without a usable colour profile: its colours are approximate"};

// (1 - C)(1 - K) in sRGB codes.
TEST(PictureCmyk, WithoutAProfileTheSimpleRuleHolds) {
  for (const bool adobe : {false, true}) {
    for (const bool ycck : {false, true}) {
      if (ycck && !adobe)
        continue;  // without the marker four channels are CMYK by definition
      SCOPED_TRACE(adobe ? (ycck ? "YCCK" : "Adobe CMYK") : "CMYK");
      const auto read = [&](const Inks& inks) { return read_bytes(cmyk_jpeg(inks, adobe, ycck)); };
      EXPECT_EQ(read({0, 0, 0, 0}).notes, approximate);
      expect_pixel(read({0, 0, 0, 0}).pixels.at(8, 8), {1, 1, 1}, 0.02);
      expect_pixel(read({0, 0, 0, 255}).pixels.at(8, 8), {0, 0, 0}, 0.02);
      expect_pixel(read({255, 0, 0, 0}).pixels.at(8, 8), {0, 1, 1}, 0.02);
      expect_pixel(read({0, 255, 0, 0}).pixels.at(8, 8), {1, 0, 1}, 0.02);
      const double code = (1 - 51 / 255.0) * (1 - 102 / 255.0), dark = 1 - 102 / 255.0;
      expect_pixel(read({51, 0, 0, 102}).pixels.at(8, 8),
                   {srgb_decode(code), srgb_decode(dark), srgb_decode(dark)}, 0.02);
    }
  }
}

TEST(PictureCmyk, TheProfileDecidesTheColours) {
  const FileBytes profile = odd_press_profile();
  for (const bool adobe : {false, true}) {
    SCOPED_TRACE(adobe);
    const auto read = [&](const Inks& inks) {
      return read_bytes(with_profile(cmyk_jpeg(inks, adobe, adobe), profile));
    };
    EXPECT_TRUE(read({0, 0, 0, 0}).notes.empty());
    expect_pixel(read({0, 0, 0, 0}).pixels.at(8, 8), {1, 1, 1}, 0.02);
    expect_pixel(read({0, 0, 0, 255}).pixels.at(8, 8), {0, 0, 0}, 0.02);
    expect_pixel(read({255, 0, 0, 0}).pixels.at(8, 8), {1, 1, 0}, 0.03);
    expect_pixel(read({0, 255, 0, 0}).pixels.at(8, 8), {0, 1, 1}, 0.03);
  }
}

TEST(PictureCmyk, ABadProfileIsRefused) {
  const std::string message =
      "a: is CMYK and its colour profile cannot be used; convert it to sRGB in the program that made it";
  const FileBytes jpeg = cmyk_jpeg({10, 20, 30, 40}, true, false);
  EXPECT_EQ(message_for(with_profile(jpeg, bytes_of("nonsense")), "a"), message);
  EXPECT_EQ(message_for(with_profile(jpeg, srgb_profile()), "a"), message);
}

}  // namespace
}  // namespace powderplan::testing
