// Text shaped by Pango, for the classes that draw with cairo: right-to-left scripts, ligatures, and letters
// that DejaVu Sans lacks from the typefaces that the computer has. For canvas.cpp and pdf_document.cpp.
#pragma once

#include <cairo.h>
#include <pango/pangocairo.h>

#include <memory>
#include <string>

#include "report/canvas.h"

namespace powderplan {

struct TextSetting {
  double size = 12;  // of the letters' em, in the pen's unit
  Weight weight = Weight::normal;
  double width = 0;  // lines are broken there, long words within; 0: all on one line
  Align align = Align::left;
};

// What is set: lines of text, measured, and drawn one by one. Lengths are in the pen's unit. In a text that
// begins from right to left, left and right change places.
class SetText {
 public:
  [[nodiscard]] std::size_t lines() const;
  [[nodiscard]] double width() const;  // of the widest line
  // Line `i` with its baseline at `y`; the left end of the line's room at `x`.
  void show(cairo_t* pen, std::size_t i, double x, double y) const;
  // As outlines, added to the pen's path.
  void outline(cairo_t* pen, std::size_t i, double x, double y) const;

 private:
  friend class Typesetter;
  using Layout = std::unique_ptr<PangoLayout, void (*)(void*)>;
  explicit SetText(Layout layout) : layout_(std::move(layout)) {}
  void place(cairo_t* pen, std::size_t i, double x, double y) const;
  Layout layout_;
};

// DejaVu Sans by name, without hinting, letters where they belong and not on whole pixels, and nothing of the
// user's desktop settings: only the folders where typefaces lie are taken from them.
class Typesetter {
 public:
  // Throws Problem (other) when there is no memory for it.
  Typesetter();
  // Text is UTF-8; what is not, and control characters, see plain_text.
  [[nodiscard]] SetText set(cairo_t* pen, const std::string& utf8, const TextSetting& setting) const;
  // Throws Problem (other) for anything that Pango does not take.
  [[nodiscard]] SetText set(cairo_t* pen, const Markup& text, const TextSetting& setting) const;

 private:
  [[nodiscard]] SetText::Layout layout(cairo_t* pen, const TextSetting& setting) const;

  std::unique_ptr<PangoFontMap, void (*)(void*)> fonts_;
  std::unique_ptr<PangoContext, void (*)(void*)> context_;
};

}  // namespace powderplan
