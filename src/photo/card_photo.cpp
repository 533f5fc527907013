#include "photo/card_photo.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "parallel.h"
#include "photo/field_reading.h"
#include "photo/find_marks.h"
#include "photo/light_field.h"
#include "photo/photo_judge.h"
#include "photo/photo_light.h"
#include "photo/white_balance.h"
#include "problem.h"

namespace powderplan {
namespace {

constexpr double field_piece = 1.5;  // mm
constexpr int pieces_across = 4;     // at least, where the photo is fine enough
constexpr double least_piece = 0.5;  // mm
// Share of a piece. Grains beside each other clip here and there once a JPEG has spread their colours; glare
// clips whole pieces.
constexpr double most_clipped_of_piece = 0.12;
constexpr double nothing = 0.0009;  // a channel below code 3 of 255 has lost its value
// Photos halve the resolution of colour: so many pixels about an edge have the neighbour's.
constexpr double colour_bleed_px = 3;

LinearRgb share_of(const LinearRgb& light, const LinearRgb& white) {
  return {light.r / white.r, light.g / white.g, light.b / white.b};
}
PointMm middle_of(const BoxMm& box) {
  return {(box.left + box.right) / 2, (box.top + box.bottom) / 2};
}

// The grid of an area: its size in points.
std::array<int, 2> points_of(const BoxMm& area, Millimetres pitch) {
  const auto count = [&](double length) {
    return std::max(1, static_cast<int>(std::lround(length / pitch.value())));
  };
  return {count(area.right - area.left), count(area.bottom - area.top)};
}
BoxMm point_box(const BoxMm& area, Millimetres pitch, int x, int y) {
  const double left = area.left + x * pitch.value(), top = area.top + y * pitch.value();
  return {left, top, left + pitch.value(), top + pitch.value()};
}

FoundMarks marks_of(const Picture& photo, const CardLayout& card, const PhotoRules& rules,
                    const std::filesystem::path& file) {
  const Image<float> luminance = luminance_of(photo.pixels);
  return rules.marks ? marks_as_given(luminance, card, *rules.marks, file)
                     : find_marks(luminance, card, file);
}

}  // namespace

struct CardPhoto::Parts {
  std::filesystem::path file;
  Image<LinearPixel> photo;
  FoundMarks marks;
  std::vector<std::string> notes;
  double border_mm = 0;  // about edges, that does not show its own colour
  std::optional<LightField> light;
  Balance balance;

  [[nodiscard]] BalancePiece piece_for_balance(const BoxMm& box) const {
    const PieceLight seen = piece_light(photo, marks.view, box);
    const bool good = seen.clipped <= most_clipped_of_piece && seen.outside == 0 &&
                      std::min({seen.mean.r, seen.mean.g, seen.mean.b}) > nothing;
    return {share_of(seen.mean, light->at(middle_of(box))), good};
  }
  [[nodiscard]] FieldPiece piece_of_field(const BoxMm& box) const {
    const PieceLight seen = piece_light(photo, marks.view, box);
    FieldPiece piece;
    piece.light = share_of(seen.mean, light->at(middle_of(box)));
    piece.colour = balance(piece.light);
    piece.clipped = seen.clipped > most_clipped_of_piece;
    piece.outside = seen.outside > 0;
    return piece;
  }
  void balance_by_reference(const CardLayout& card, const WhiteReference& reference) {
    if (const auto* paper = std::get_if<PaperReference>(&reference)) {
      balance = balance_by(*paper);
      return;
    }
    if (!card.reference)
      throw Problem(ProblemKind::input, file.string(), "this card has no place for a neutral card or a chart",
                    "go by the paper, or print a card with such a place");
    const BalanceTask task{card, [this](const BoxMm& box) { return piece_for_balance(box); }, border_mm, file,
                           notes};
    if (const auto* neutral = std::get_if<NeutralReference>(&reference))
      balance = balance_by(*neutral, task);
    else
      balance = balance_by(std::get<ChartReference>(reference), task);
  }
};

CardPhoto::CardPhoto(const Picture& photo, const CardLayout& card, const PhotoRules& rules,
                     std::filesystem::path file) {
  const FoundMarks marks = marks_of(photo, card, rules, file);
  parts_ = std::make_unique<Parts>(Parts{std::move(file), {}, marks, {}, 0, {}, {}});
  Parts& p = *parts_;
  judge_view(p.marks, card, p.file, p.notes);
  for (std::size_t i = 0; i < 4; ++i) {
    if (p.marks.rings[i].match == 0)
      p.notes.push_back(fmt::format("no rings were seen at mark {}: its place is taken as given", i + 1));
  }
  double finest = 1e9;
  for (const PointMm& mark : card.marks)
    finest = std::min(finest, pixels_per_mm(p.marks.view.slope_at(mark))[1]);
  p.border_mm = std::max(edge_width_mm(p.marks), colour_bleed_px / finest);
  const PaperSeen paper = paper_seen(photo.pixels, p.marks.view, card, p.border_mm);
  judge_exposure(paper, p.file, p.notes);
  p.light.emplace(paper.pieces, card);
  judge_light(*p.light, paper, p.marks, p.file, p.notes);
  p.photo = photo.pixels;
  p.balance_by_reference(card, rules.reference);
}
CardPhoto::~CardPhoto() = default;
CardPhoto::CardPhoto(CardPhoto&&) noexcept = default;

FieldReading CardPhoto::read(const BoxMm& field, const std::string& name) const {
  const double width = field.right - field.left, height = field.bottom - field.top;
  const double smaller = std::min(width, height);
  const double border = std::min(std::max(parts_->border_mm, 0.1 * smaller), 0.25 * smaller);
  const BoxMm inner{field.left + border, field.top + border, field.right - border, field.bottom - border};
  const double size = std::clamp((smaller - 2 * border) / pieces_across, least_piece, field_piece);
  const auto count = [&](double length) { return std::max(1, static_cast<int>(std::lround(length / size))); };
  Image<FieldPiece> pieces(count(width - 2 * border), count(height - 2 * border));
  for (int y = 0; y < pieces.height(); ++y) {
    for (int x = 0; x < pieces.width(); ++x) {
      const double across = (inner.right - inner.left) / pieces.width();
      const double down = (inner.bottom - inner.top) / pieces.height();
      pieces.at(x, y) = parts_->piece_of_field({inner.left + x * across, inner.top + y * down,
                                                inner.left + (x + 1) * across, inner.top + (y + 1) * down});
    }
  }
  return reading_of(pieces, name, parts_->file);
}

Image<Xyz> CardPhoto::flattened(const BoxMm& area, Millimetres pitch) const {
  const auto [width, height] = points_of(area, pitch);
  Image<Xyz> out(width, height);
  for_each_row_band(height, [&, across = width](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < across; ++x) {
        const BoxMm box = point_box(area, pitch, x, y);
        const PieceLight seen = piece_light(parts_->photo, parts_->marks.view, box, Wanted::mean, 1);
        if (seen.outside < 1)
          out.at(x, y) = parts_->balance(share_of(seen.mean, parts_->light->at(middle_of(box))));
      }
    }
  });
  return out;
}

Image<std::uint8_t> CardPhoto::untrusted(const BoxMm& area, Millimetres pitch) const {
  const auto [width, height] = points_of(area, pitch);
  Image<std::uint8_t> out(width, height);
  for_each_row_band(height, [&, across = width](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < across; ++x) {
        const PieceLight seen =
            piece_light(parts_->photo, parts_->marks.view, point_box(area, pitch, x, y), Wanted::mean, 1);
        out.at(x, y) = seen.outside > 0 || seen.clipped > most_clipped_of_piece ? 1 : 0;
      }
    }
  });
  return out;
}

const std::vector<std::string>& CardPhoto::notes() const {
  return parts_->notes;
}
const std::array<PhotoPoint, 4>& CardPhoto::marks() const {
  return parts_->marks.centres;
}

}  // namespace powderplan
