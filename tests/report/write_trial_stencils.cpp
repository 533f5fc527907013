// Writes the cut files of a made-up plan into a folder, for the checks from outside:
// write_trial_stencils FOLDER a4|letter
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "layers/cut_stencil.h"
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
    // One shape that no turn but a whole one brings onto itself, and no mirror.
    Stencil turned = fixture::sheet(width, height);
    for (int i = 0; i < 6; ++i) {
      const int across = i % 3, down = i / 3;
      turned.openings.push_back(
          fixture::lobed({90.0 + 150 * across, 150.0 + 300 * down}, 22, 3, 0.2, 57.0 * i, 0.15));
    }
    const std::vector<Drawn> drawings{{"01-kelp-green", fixture::trial_stencil(width, height)},

                                      {"04-dune-white", dot},
                                      {"05-dune-white", flood},
                                      {"06-sea-lavender", turned}};
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
      CutStencil cut;
      cut.stencil = drawing.stencil;
      set_up_cutting(cut,
                     {.load = Load(0.1),
                      .narrowest = Millimetres(2),
                      .repeats = drawing.stem == "06-sea-lavender" ? RepeatUse::found : RepeatUse::never});
      std::string repeats;
      for (const RepeatTemplate& repeat : cut.repeats) {
        const std::string file =
            fmt::format("stencils/{}-repeat-{}", drawing.stem, &repeat - cut.repeats.data() + 1);
        write(folder / (file + ".svg"), stencil_svg(repeat.small, file));
        write(folder / (file + ".dxf"), stencil_dxf(repeat.small));
        std::string places;
        for (const RepeatPlace& place : repeat.repeat.places)
          places += fmt::format(R"({}{{"x_mm": {}, "y_mm": {}, "angle_deg": {}}})",
                                places.empty() ? "" : ", ", place.centre.x, place.centre.y, place.angle_deg);
        repeats +=
            fmt::format(R"({0}{{"file": "{1}.svg", "dxf": "{1}.dxf", "places": [{2}], "too_close": []}})",
                        repeats.empty() ? "" : ", ", file, places);
      }
      layers += fmt::format(
          ",\n{{\"index\": 1, \"powder\": \"x\", \"amount\": \"layers/{}.png\", \"stencil\": {{\"repeats\": "
          "[{}]}}}}",
          drawing.stem, repeats);
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
