// The built program and everything that can be wrong with what it is given: one line that says where, the
// exit code, and nothing left behind.
#include <fmt/format.h>
#include <unistd.h>
#include <zlib.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <set>

#include "app/workbench.h"

namespace powderplan::testing {
namespace {

using Words = std::vector<std::string>;

Words plan_of(const std::string& image) {
  return {"plan", image, "--palette", "shelf.toml", "--width", "40"};
}

Words operator+(Words a, const Words& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

std::string encoded(const char* ending) {
  std::vector<std::uint8_t> bytes;
  cv::imencode(ending, cv::Mat(32, 32, CV_8UC3, cv::Scalar(40, 90, 200)), bytes);
  return {bytes.begin(), bytes.end()};
}

constexpr std::uint16_t far_too_large = 64250;

void put_big_endian(std::string& bytes, std::size_t at, std::size_t count, std::uint32_t value) {
  for (std::size_t i = 0; i < count; ++i)
    bytes[at + i] = static_cast<char>(value >> (8 * (count - 1 - i)));
}

// PNG third edition, 11.2.1: IHDR begins at byte 8, its width at 16 and height at 20, its CRC at 29.
std::string huge_png() {
  std::string bytes = encoded(".png");
  put_big_endian(bytes, 16, 4, far_too_large);
  put_big_endian(bytes, 20, 4, far_too_large);
  put_big_endian(bytes, 29, 4,
                 static_cast<std::uint32_t>(crc32(0, reinterpret_cast<const Bytef*>(bytes.data()) + 12, 17)));
  return bytes;
}

// ITU-T T.81, B.2.2: after the SOF0 marker come length (2), precision (1), lines (2), samples a line (2).
std::string huge_jpeg() {
  std::string bytes = encoded(".jpg");
  const std::size_t frame = bytes.find("\xff\xc0");
  put_big_endian(bytes, frame + 5, 2, far_too_large);
  put_big_endian(bytes, frame + 7, 2, far_too_large);
  return bytes;
}

TEST(BadInput, Pictures) {
  const Workbench at;
  at.write("empty.png", "");
  at.write("letter.png", "Dear client,\n");
  at.write("half.png", text_of_file(at.bench() / "tile.png").substr(0, 5000));
  at.write("half.jpg", encoded(".jpg").substr(0, 400));
  at.write("huge.png", huge_png());
  at.write("huge.jpg", huge_jpeg());
  fs::create_directory(at.bench() / "photos");

  expect_refused(at, plan_of("heron.png"), 3,
                 "powderplan: heron.png: no such file; check the name and the folder");
  expect_refused(at, plan_of("photos"), 3,
                 "powderplan: photos: is a folder, not a picture; name one picture in it");
  expect_refused(at, plan_of("empty.png"), 3,
                 "powderplan: empty.png: is empty; copy or export the picture again");
  expect_refused(
      at, plan_of("letter.png"), 3,
      "powderplan: letter.png: is not a picture; it looks like text; give a PNG, JPEG, TIFF, WebP, BMP or "
      "PNM picture");
  expect_refused(
      at, plan_of("half.png"), 3,
      "powderplan: half.png: is cut short: part of the picture is missing; copy or export the picture again");
  expect_refused(
      at, plan_of("half.jpg"), 3,
      "powderplan: half.jpg: is cut short: part of the picture is missing; copy or export the picture again");
  expect_refused(at, plan_of("huge.png"), 3,
                 "powderplan: huge.png: is 64250 x 64250 pixels, 4128.1 megapixels; the cap is 200.0; scale "
                 "the picture down");
  expect_refused(at, plan_of("huge.jpg"), 3,
                 "powderplan: huge.jpg: is 64250 x 64250 pixels, 4128.1 megapixels; the cap is 200.0; scale "
                 "the picture down");
  expect_refused(at, plan_of("tile.png") + Words{"--max-megapixels", "0.1"}, 3,
                 "powderplan: tile.png: is 960 x 960 pixels, 0.9 megapixels; the cap is 0.1; scale the "
                 "picture down, or raise the cap with --max-megapixels");
}

TEST(BadInput, Palettes) {
  const Workbench at;
  const std::string shelf = text_of_file(at.bench() / "shelf.toml");
  const auto changed = [&](const std::string& what, const std::string& into) {
    std::string text = shelf;
    text.replace(text.find(what), what.size(), into);
    return text;
  };
  const auto line_with = [&](const std::string& what) {
    const std::size_t at_byte = shelf.find(what);
    return fmt::format(
        ":{}", 1 + std::count(shelf.begin(), shelf.begin() + static_cast<std::ptrdiff_t>(at_byte), '\n'));
  };
  const auto expect = [&](const std::string& text, const std::string& place, const std::string& rest) {
    at.write("bad shelf.toml", text);
    for (const Words& words : {Words{"plan", "tile.png", "--palette", "bad shelf.toml", "--width", "40"},
                               Words{"palette", "bad shelf.toml", "--out", "chart.png"}})
      expect_refused(at, words, 3, fmt::format("powderplan: bad shelf.toml{}: {}", place, rest));
  };

  expect(changed("over_white = \"#f0efea\"", "over_white = \"chalk\""), line_with("over_white = \"#f0efea\""),
         "[[powder]] saltpan-white: 'over_white' is \"chalk\", not a colour; write it as \"#rrggbb\", e.g. "
         "\"#c8a040\"");
  expect(changed("id = \"heron-grey\"", "id = \"saltpan-white\""), line_with("id = \"heron-grey\""),
         "[[powder]] number 2: id \"saltpan-white\" is used twice; give each its own id");
  expect(changed("load = 0.40", "load = nan"), line_with("load = 0.40"),
         "[[powder]] saltpan-white: 'load' is nan; it must be 0.001 to 5");
  expect(changed("grain_mm = 0.09", "grian_mm = 0.09"), line_with("grain_mm = 0.09"),
         "[[powder]] saltpan-white: unknown key 'grian_mm'; did you mean 'grain_mm'?");
  expect("[palette]\nname = \"bare\"\n", "", "the palette has no powders; add at least one [[powder]]");
  expect(std::string("\xff\xfe [palette]\n", 13), ":1", "is no text in UTF-8; save it as UTF-8 text");
  expect("[palette\n", ":1", "\"[palette\" is no whole heading; write [name] or [[name]], alone on its line");
  expect_refused(at, {"palette", "none.toml"}, 3,
                 "powderplan: none.toml: no such file; check the name and the folder");
}

TEST(BadInput, PieceFiles) {
  const Workbench at;
  at.write("piece.toml", "[piece]\nimage = \"tile.png\"\npalette = \"shelf.toml\"\nwidth_mm = 0\n");
  expect_refused(at, {"plan", "--piece", "piece.toml"}, 3,
                 "powderplan: piece.toml:4: [piece]: 'width_mm' is 0; it must be 1 to 5000 mm");
  at.write("piece.toml",
           "[piece]\nimage = \"tile.png\"\npalette = \"shelf.toml\"\nwidth_mm = 40\n"
           "[limits]\nuse = [\"moon-dust\"]\n");
  expect_refused(
      at, {"plan", "--piece", "piece.toml"}, 3,
      "powderplan: piece.toml:6: [limits]: 'use': no powder \"moon-dust\" on the shelf; the shelf has "
      "saltpan-white, heron-grey, creek-black, mud-umber, sorrel-red, reed-gold, sedge-green, tide-blue");
  at.write("piece.toml",
           "[piece]\nimage = \"tile.png\"\npalette = \"shelf.toml\"\nwidth_mm = 40\nbase = \"blue\"\n");
  expect_refused(
      at, {"plan", "--piece", "piece.toml"}, 3,
      "powderplan: piece.toml:5: [piece]: 'base': no sheet \"blue\" on the shelf; the shelf has clear, "
      "white, black; or use auto");
  expect_refused(at, {"plan", "--piece", "nowhere/piece.toml"}, 3,
                 "powderplan: nowhere/piece.toml: no such file; check the name and the folder");
}

TEST(BadInput, Numbers) {
  const Workbench at;
  const Words most{"plan", "tile.png", "--palette", "shelf.toml", "--width"};
  for (const char* number : {"0", "-5", "nan", "inf", "-inf", "1e9", "1e999", "0.0001"})
    expect_refused(at, most + Words{number}, 2,
                   fmt::format("powderplan: --width: {} is out of range; it must be 1 to 5000 mm", number));
  for (const char* number : {"wide", "300mm", "0x20", "3,5", " 3"})
    expect_refused(
        at, most + Words{number}, 2,
        fmt::format("powderplan: --width: \"{}\" is no number; give a number, 1 to 5000 mm", number));
  expect_refused(at, most + Words{""}, 2,
                 "powderplan: --width: its value is empty; fill it in or leave it out");
  expect_refused(at, plan_of("tile.png") + Words{"--threads", "-1"}, 2,
                 "powderplan: --threads: -1 is out of range; it must be 1 to 256");
}

TEST(BadInput, LimitsThatCannotBeMet) {
  const Workbench at;
  expect_refused(
      at, plan_of("tile.png") + Words{"--layers", "1", "--use", "tide-blue,reed-gold"}, 4,
      "powderplan: --use: 2 powders are forced into 1 layers; allow --layers 2 and as many powders");
  expect_refused(
      at, plan_of("tile.png") + Words{"--load", "0.01", "--least-layer-load", "0.1"}, 4,
      "powderplan: --load: a firing may carry 0.01 g/cm2, less than the lightest layer, 0.1 g/cm2; allow "
      "--load 0.1");
  const Words both = plan_of("tile.png") + Words{"--use", "tide-blue,reed-gold"};
  expect_refused(
      at, both + Words{"--firings", "2", "--in-firing", "tide-blue=3"}, 4,
      "powderplan: --in-firing: \"tide-blue\" is fixed to firing 3, but only 2 are allowed; allow --firings "
      "3, or give it an earlier one");
  expect_refused(
      at, both + Words{"--order", "tide-blue,reed-gold", "--in-firing", "tide-blue=2,reed-gold=1"}, 4,
      "powderplan: --in-firing: \"tide-blue\" is fixed to firing 2 and \"reed-gold\" to firing 1, but "
      "--order puts the first below the second; change one of the two firings, or the order");
  expect_refused(
      at, both + Words{"--in-firing", "tide-blue=1,reed-gold=1", "--finish-of", "tide-blue=tack"}, 4,
      "powderplan: --in-firing: \"reed-gold\" is fixed to firing 1 with a full finish and \"tide-blue\" to "
      "firing 1 with tack, whose texture that would melt; give the hotter one an earlier firing");
  expect_refused(
      at, both + Words{"--order", "tide-blue,reed-gold", "--finish-of", "tide-blue=tack"}, 4,
      "powderplan: --finish-of: \"tide-blue\" with a tack finish is to lie below \"reed-gold\" with full, "
      "and both must be in the plan, but the heat of the second would melt the texture of the first; change "
      "one of the two finishes, or the order");
  at.write("piece.toml",
           "[piece]\nimage = \"tile.png\"\npalette = \"shelf.toml\"\nwidth_mm = 40\n"
           "[firing]\nin_firing = [\"tide-blue=3\"]\n");
  expect_refused(
      at, {"plan", "--piece", "piece.toml", "--firings", "2"}, 4,
      "powderplan: piece.toml:6: [firing]: 'in_firing': \"tide-blue\" is fixed to firing 3, but only 2 are "
      "allowed; allow --firings 3, or give it an earlier one");
}

// Two powders that must be there and lay more together than one firing may carry. How many firings their
// layers take depends on the planner; the number that is named is enough.
TEST(BadInput, TooFewFiringsForTheLoad) {
  const Workbench at;
  const Words heavy =
      plan_of("tile.png") + Words{"--use", "tide-blue,reed-gold", "--techniques", "stencil",  "--load",
                                  "0.15",  "--least-layer-load",  "0.1",          "--raised", "never"};
  const auto before = at.listing();
  const Ended ended = at.run(heavy + Words{"--firings", "1"});
  EXPECT_EQ(ended.code, 4);
  EXPECT_TRUE(at.listing() == before);
  int firings = 0;
  // NOLINTNEXTLINE(cert-err34-c): a number of firings, of our own message
  ASSERT_EQ(std::sscanf(ended.err.c_str(),
                        "powderplan: --firings: what is asked for needs %d firings, more than the 1 allowed;",
                        &firings),
            1)
      << ended.err;
  EXPECT_GE(firings, 2);
  const std::string said = fmt::format("; allow --firings {0}; colours: {0} firings ", firings);
  EXPECT_NE(ended.err.find(said), std::string::npos) << ended.err;
  EXPECT_TRUE(ended.err.ends_with(" (mean CIEDE2000, about)\n")) << ended.err;
  EXPECT_EQ(at.run(heavy + Words{"--firings", std::to_string(firings)}).code, 0);
  const auto plan = nlohmann::json::parse(text_of_file(at.bench() / "tile-plan" / "plan.json"));
  std::set<std::string> powders;
  for (const auto& layer : plan.at("layers"))
    powders.insert(layer.at("powder").get<std::string>());
  EXPECT_TRUE(powders.contains("tide-blue") && powders.contains("reed-gold"));
  // What can be met: stencils of all the picture in one firing, none on spacers.
  EXPECT_EQ(at.run(plan_of("tile.png") + Words{"--firings", "1", "--raised", "never", "--out", "one"}).code,
            0);
}

TEST(BadInput, WhereThePlanGoes) {
  const Workbench at;
  const Words plan = plan_of("tile.png");
  fs::create_directory(at.bench() / "tile-plan");
  at.write("tile-plan/notes.txt", "mine");
  at.write("letter", "mine");
  expect_refused(at, plan, 2,
                 "powderplan: BENCH/tile-plan: is already there; choose another name, or say --replace");
  expect_refused(
      at, plan + Words{"--replace"}, 2,
      "powderplan: BENCH/tile-plan: holds \"notes.txt\", which is no part of a plan, and so is not "
      "replaced; choose another name for the plan");
  expect_refused(at, plan + Words{"--out", "letter", "--replace"}, 2,
                 "powderplan: BENCH/letter: is there and is no folder; choose another name for the plan");
  expect_refused(at, plan + Words{"--out", "letter/plan"}, 1,
                 "powderplan: BENCH/letter: is no folder; make it first, or choose another place for it");
  expect_refused(at, plan + Words{"--out", "no/where"}, 1,
                 "powderplan: BENCH/no: is no folder; make it first, or choose another place for it");
  // The system's own word is in the message, and it has another one for who may not even try.
  const std::string why = std::strerror(geteuid() == 0 ? ENOENT : EACCES);
  expect_refused(at, plan + Words{"--out", "/proc/plan"}, 1,
                 "powderplan: /proc: cannot be written (" + why +
                     "); choose another place with --out, or change its permissions");
  expect_refused(at, plan + Words{"--out", "/"}, 2,
                 "powderplan: /: is no name for a plan folder; name a new folder, e.g. --out plan");
}

TEST(BadInput, WhereTheChartGoes) {
  const Workbench at;
  at.write("chart.png", "mine");
  fs::create_directory(at.bench() / "folder.png");
  expect_refused(at, {"palette", "shelf.toml", "--out", "chart.png"}, 2,
                 "powderplan: chart.png: is already there; choose another name, or say --replace");
  expect_refused(at, {"palette", "shelf.toml", "--out", "shelf.toml", "--replace"}, 2,
                 "powderplan: shelf.toml: does not end in .png; choose another name");
  expect_refused(at, {"palette", "shelf.toml", "--out", "folder.png", "--replace"}, 2,
                 "powderplan: folder.png: is there and is no file; choose another name");
  expect_refused(at, {"palette", "shelf.toml", "--out", "chart.png/a.png"}, 1,
                 "powderplan: BENCH/chart.png: is no folder; make it first, or choose another place");
}

}  // namespace
}  // namespace powderplan::testing
