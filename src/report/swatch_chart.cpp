#include "report/swatch_chart.h"

#include <fmt/format.h>

#include <string>

#include "colour/observer.h"
#include "optics/swatch.h"
#include "parallel.h"
#include "raster/png.h"
#include "recipe/painter.h"
#include "report/canvas.h"

namespace powderplan {
namespace {

// Pixels.
constexpr double margin = 56, name_width = 330, field_width = 31, field_height = 40, row_height = 46;
constexpr double gap_in_sheet = 14, gap_of_sheets = 34;
constexpr std::size_t fields = chart_loads.size() + 1;  // the bare sheet first
constexpr double group_width = fields * field_width;
constexpr double sheet_width = 2 * group_width + gap_in_sheet;
constexpr double head_height = 164, column_head_height = 118;
constexpr Rgb8 black{0, 0, 0}, grey{90, 90, 90}, light{205, 205, 205};
constexpr std::array views{View::wall, View::window};

// What one powder looks like on one sheet: wall fields, then window fields.
using Row = std::array<Rgb8, 2 * fields>;

Row row_of(const Palette& palette, std::size_t powder, const Sheet& sheet, const Observer& observer) {
  Row row;
  for (std::size_t v = 0; v < views.size(); ++v) {
    const Ground ground = ground_of(sheet, palette.glass.density, views[v], Spectrum::constant(white_ground));
    const Painter painter(palette, ground, flow_for(Finish::full, palette.powders[powder].optics.grain),
                          observer);
    for (std::size_t i = 0; i < fields; ++i) {
      const Recipe recipe = i == 0 ? Recipe{} : Recipe{{powder, chart_loads[i - 1]}};
      row[v * fields + i] = to_rgb8(to_linear_rgb(painter.xyz(recipe)));
    }
  }
  return row;
}

double left_of_sheet(std::size_t sheet) {
  return margin + name_width + static_cast<double>(sheet) * (sheet_width + gap_of_sheets);
}

void draw_head(Canvas& canvas, const Palette& palette) {
  const double width = left_of_sheet(palette.sheets.size()) - gap_of_sheets - margin;
  canvas.text_within(margin, margin + 30, width, palette.name.empty() ? "Palette" : palette.name,
                     {.size = 38, .weight = Weight::bold});
  std::string facts = fmt::format("{} powders, {} sheets", palette.powders.size(), palette.sheets.size());
  if (!palette.family.empty())
    facts += ", expansion " + palette.family;
  canvas.text_within(margin, margin + 62, width, palette.note.empty() ? facts : facts + ". " + palette.note,
                     {.size = 17});
  canvas.text_within(
      margin, margin + 86, width,
      "Fired flat, as predicted in daylight (D65). Above the fields: powder in g/cm\u00b2, 0 is bare sheet.",
      {.size = 17});
}

void draw_sheet_head(Canvas& canvas, const Sheet& sheet, double left) {
  const double top = head_height;
  canvas.fill(left, top, sheet_width, 4, black);
  canvas.text_within(left, top + 28, sheet_width, sheet.name, {.size = 21, .weight = Weight::bold});
  canvas.text_within(left, top + 48, sheet_width,
                     fmt::format("{}, {}, {:g} mm", sheet.id, name_of(sheet.body), sheet.thickness.value()),
                     {.size = 14, .colour = grey});
  for (std::size_t v = 0; v < views.size(); ++v) {
    const double x = left + static_cast<double>(v) * (group_width + gap_in_sheet);
    canvas.text_within(x, top + 78, group_width,
                       views[v] == View::wall ? "wall, on white" : "window, light behind", {.size = 15});
    for (std::size_t i = 0; i < fields; ++i)
      canvas.text(x + (static_cast<double>(i) + 0.5) * field_width, top + 104,
                  i == 0 ? "0" : fmt::format("{:g}", chart_loads[i - 1].value()),
                  {.size = 11.5, .align = Align::centre});
  }
}

void draw_name(Canvas& canvas, const Powder& powder, double top) {
  canvas.text_within(margin, top + 18, name_width - 16, powder.name, {.size = 18, .weight = Weight::bold});
  canvas.text_within(margin, top + 36, name_width - 16,
                     fmt::format("{}, {}", powder.id, name_of(powder.body)), {.size = 13, .colour = grey});
}

}  // namespace

Image<Rgb8> swatch_chart(const Palette& palette) {
  const Observer observer(illuminant_d65());
  const std::size_t sheets = palette.sheets.size();
  std::vector<Row> rows(palette.powders.size() * sheets);
  for_each_block(rows.size(), [&](std::size_t i) {
    rows[i] = row_of(palette, i / sheets, palette.sheets[i % sheets], observer);
  });

  const double first = head_height + column_head_height;
  const double width = left_of_sheet(sheets) - gap_of_sheets + margin;
  const double height = first + static_cast<double>(palette.powders.size()) * row_height + margin;
  Canvas canvas(static_cast<int>(width), static_cast<int>(height));
  draw_head(canvas, palette);
  for (std::size_t s = 0; s < sheets; ++s)
    draw_sheet_head(canvas, palette.sheets[s], left_of_sheet(s));
  for (std::size_t p = 0; p < palette.powders.size(); ++p) {
    const double top = first + static_cast<double>(p) * row_height;
    canvas.fill(margin, top - 3, width - 2 * margin, 1, light);
    draw_name(canvas, palette.powders[p], top);
    for (std::size_t s = 0; s < sheets; ++s) {
      const Row& row = rows[p * sheets + s];
      for (std::size_t i = 0; i < row.size(); ++i)
        canvas.fill(
            left_of_sheet(s) + static_cast<double>(i) * field_width + (i >= fields ? gap_in_sheet : 0), top,
            field_width, field_height, row[i]);
      // A hair around each group: white on white paper needs an edge.
      for (std::size_t v = 0; v < views.size(); ++v)
        canvas.frame(left_of_sheet(s) + static_cast<double>(v) * (group_width + gap_in_sheet), top,
                     group_width, field_height, 1, light);
    }
  }
  return canvas.image();
}

std::vector<std::uint8_t> swatch_chart_png(const Palette& palette) {
  return encode_png(swatch_chart(palette), chart_pitch);
}

}  // namespace powderplan
