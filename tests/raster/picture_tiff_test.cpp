// TIFF in its many layouts, written by libtiff.
#include <tiffio.h>

#include <cmath>
#include <cstring>
#include <limits>

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

struct Options {
  std::uint16_t photometric = PHOTOMETRIC_RGB, channels = 3, bits = 8;
  std::uint16_t format = SAMPLEFORMAT_UINT, planar = PLANARCONFIG_CONTIG, compression = COMPRESSION_NONE;
  std::uint16_t orientation = ORIENTATION_TOPLEFT;
  int extra = -1;  // kind of the last channel
  bool tiled = false, big_endian = false;
  FileBytes profile;
  int pages = 1;
  std::uint32_t subfile = 0;
};

void set_fields(TIFF* tiff, const Options& o, int width, int height) {
  TIFFSetField(tiff, TIFFTAG_SUBFILETYPE, o.subfile);
  TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, width);
  TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, height);
  TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, o.bits);
  TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, o.channels);
  TIFFSetField(tiff, TIFFTAG_SAMPLEFORMAT, o.format);
  TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, o.photometric);
  TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, o.planar);
  TIFFSetField(tiff, TIFFTAG_COMPRESSION, o.compression);
  TIFFSetField(tiff, TIFFTAG_ORIENTATION, o.orientation);
  if (o.extra >= 0) {
    const std::uint16_t kind = static_cast<std::uint16_t>(o.extra);
    TIFFSetField(tiff, TIFFTAG_EXTRASAMPLES, 1, &kind);
  }
  if (!o.profile.empty())
    TIFFSetField(tiff, TIFFTAG_ICCPROFILE, static_cast<std::uint32_t>(o.profile.size()), o.profile.data());
  if (o.tiled) {
    TIFFSetField(tiff, TIFFTAG_TILEWIDTH, 16);
    TIFFSetField(tiff, TIFFTAG_TILELENGTH, 16);
  } else {
    TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, 3);
  }
}

// `samples`: interleaved, as stored. Tiles and planes are cut from it here.
template <class T>
FileBytes tiff_of(const std::vector<T>& samples, int width, int height, const Options& o) {
  const Folder folder;
  const auto file = folder.path() / "made.tif";
  TIFF* tiff = TIFFOpen(file.c_str(), o.big_endian ? "wb" : "wl");
  const auto at = [&](int x, int y, int c) {
    return samples[static_cast<std::size_t>((y * width + x) * o.channels + c)];
  };
  const int planes = o.planar == PLANARCONFIG_SEPARATE ? o.channels : 1;
  const int together = o.channels / planes;
  for (int page = 0; page < o.pages; ++page) {
    set_fields(tiff, o, width, height);
    for (int plane = 0; plane < planes; ++plane) {
      const int w = o.tiled ? 16 : width, h = o.tiled ? 16 : 1;
      for (int y0 = 0; y0 < height; y0 += h) {
        for (int x0 = 0; x0 < width; x0 += w) {
          std::vector<T> block;
          for (int y = y0; y < y0 + h; ++y) {
            for (int x = x0; x < x0 + w; ++x) {
              for (int c = 0; c < together; ++c)
                block.push_back(x < width && y < height ? at(x, y, plane + c) : T{});
            }
          }
          if (o.tiled)
            TIFFWriteTile(tiff, block.data(), static_cast<std::uint32_t>(x0), static_cast<std::uint32_t>(y0),
                          0, static_cast<std::uint16_t>(plane));
          else
            TIFFWriteScanline(tiff, block.data(), static_cast<std::uint32_t>(y0),
                              static_cast<std::uint16_t>(plane));
        }
      }
    }
    TIFFWriteDirectory(tiff);
  }
  TIFFClose(tiff);
  return read_file(file);
}

template <class T>
std::vector<T> ramp(int count) {
  std::vector<T> out(static_cast<std::size_t>(count));
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = static_cast<T>(i * 7919 + 13);
  return out;
}

template <class T>
void expect_rgb(const Picture& picture, const std::vector<T>& samples, int channels) {
  const double full = static_cast<double>(std::numeric_limits<T>::max());
  for (std::size_t i = 0; i < picture.pixels.size(); ++i) {
    const T* s = samples.data() + i * static_cast<std::size_t>(channels);
    ASSERT_NEAR(picture.pixels[i].r, srgb_decode(static_cast<double>(s[0]) / full), 1e-6) << i;
    ASSERT_NEAR(picture.pixels[i].g, srgb_decode(static_cast<double>(s[1]) / full), 1e-6) << i;
    ASSERT_NEAR(picture.pixels[i].b, srgb_decode(static_cast<double>(s[2]) / full), 1e-6) << i;
  }
}

template <class T>
void check_all_layouts(std::uint16_t bits) {
  const int width = 21, height = 19;
  for (const bool tiled : {false, true}) {
    for (const int planar : {PLANARCONFIG_CONTIG, PLANARCONFIG_SEPARATE}) {
      for (const int compression : {COMPRESSION_NONE, COMPRESSION_LZW, COMPRESSION_ADOBE_DEFLATE}) {
        for (const bool big : {false, true}) {
          SCOPED_TRACE(::testing::Message() << bits << " tiled " << tiled << " planar " << planar
                                            << " compression " << compression << " big-endian " << big);
          Options o;
          o.bits = bits;
          o.tiled = tiled;
          o.planar = static_cast<std::uint16_t>(planar);
          o.compression = static_cast<std::uint16_t>(compression);
          o.big_endian = big;
          const auto samples = ramp<T>(width * height * 3);
          const Picture picture = read_bytes(tiff_of(samples, width, height, o));
          ASSERT_EQ(picture.pixels.width(), width);
          ASSERT_EQ(picture.pixels.height(), height);
          expect_rgb(picture, samples, 3);
        }
      }
    }
  }
}

TEST(PictureTiff, StripsAndTilesTogetherAndInPlanes) {
  check_all_layouts<std::uint8_t>(8);
  check_all_layouts<std::uint16_t>(16);
}

TEST(PictureTiff, AllOrientations) {
  // Stored ab/cd/ef; what should be seen, value by value (TIFF 6.0, tag 274).
  const std::array<std::string, 8> seen{"abcdef 2", "badcfe 2", "fedcba 2", "efcdab 2",
                                        "acebdf 3", "ecafdb 3", "fdbeca 3", "bdface 3"};
  for (const std::uint16_t photometric :
       {std::uint16_t{PHOTOMETRIC_MINISBLACK}, std::uint16_t{PHOTOMETRIC_PALETTE}}) {
    for (std::uint16_t value = 1; value <= 8; ++value) {
      Options o;
      o.photometric = PHOTOMETRIC_MINISBLACK;
      o.channels = 1;
      o.orientation = value;
      const bool rare = photometric == PHOTOMETRIC_PALETTE;  // 4 bits go through libtiff's own conversion
      o.bits = rare ? 4 : 8;
      const std::vector<std::uint8_t> bytes = rare ? std::vector<std::uint8_t>{0x12, 0x34, 0x56}
                                                   : std::vector<std::uint8_t>{17, 34, 51, 68, 85, 102};
      Picture picture;
      if (rare) {
        Options packed = o;
        packed.bits = 4;
        const Folder folder;
        const auto file = folder.path() / "made.tif";
        TIFF* tiff = TIFFOpen(file.c_str(), "w");
        set_fields(tiff, packed, 2, 3);
        for (std::uint32_t y = 0; y < 3; ++y)
          TIFFWriteScanline(tiff, const_cast<std::uint8_t*>(bytes.data()) + y, y, 0);
        TIFFClose(tiff);
        picture = read_picture(file);
      } else {
        picture = read_bytes(tiff_of(bytes, 2, 3, o));
      }
      std::string letters;
      for (std::size_t i = 0; i < picture.pixels.size(); ++i)
        letters += static_cast<char>(
            'a' - 1 + std::lround(255 * srgb_encode(static_cast<double>(picture.pixels[i].g)) / 17));
      letters += ' ';
      letters += std::to_string(picture.pixels.width());
      EXPECT_EQ(letters, seen[value - 1u]) << value << (rare ? " converted" : "");
    }
  }
}

TEST(PictureTiff, BothKindsOfAlphaComeOutStraight) {
  Options o;
  o.channels = 4;
  o.extra = EXTRASAMPLE_UNASSALPHA;
  const std::vector<std::uint16_t> plain{40000, 20000, 60000, 32768};
  o.bits = 16;
  const Picture straight = read_bytes(tiff_of(plain, 1, 1, o));
  expect_rgb(straight, plain, 4);
  EXPECT_NEAR(straight.pixels[0].alpha, 32768 / 65535.0, 1e-6);
  o.extra = EXTRASAMPLE_ASSOCALPHA;
  const std::vector<std::uint16_t> multiplied{20000, 10000, 30000, 32768};
  const Picture divided = read_bytes(tiff_of(multiplied, 1, 1, o));
  expect_pixel(divided.pixels[0],
               {static_cast<double>(straight.pixels[0].r), static_cast<double>(straight.pixels[0].g),
                static_cast<double>(straight.pixels[0].b)},
               1e-4);
  EXPECT_NEAR(divided.pixels[0].alpha, 32768 / 65535.0, 1e-6);
}

TEST(PictureTiff, AnExtraChannelOfNoStatedMeaningIsLeftOut) {
  Options o;
  o.channels = 4;
  o.extra = EXTRASAMPLE_UNSPECIFIED;
  const std::vector<std::uint8_t> samples{10, 20, 30, 0};
  const Picture picture = read_bytes(tiff_of(samples, 1, 1, o));
  expect_rgb(picture, samples, 4);
  EXPECT_EQ(picture.pixels[0].alpha, 1.0f);
}

TEST(PictureTiff, WhiteIsZeroIsTurnedRound) {
  Options o;
  o.photometric = PHOTOMETRIC_MINISWHITE;
  o.channels = 1;
  const Picture picture = read_bytes(tiff_of(std::vector<std::uint8_t>{0, 255, 55}, 3, 1, o));
  expect_pixel(picture.pixels[0], {1, 1, 1}, 1e-6);
  expect_pixel(picture.pixels[1], {0, 0, 0}, 1e-6);
  expect_pixel(picture.pixels[2], to_linear_rgb(Rgb8{200, 200, 200}), 1e-6);
}

TEST(PictureTiff, FloatIsLinearLight) {
  Options o;
  o.bits = 32;
  o.format = SAMPLEFORMAT_IEEEFP;
  const Picture picture = read_bytes(tiff_of(std::vector<float>{0.25f, 1.5f, -0.125f}, 1, 1, o));
  expect_pixel(picture.pixels[0], {0.25, 1.5, -0.125}, 0);
  EXPECT_EQ(picture.notes,
            std::vector<std::string>{
                "float samples without a colour profile: taken as linear light with sRGB primaries"});
}

TEST(PictureTiff, NotANumberIsRefused) {
  Options o;
  o.bits = 32;
  o.format = SAMPLEFORMAT_IEEEFP;
  for (const float bad : {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity()})
    EXPECT_EQ(message_for(tiff_of(std::vector<float>{0, bad, 0}, 1, 1, o), "a"),
              "a: holds pixels that are not numbers (NaN or infinite); export it as 16-bit PNG or TIFF");
}

TEST(PictureTiff, AProfileIsHonoured) {
  Options o;
  o.profile = p3_profile();
  const Picture picture = read_bytes(tiff_of(std::vector<std::uint8_t>{255, 0, 0}, 1, 1, o));
  // See picture_colour_test.cpp for these numbers.
  expect_pixel(picture.pixels[0], {1.2249, -0.0420, -0.0196}, 5e-4);
  EXPECT_TRUE(picture.notes.empty());
  o.bits = 32;
  o.format = SAMPLEFORMAT_IEEEFP;
  o.profile = p3_profile(1.0);
  const Picture real = read_bytes(tiff_of(std::vector<float>{2, 0, 0}, 1, 1, o));
  expect_pixel(real.pixels[0], {2 * 1.2249, 2 * -0.0420, 2 * -0.0196}, 1e-3);
}

TEST(PictureTiff, InksByTheSimpleRule) {
  Options o;
  o.photometric = PHOTOMETRIC_SEPARATED;
  o.channels = 4;
  const Picture picture = read_bytes(tiff_of(std::vector<std::uint8_t>{255, 0, 0, 0, 0, 0, 0, 255}, 2, 1, o));
  expect_pixel(picture.pixels[0], {0, 1, 1}, 1e-6);
  expect_pixel(picture.pixels[1], {0, 0, 0}, 1e-6);
}

TEST(PictureTiff, OfSeveralPagesTheFirst) {
  Options o;
  o.pages = 2;
  const std::vector<std::uint8_t> samples{10, 20, 30};
  const Picture picture = read_bytes(tiff_of(samples, 1, 1, o));
  EXPECT_EQ(picture.notes.back(), "several pages: the first one is taken");
}

TEST(PictureTiff, CameraRawIsRefused) {
  Options o;
  o.subfile = FILETYPE_REDUCEDIMAGE;
  EXPECT_EQ(message_for(tiff_of(std::vector<std::uint8_t>{10, 20, 30}, 1, 1, o), "a"),
            "a: begins with a preview only, as camera raw files do; develop it and save it as TIFF or JPEG");
}

TEST(PictureTiff, SignedIntegersOf32BitsAreRefused) {
  Options o;
  o.bits = 32;
  o.format = SAMPLEFORMAT_INT;
  EXPECT_EQ(message_for(tiff_of(std::vector<std::int32_t>{1, 2, 3}, 1, 1, o), "a"),
            "a: is a TIFF picture of a rare variety, with 32 bits a sample; save it as 8 or 16-bit RGB");
}

TEST(PictureTiff, NineToFifteenBits) {
  // Packed by hand from the highest bit on; three samples of 12 bits end within a byte.
  struct Case {
    std::uint16_t bits;
    FileBytes row;
    double half;  // what the middle sample comes to
  };
  for (const Case& c : {Case{12, {0xff, 0xf8, 0x00, 0x00, 0x00}, 2048.0 / 4095},
                        Case{10, {0xff, 0xe0, 0x00, 0x00}, 512.0 / 1023},
                        Case{15, {0xff, 0xff, 0x00, 0x00, 0x00, 0x00}, 16384.0 / 32767}}) {
    Options o;
    o.bits = c.bits;
    o.photometric = PHOTOMETRIC_RGB;
    const Folder folder;
    const auto file = folder.path() / "made.tif";
    TIFF* tiff = TIFFOpen(file.c_str(), "w");
    set_fields(tiff, o, 1, 1);
    FileBytes row = c.row;
    TIFFWriteScanline(tiff, row.data(), 0, 0);
    TIFFClose(tiff);
    expect_pixel(read_picture(file).pixels[0], {1, srgb_decode(c.half), 0}, 1e-5);
  }
}

TEST(PictureTiff, DoublesHalvesAndThirtyTwoBits) {
  Options o;
  o.format = SAMPLEFORMAT_IEEEFP;
  for (const bool big_endian : {false, true}) {
    o.big_endian = big_endian;
    o.bits = 64;
    expect_pixel(read_bytes(tiff_of(std::vector<double>{0.25, 1.5, -0.125}, 1, 1, o)).pixels[0],
                 {0.25, 1.5, -0.125}, 0);
    o.bits = 16;  // 0.25, 1.5, the smallest above 0
    expect_pixel(read_bytes(tiff_of(std::vector<std::uint16_t>{0x3400, 0x3e00, 0x0001}, 1, 1, o)).pixels[0],
                 {0.25, 1.5, 5.9604644775390625e-8}, 0);
  }
  EXPECT_EQ(message_for(tiff_of(std::vector<std::uint16_t>{0x7c00, 0, 0}, 1, 1, o), "a"),
            "a: holds pixels that are not numbers (NaN or infinite); export it as 16-bit PNG or TIFF");
  o.format = SAMPLEFORMAT_UINT;
  o.bits = 32;
  o.tiled = true;
  expect_pixel(read_bytes(tiff_of(std::vector<std::uint32_t>{0xffffffff, 0, 0xffffffff}, 1, 1, o)).pixels[0],
               {1, 0, 1}, 0);
}

}  // namespace
}  // namespace powderplan::testing
