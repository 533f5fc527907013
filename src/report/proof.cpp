#include "report/proof.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "report/canvas.h"
#include "report/preview.h"
#include "report/stage.h"

namespace powderplan {
namespace {

// Pixels at proof_pitch; the page is ISO 216 A4.
constexpr int page_width = 1240, page_height = 1754;
constexpr int margin = 90, inner = page_width - 2 * margin;
constexpr int picture_top = 250, tallest_picture = 800;
constexpr double close_up_mm = 60, close_up_height_mm = 40;
constexpr Rgb8 black{0, 0, 0}, grey{95, 95, 95}, line_grey{150, 150, 150};

// A picture resampled to a size by its nearest points: for pictures that become larger.
Image<Rgb8> enlarged(const Image<Rgb8>& picture, int width, int height) {
  Image<Rgb8> out(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      out.at(x, y) = picture.at(x * picture.width() / width, y * picture.height() / height);
  }
  return out;
}

// As large as the space on the page allows.
Image<Rgb8> fitted_to_page(const Image<Rgb8>& piece) {
  const double scale = std::min(static_cast<double>(inner) / piece.width(),
                                static_cast<double>(tallest_picture) / piece.height());
  const int width = std::max(1, static_cast<int>(piece.width() * scale));
  if (scale <= 1)
    return shrunk(piece, width);
  return enlarged(piece, width, std::max(1, static_cast<int>(piece.height() * scale)));
}

// The part of the piece with the most going on, as large as it will be.
Image<Rgb8> close_up(const PlanRecord& record, const Image<Rgb8>& piece) {
  const double pitch = record.separation.grid.pitch.value();
  const int width = std::clamp(static_cast<int>(close_up_mm / pitch), 1, piece.width());
  const int height = std::clamp(static_cast<int>(close_up_height_mm / pitch), 1, piece.height());
  int best_x = 0, best_y = 0;
  long most = -1;
  const int step = std::max(1, width / 4);
  for (int top = 0; top + height <= piece.height(); top += step) {
    for (int left = 0; left + width <= piece.width(); left += step) {
      long edges = 0;
      for (int y = top; y < top + height; y += 2) {
        for (int x = left; x + 2 < left + width; x += 2)
          edges += piece.at(x, y) != piece.at(x + 2, y) ? 1 : 0;
      }
      if (edges > most) {
        most = edges;
        best_x = left;
        best_y = top;
      }
    }
  }
  Image<Rgb8> part(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      part.at(x, y) = piece.at(best_x + x, best_y + y);
  }
  const double zoom = pitch / proof_pitch.value();
  return enlarged(part, std::max(1, static_cast<int>(std::lround(width * zoom))),
                  std::max(1, static_cast<int>(std::lround(height * zoom))));
}

// Words broken into lines of at most this width; returns the place below the last.
double paragraph(Canvas& canvas, double x, double y, double width, const std::string& text,
                 const TextStyle& style) {
  std::istringstream words(text);
  std::string word, line;
  while (words >> word) {
    const std::string longer = line.empty() ? word : line + " " + word;
    if (!line.empty() && canvas.text_width(longer, style) > width) {
      canvas.text(x, y, line, style);
      y += style.size * 1.4;
      line = word;
    } else {
      line = longer;
    }
  }
  canvas.text_within(x, y, width, line, style);
  return y + style.size * 1.4;
}

std::string accuracy_words(const Fidelity& fidelity) {
  std::string words = fmt::format(
      "Colours are computed. Spot for spot the piece will differ from the picture it is made after by a "
      "colour "
      "difference of about {:.0f} on average; 1 can just be told apart side by side, 10 is plainly another "
      "colour.",
      std::max(1.0, fidelity.mean_de00));
  if (fidelity.expected_de00 > 0)
    words += fmt::format(" The powders themselves are known to about {:.0f}.", fidelity.expected_de00);
  return words;
}

}  // namespace

Image<Rgb8> proof(const PlanRecord& record) {
  Canvas canvas(page_width, page_height);
  const Sheet& sheet = sheet_of(record);
  canvas.text(margin, margin + 12, "Proof of a piece in fused glass powder", {.size = 22, .colour = grey});
  canvas.text_within(margin, margin + 72, inner, record.title, {.size = 50, .weight = Weight::bold});
  canvas.text_within(margin, margin + 118, inner,
                     fmt::format("{:.0f} \u00d7 {:.0f} mm, on {}, {} mm thick, {}", record.width.value(),
                                 record.height.value(), sheet.name, sheet.thickness.value(),
                                 record.view == View::wall ? "to hang on a wall" : "to hang in a window"),
                     {.size = 24});

  const Image<Rgb8> piece = fired_preview(record, record.view);
  const Image<Rgb8> shown = fitted_to_page(piece);
  const int left = margin + (inner - shown.width()) / 2;
  canvas.picture(left, picture_top, shown);
  canvas.frame(left, picture_top, shown.width(), shown.height(), 1, line_grey);

  double y = picture_top + shown.height() + 60;
  const Image<Rgb8> part = close_up(record, piece);
  canvas.picture(margin, static_cast<int>(y), part);
  canvas.frame(margin, std::floor(y), part.width(), part.height(), 1, line_grey);
  canvas.text(margin, y + part.height() + 24, "A part of it at true size on A4 paper",
              {.size = 17, .colour = grey});

  const double x = margin + std::max(part.width(), 340) + 50, width = page_width - margin - x;
  const TextStyle words{.size = 20};
  const std::size_t firings = record.firing_plan.firings.size();
  double text_y = y + 18;
  text_y = paragraph(canvas, x, text_y, width,
                     fmt::format("{} powders in {} layers, {} {} of the kiln; the last leaves a {} finish.",
                                 record.separation.choice.size(), record.layers.size(), firings,
                                 firings == 1 ? "firing" : "firings",
                                 firings == 0 ? "plain" : name_of(record.firing_plan.firings.back().finish)),
                     words);
  text_y = paragraph(canvas, x, text_y + 12, width, accuracy_words(record.fidelity), words);
  text_y = paragraph(
      canvas, x, text_y + 12, width,
      "Powder is sifted by hand: edges soften a little, grain shows where a layer is thin, and no two "
      "pieces are quite alike. Screens and printers show glass only roughly; a test tile settles what "
      "matters most.",
      words);

  const double sign = page_height - margin - 30;
  canvas.line(margin, sign, margin + 480, sign, 2, black);
  canvas.text(margin, sign + 26, "Agreed, name and date", {.size = 17, .colour = grey});
  canvas.line(page_width - margin - 480, sign, page_width - margin, sign, 2, black);
  canvas.text(page_width - margin - 480, sign + 26, "For the studio", {.size = 17, .colour = grey});
  return canvas.image();
}

}  // namespace powderplan
