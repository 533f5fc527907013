// What a user reads when a picture cannot be used, word for word.
#include <sys/stat.h>

#include <string_view>

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

cv::Mat noise(int width, int height) {
  cv::Mat out(height, width, CV_8UC3);
  cv::RNG random(11);
  random.fill(out, cv::RNG::UNIFORM, 0, 256);
  return out;
}

TEST(PictureErrors, FilesThatAreNotThere) {
  const Folder folder;
  EXPECT_EQ(message_of([&] { read_picture(folder.path() / "cat.jpg"); }, folder.path()),
            "cat.jpg: no such file; check the name and the folder");
  EXPECT_EQ(message_of([&] { read_picture(folder.path() / "no" / "cat.jpg"); }, folder.path()),
            "no/cat.jpg: no such file; check the name and the folder");
  std::filesystem::create_directory(folder.path() / "photos");
  EXPECT_EQ(message_of([&] { read_picture(folder.path() / "photos"); }, folder.path()),
            "photos: is a folder, not a picture; name one picture in it");
  mkfifo((folder.path() / "pipe").c_str(), 0600);
  EXPECT_EQ(message_of([&] { read_picture(folder.path() / "pipe"); }, folder.path()),
            "pipe: is a device or a pipe, not a file; save the picture to a file first");
}

// A file with a hole takes no room, and would fill the memory.
TEST(PictureErrors, AFileLargerThanAnyPicture) {
  const Folder folder;
  const auto file = folder.write("hole.png", encoded(".png", noise(2, 2)));
  std::filesystem::resize_file(file, 5'000'000'000);
  EXPECT_EQ(message_of([&] { read_picture(file); }, folder.path()),
            "hole.png: is 5.0 GB; the cap is 1.0; scale the picture down, or save it as PNG or JPEG");
}

TEST(PictureErrors, AFileThatMayNotBeRead) {
  if (geteuid() == 0)
    GTEST_SKIP() << "root may read everything";
  const Folder folder;
  const auto file = folder.write("mine.png", encoded(".png", noise(2, 2)));
  chmod(file.c_str(), 0);
  EXPECT_EQ(message_of([&] { read_picture(file); }, folder.path()),
            "mine.png: cannot be opened: Permission denied; check the file's permissions");
}

TEST(PictureErrors, FilesThatAreNoPicture) {
  const std::string remedy = "; give a PNG, JPEG, TIFF, WebP, BMP or PNM picture";
  EXPECT_EQ(message_for({}, "a.png"), "a.png: is empty; copy or export the picture again");
  EXPECT_EQ(message_for(bytes_of("Dear client,\n"), "a.png"),
            "a.png: is not a picture; it looks like text" + remedy);
  EXPECT_EQ(message_for(bytes_of("%PDF-1.7\n"), "a.png"),
            "a.png: is not a picture; it looks like a PDF document" + remedy);
  EXPECT_EQ(message_for(bytes_of("PK\3\4zip"), "a.png"),
            "a.png: is not a picture; it looks like a ZIP archive" + remedy);
  EXPECT_EQ(message_for({0, 1, 2, 3, 4, 5}, "a.png"), "a.png: is not a picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("BMW and other cars, a list"), "a.bmp"),
            "a.bmp: is not a picture; it looks like text" + remedy);
}

TEST(PictureErrors, PicturesOfKindsThatCannotBeRead) {
  using namespace std::string_view_literals;
  const std::string remedy = ", a kind that cannot be read; save it as PNG, TIFF or JPEG";
  EXPECT_EQ(message_for(bytes_of("GIF89a"), "a"), "a: is a GIF picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("\0\0\0\x18"
                                 "ftypheic"sv),
                        "a"),
            "a: is a HEIC picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("\0\0\0\x18"
                                 "ftypavif"sv),
                        "a"),
            "a: is an AVIF picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("\0\0\0\x0cJXL "sv), "a"), "a: is a JPEG XL picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("\xff\x0a"), "a"), "a: is a JPEG XL picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("8BPS"), "a"), "a: is a PSD picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("gimp xcf"), "a"), "a: is an XCF picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("\0\0\1\0"sv), "a"), "a: is an ICO picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("FUJIFILMCCD-RAW"), "a"), "a: is a camera raw picture" + remedy);
  EXPECT_EQ(message_for(FileBytes(128, 0) + bytes_of("DICM"), "a"), "a: is a DICOM picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("NITF02.10"), "a"), "a: is a NITF picture" + remedy);
  EXPECT_EQ(message_for(bytes_of("<svg xmlns="), "a"), "a: is an SVG drawing" + remedy);
}

TEST(PictureErrors, CutShortAnywhereIsRefused) {
  for (const char* kind : {".png", ".jpg", ".bmp", ".ppm", ".webp"}) {
    const FileBytes whole = encoded(kind, noise(64, 48));
    ASSERT_EQ(message_for(whole, "a"), "");
    for (const double share : {0.1, 0.5, 0.9, 0.99}) {
      const FileBytes part(whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(
                                                              share * static_cast<double>(whole.size())));
      EXPECT_EQ(message_for(part, "a"),
                "a: is cut short: part of the picture is missing; copy or export the picture again")
          << kind << " " << share;
    }
  }
}

TEST(PictureErrors, NoByteCanBeMissingFromPngAndJpeg) {
  for (const char* kind : {".png", ".jpg"}) {
    const FileBytes whole = encoded(kind, noise(9, 9));
    for (std::size_t by = 1; by < whole.size(); ++by)
      ASSERT_NE(message_for(shortened(whole, by), "a"), "") << kind << " without its last " << by << " bytes";
  }
}

TEST(PictureErrors, ProgressiveJpegCutShort) {
  const FileBytes whole = encoded(".jpg", noise(64, 48), {cv::IMWRITE_JPEG_PROGRESSIVE, 1});
  EXPECT_EQ(message_for(shortened(whole, whole.size() / 3), "a"),
            "a: is cut short: part of the picture is missing; copy or export the picture again");
}

TEST(PictureErrors, JpegCutShortAndClosedAgainIsDamaged) {
  const FileBytes whole = encoded(".jpg", noise(64, 48));
  EXPECT_EQ(message_for(shortened(whole, whole.size() / 2) + FileBytes{0xff, 0xd9}, "a"),
            "a: is damaged (its pixels cannot be unpacked); copy or export the picture again");
}

TEST(PictureErrors, TiffCutShort) {
  const FileBytes whole = encoded(".tiff", noise(64, 48), {cv::IMWRITE_TIFF_COMPRESSION, 1});
  EXPECT_EQ(message_for(FileBytes(whole.begin(), whole.begin() + 40), "a"),
            "a: is cut short: part of the picture is missing; copy or export the picture again");
}

TEST(PictureErrors, APngWhoseChunkGoesBeyondItsEndIsCutShort) {
  const FileBytes png = encoded(".png", noise(16, 16));
  FileBytes chunk = png_chunk("eXIf", exif_block(1));
  chunk[0] = 0x71;  // 1.8 GB
  EXPECT_EQ(message_for(inserted(png, after_ihdr, chunk), "a"),
            "a: is cut short: part of the picture is missing; copy or export the picture again");
  chunk[0] = 0xf1;  // more than a chunk may have
  EXPECT_NE(message_for(inserted(png, after_ihdr, chunk), "a").find("a: is damaged"), std::string::npos);
}

TEST(PictureErrors, AByteTooManyInAPngIsDamage) {
  const FileBytes png = encoded(".png", noise(16, 16));
  EXPECT_NE(message_for(inserted(png, png.size() / 2, {0x55}), "a").find("a: is damaged"), std::string::npos);
}

TEST(PictureErrors, AFlippedBitInAPngIsDamage) {
  FileBytes bytes = encoded(".png", noise(16, 16));
  bytes[bytes.size() / 2] ^= 0x10;
  // zlib or the chunk's checksum finds it first.
  const std::string again = "; copy or export the picture again", said = message_for(bytes, "a");
  EXPECT_TRUE(said == "a: is damaged (its pixels cannot be unpacked)" + again ||
              said == "a: is damaged (a check sum in it does not match its bytes)" + again)
      << said;
}

TEST(PictureErrors, WebpAnimationsAreRefused) {
  FileBytes bytes = webp_with(encoded(".webp", noise(8, 8)), 8, 8, "EXIF", exif_block(1));
  bytes[20] = static_cast<std::uint8_t>(bytes[20] | 0x02);  // VP8X flags: animation
  EXPECT_EQ(message_for(bytes, "a"), "a: is an animation; save one picture of it as PNG");
}

TEST(PictureErrors, UnusualBitmapsAreRefused) {
  FileBytes bytes = encoded(".bmp", noise(8, 8));
  bytes[30] = 1;  // BI_RLE8, but of 24 bits
  EXPECT_EQ(message_for(bytes, "a"),
            "a: is a compressed or unusual BMP, a kind that cannot be read; save it as PNG, TIFF or JPEG");
}

// The frame header of a small JPEG, rewritten to declare another size.
FileBytes jpeg_declaring(std::uint16_t width, std::uint16_t height) {
  FileBytes bytes = encoded(".jpg", noise(8, 8));
  for (std::size_t i = 2; i + 9 < bytes.size(); i += 2 + (std::size_t{bytes[i + 2]} << 8 | bytes[i + 3])) {
    if (bytes[i + 1] == 0xc0) {
      bytes[i + 5] = static_cast<std::uint8_t>(height >> 8);
      bytes[i + 6] = static_cast<std::uint8_t>(height);
      bytes[i + 7] = static_cast<std::uint8_t>(width >> 8);
      bytes[i + 8] = static_cast<std::uint8_t>(width);
      return bytes;
    }
  }
  throw std::runtime_error("no frame header");
}

FileBytes png_declaring(std::uint32_t width, std::uint32_t height) {
  const FileBytes header = big_endian(width) + big_endian(height) + FileBytes{8, 2, 0, 0, 0};
  return FileBytes{0x89, 'P', 'N', 'G', 13, 10, 26, 10} + png_chunk("IHDR", header) + png_chunk("IDAT", {0}) +
         png_chunk("IEND", {});
}

TEST(PictureErrors, TooManyPixelsAreRefusedByTheHeader) {
  const std::string bomb =
      "a: is 64250 x 64250 pixels, 4128.1 megapixels; the cap is 200.0; scale the picture down";
  EXPECT_EQ(message_for(jpeg_declaring(64250, 64250), "a"), bomb);
  EXPECT_EQ(message_for(png_declaring(64250, 64250), "a"), bomb);
  EXPECT_EQ(message_for(bytes_of("P6 64250 64250 255 "), "a"), bomb);
  FileBytes bitmap = encoded(".bmp", noise(8, 8));
  for (const std::size_t at : {18u, 22u}) {
    const FileBytes edge = little_endian(64250);
    std::copy(edge.begin(), edge.end(), bitmap.begin() + static_cast<std::ptrdiff_t>(at));
  }
  EXPECT_EQ(message_for(bitmap, "a"), bomb);
  for (const char* kind : {".tiff", ".webp"})
    EXPECT_EQ(
        message_for(encoded(kind, noise(20, 10)), "a", {199}),
        "a: is 20 x 10 pixels, 0.0 megapixels; the cap is 0.0; scale the picture down, or raise the cap with "
        "--max-megapixels");
  EXPECT_EQ(message_for(encoded(".png", noise(20, 10)), "a", {200}), "");
}

TEST(PictureErrors, EdgesThatAreTooLong) {
  EXPECT_EQ(
      message_for(png_declaring(1048577, 1), "a"),
      "a: is 1048577 x 1 pixels; no edge may be longer than 1048576; cut the picture to the part you need");
  EXPECT_EQ(message_for(png_declaring(0x7fffffff, 0x7fffffff), "a").substr(0, 38),
            "a: is 2147483647 x 2147483647 pixels, ");
}

TEST(PictureErrors, NoPixels) {
  EXPECT_EQ(message_for(png_declaring(0, 5), "a"),
            "a: has no pixels: it is 0 x 5; copy or export the picture again");
  EXPECT_EQ(message_for(bytes_of("P5 5 0 255 "), "a"),
            "a: has no pixels: it is 5 x 0; copy or export the picture again");
}

TEST(PictureErrors, NothingIsPrinted) {
  ::testing::internal::CaptureStderr();
  ::testing::internal::CaptureStdout();
  for (const char* kind :
       {".png", ".jpg", ".bmp", ".ppm", ".webp", ".tiff", ".jp2", ".hdr", ".pfm", ".ras", ".pam"}) {
    const FileBytes whole = encoded(kind, noise(64, 48));
    message_for(shortened(whole, whole.size() / 2), "a");
  }
  EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");
  EXPECT_EQ(::testing::internal::GetCapturedStdout(), "");
}

}  // namespace
}  // namespace powderplan::testing
