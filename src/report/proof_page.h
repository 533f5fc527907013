// A page in millimetres that is drawn once and comes out as PDF or as a picture.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "report/canvas.h"
#include "report/pdf_document.h"

namespace powderplan {

// Places and lengths as of PdfDocument.
class ProofPage {
 public:
  virtual ~ProofPage() = default;
  virtual void text_within(PointMm place, double width, const std::string& utf8, const PageText& style) = 0;
  // Returns the baseline after the last line.
  virtual double paragraph(PointMm place, double width, const std::string& utf8, const PageText& style) = 0;
  virtual double paragraph_height(double width, const std::string& utf8, const PageText& style) = 0;
  virtual void line(PointMm from, PointMm to, double width, double grey) = 0;
  virtual void picture(const BoxMm& box, const Image<Rgb8>& picture) = 0;
};

class PdfProofPage : public ProofPage {
 public:
  PdfProofPage(const std::string& title, Millimetres width, Millimetres height);
  void text_within(PointMm place, double width, const std::string& utf8, const PageText& style) override;
  double paragraph(PointMm place, double width, const std::string& utf8, const PageText& style) override;
  double paragraph_height(double width, const std::string& utf8, const PageText& style) override;
  void line(PointMm from, PointMm to, double width, double grey) override;
  void picture(const BoxMm& box, const Image<Rgb8>& picture) override;
  std::vector<std::uint8_t> bytes() { return document_.bytes(); }

 private:
  PdfDocument document_;
};

class PictureProofPage : public ProofPage {
 public:
  PictureProofPage(Millimetres width, Millimetres height, Millimetres pitch);
  void text_within(PointMm place, double width, const std::string& utf8, const PageText& style) override;
  double paragraph(PointMm place, double width, const std::string& utf8, const PageText& style) override;
  double paragraph_height(double width, const std::string& utf8, const PageText& style) override;
  void line(PointMm from, PointMm to, double width, double grey) override;
  // Its edges lie on whole pixels.
  void picture(const BoxMm& box, const Image<Rgb8>& picture) override;
  [[nodiscard]] Image<Rgb8> image() const { return canvas_.image(); }

 private:
  [[nodiscard]] TextStyle in_pixels(const PageText& style) const;
  double scale_;  // pixels a mm
  Canvas canvas_;
};

}  // namespace powderplan
