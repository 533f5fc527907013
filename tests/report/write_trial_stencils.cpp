// Writes the cut files of a made-up plan into a folder, for the checks from outside:
// write_trial_stencils FOLDER a4|letter
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "problem.h"
#include "raster/png.h"
#include "report/stencil_dxf.h"
#include "report/stencil_svg.h"
#include "report/templates_pdf.h"
#include "stencils.h"

namespace {

using namespace powderplan;
namespace fs = std::filesystem;

struct Drawn {
  std::string stem;
  Stencil stencil;
};

bool is_inside(const PolygonMm& shape, double x, double y) {
  bool inside = false;
  for (std::size_t i = 0; i < shape.size(); ++i) {
    const PointMm a = shape[i], b = shape[(i + 1) % shape.size()];
    if ((a.y <= y) != (b.y <= y) && x < a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
      inside = !inside;
  }
  return inside;
}

Image<std::uint16_t> amounts(const Stencil& stencil, double pitch) {
  Image<std::uint16_t> image(static_cast<int>(std::lround(stencil.width.value() / pitch)),
                             static_cast<int>(std::lround(stencil.height.value() / pitch)));
  for (int y = 0; y < image.height(); ++y) {
    for (int x = 0; x < image.width(); ++x) {
      for (const PolygonMm& opening : stencil.openings) {
        if (is_inside(opening, (x + 0.5) * pitch, (y + 0.5) * pitch))
          image.at(x, y) = 65535;
      }
    }
  }
  return image;
}

void write(const fs::path& file, std::string_view bytes) {
  std::ofstream out(file, std::ios::binary);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  if (!out.flush())
    throw Problem(ProblemKind::other, file.string(), "cannot be written", "free some space");
}

template <class Bytes>
std::string_view text_of(const Bytes& bytes) {
  return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

// A ring in three parts, between which bridges hold the middle.
Stencil ring(double width, double height) {
  Stencil stencil = fixture::sheet(width, height);
  const PolygonMm outer = fixture::lobed({width / 2, height / 2}, std::min(width, height) * 0.45, 2, 0.05);
  const std::size_t n = outer.size();
  for (std::size_t part = 0; part < 3; ++part) {
    PolygonMm piece;
    const std::size_t from = part * n / 3 + 2, to = (part + 1) * n / 3 - 2;
    for (std::size_t i = from; i <= to; ++i)
      piece.push_back(outer[i]);
    for (std::size_t i = to + 1; i-- > from;)
      piece.push_back(
          {width / 2 + (outer[i].x - width / 2) * 0.7, height / 2 + (outer[i].y - height / 2) * 0.7});
    stencil.openings.push_back(piece);
  }
  return stencil;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    std::fputs("write_trial_stencils FOLDER a4|letter\n", stderr);
    return 2;
  }
  try {
    const fs::path folder = argv[1];
    constexpr double width = 500, height = 640, pitch = 0.5;
    Stencil dot = fixture::sheet(width, height), flood = fixture::sheet(width, height);
    dot.openings = {fixture::lobed({450, 300}, 3, 1, 0)};
    // Nothing but opening on the page in the middle.
    flood.openings = {fixture::box_shape(5, 5, width - 5, height - 5)};
    const std::vector<Drawn> drawings{{"01-kelp-green", fixture::trial_stencil(width, height)},
                                      {"03-rust", ring(width, height)},
                                      {"04-dune-white", dot},
                                      {"05-dune-white", flood}};
    fs::remove_all(folder);
    fs::create_directories(folder / "layers");
    fs::create_directories(folder / "stencils");
    std::string layers = R"({"index": 2, "powder": "fade", "amount": "layers/02-fade.png", "stencil": null})";
    std::vector<StencilTemplate> templates;
    for (const Drawn& drawing : drawings) {
      const auto png = encode_png(amounts(drawing.stencil, pitch), Millimetres(pitch));
      write(folder / "layers" / (drawing.stem + ".png"), text_of(png));
      write(folder / "stencils" / (drawing.stem + ".svg"),
            stencil_svg(drawing.stencil, drawing.stem + " <&>"));
      write(folder / "stencils" / (drawing.stem + ".dxf"), stencil_dxf(drawing.stencil));
      layers += ",\n{\"index\": 1, \"powder\": \"x\", \"amount\": \"layers/" + drawing.stem +
                ".png\", \"stencil\": {}}";
      templates.push_back({drawing.stem, "This side up", drawing.stencil});
    }
    write(folder / "plan.json",
          "{\"schema\": 1, \"piece\": {\"title\": \"Trial\", \"width_mm\": 500, \"height_mm\": 640, "
          "\"smallest_mm\": 2.0}, \"grid\": {\"pitch_mm\": 0.5}, \"layers\": [" +
              layers + "]}\n");
    const Paper& paper = std::string_view(argv[2]) == "a4" ? paper_a4 : paper_letter;
    write(folder / "templates.pdf", text_of(templates_pdf(templates, paper, "Trial of cut files")));
  } catch (const std::exception& problem) {
    std::fprintf(stderr, "%s\n", problem.what());
    return 1;
  }
  return 0;
}
