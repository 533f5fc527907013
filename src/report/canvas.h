// Drawing of charts: rectangles, lines, text and pictures on a white page (cairo; DejaVu Sans by Pango).
#pragma once

#include <memory>
#include <string>

#include "colour/tristimulus.h"
#include "raster/image.h"

namespace powderplan {

enum class Weight { normal, bold };
enum class Align { left, centre, right };

struct TextStyle {
  double size = 12;  // of the letters' em, pixels
  Weight weight = Weight::normal;
  Align align = Align::left;
  Rgb8 colour{0, 0, 0};
  double line_pitch = 1.32;  // of paragraphs, ems
};

// Text with Pango's markup: <b>, <small>, &amp; and the like.
struct Markup {
  std::string text;
};
// Plain text as markup that shows it as it is; see plain_text.
Markup marked(const std::string& utf8);

// All places and lengths are pixels, x to the right, y down. Edges of rectangles are sharp at whole pixels.
// The same calls give the same pixels, whatever the settings of the user's desktop.
class Canvas {
 public:
  // Throws Problem (other) when there is no memory for it.
  Canvas(int width, int height);
  ~Canvas();
  Canvas(const Canvas&) = delete;
  Canvas& operator=(const Canvas&) = delete;

  void fill(double x, double y, double width, double height, const Rgb8& colour);
  void frame(double x, double y, double width, double height, double thickness, const Rgb8& colour);
  void line(double x0, double y0, double x1, double y1, double thickness, const Rgb8& colour);
  // `y` is the baseline. Text is UTF-8; what is not is shown as a question mark.
  void text(double x, double y, const std::string& utf8, const TextStyle& style);
  // As wide as asked at most: cut, with an ellipsis, where it would be wider.
  void text_within(double x, double y, double width, const std::string& utf8, const TextStyle& style);
  [[nodiscard]] double text_width(const std::string& utf8, const TextStyle& style);
  // Words broken into lines, those too long for one within; returns the baseline after the last line.
  double paragraph(double x, double y, double width, const std::string& utf8, const TextStyle& style);
  double paragraph(double x, double y, double width, const Markup& text, const TextStyle& style);
  // How much further down it ends, without drawing it.
  [[nodiscard]] double paragraph_height(double width, const std::string& utf8, const TextStyle& style);
  [[nodiscard]] double paragraph_height(double width, const Markup& text, const TextStyle& style);
  // One pixel of the picture to one of the canvas.
  void picture(int x, int y, const Image<Rgb8>& picture);

  [[nodiscard]] Image<Rgb8> image() const;

 private:
  struct Surface;
  std::unique_ptr<Surface> surface_;
};

}  // namespace powderplan
