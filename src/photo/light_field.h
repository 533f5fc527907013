// How light falls on the card: what bare white paper would show at each place, from the pieces of it that are
// seen.
#pragma once

#include <array>
#include <vector>

#include "colour/tristimulus.h"
#include "photo/card.h"
#include "photo/photo_light.h"

namespace powderplan {

// A small piece of bare paper.
struct PaperPiece {
  PointMm place;
  LinearRgb light;        // the median over the piece: print and specks on less than half of it do not count
  std::size_t group = 0;  // pieces that lie close together have the same
};

struct PaperSeen {
  std::vector<PaperPiece> pieces;  // those with nothing clipped, inside the photo
  double clipped = 0;              // share of all pieces that were left out as clipped
  double outside = 0;              // share that lies outside the photo
};

// From the white boxes of the card and the paper about its marks. `blur_mm`, the width of an edge, is kept
// from the borders.
PaperSeen paper_seen(const Image<LinearPixel>& photo, const FlatView& view, const CardLayout& card,
                     double blur_mm);

// A polynomial in the logarithm of each channel. The degree is the one that best foretells groups of pieces
// that it was not fitted to: up to 4 for lightness, up to 2 for colour. Robust: pieces that are off (shadow,
// print, dirt, glare) lose their say (Tukey's biweight; Holland and Welsch 1977, from memory).
class LightField {
 public:
  // At least one piece.
  LightField(const std::vector<PaperPiece>& pieces, const CardLayout& card);

  [[nodiscard]] LinearRgb at(PointMm place) const;

  // What the fit leaves, of the light of green, as a share: 1.4826 times the median of its amounts, less the
  // noise between neighbouring pieces.
  [[nodiscard]] double uneven() const { return uneven_; }
  // Share of the pieces that are further off than `piece_off`.
  [[nodiscard]] double off() const { return off_; }
  static constexpr double piece_off = 0.05;
  [[nodiscard]] int degree() const { return channels_[1].degree; }

  // A polynomial in x and y, its terms by rising degree.
  struct Surface {
    int degree = 0;
    std::vector<double> terms;
  };

 private:
  // Green, then red less green and blue less green, in logarithms.
  std::array<Surface, 3> channels_;
  PointMm centre_;
  double reach_x_ = 1, reach_y_ = 1;
  double uneven_ = 0, off_ = 0;
};

}  // namespace powderplan
