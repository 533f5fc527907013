#include "photo/light_field.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace powderplan {
namespace {

constexpr double piece_size = 2.0;     // mm
constexpr double group_size = 30.0;    // mm
constexpr double most_clipped = 0.02;  // of a piece
constexpr double darkest = 1e-5;       // a channel below that says nothing in the logarithm

// ---- the pieces

void add_box(const Image<LinearPixel>& photo, const FlatView& view, const BoxMm& box, std::size_t& group,
             PaperSeen& seen, std::size_t& all) {
  const double width = box.right - box.left, height = box.bottom - box.top;
  if (!(width > 0 && height > 0))
    return;
  const auto pieces_along = [](double length) { return std::max(1, static_cast<int>(length / piece_size)); };
  const auto groups_along = [](double length) {
    return std::max(1, static_cast<int>(std::lround(length / group_size)));
  };
  const int across = pieces_along(width), down = pieces_along(height);
  const int groups_across = groups_along(width), groups_down = groups_along(height);
  for (int j = 0; j < down; ++j) {
    for (int i = 0; i < across; ++i) {
      const BoxMm piece{box.left + width * i / across, box.top + height * j / down,
                        box.left + width * (i + 1) / across, box.top + height * (j + 1) / down};
      const PieceLight light = piece_light(photo, view, piece, Wanted::mean_and_median);
      ++all;
      if (light.outside > 0) {
        seen.outside += 1;
      } else if (light.clipped > most_clipped) {
        seen.clipped += 1;
      } else if (std::min({light.median.r, light.median.g, light.median.b}) > darkest) {
        const int of = (j * groups_down / down) * groups_across + i * groups_across / across;
        seen.pieces.push_back({{(piece.left + piece.right) / 2, (piece.top + piece.bottom) / 2},
                               light.median,
                               group + static_cast<std::size_t>(of)});
      }
    }
  }
  group += static_cast<std::size_t>(groups_across) * static_cast<std::size_t>(groups_down);
}

BoxMm inset(const BoxMm& box, double by) {
  return {box.left + by, box.top + by, box.right - by, box.bottom - by};
}

// Small boxes on the ring of bare paper about a mark.
std::vector<BoxMm> about_mark(PointMm mark, double blur) {
  const double inner = mark_radii[0] + blur, outer = mark_clear;
  const double middle = (inner + outer) / 2, half = (outer - inner) / 2 / 1.42;
  std::vector<BoxMm> boxes;
  constexpr int count = 12;
  for (int i = 0; half > 0.15 && i < count; ++i) {
    const double angle = 2 * std::numbers::pi * i / count;
    const PointMm at{mark.x + middle * std::cos(angle), mark.y + middle * std::sin(angle)};
    boxes.push_back({at.x - half, at.y - half, at.x + half, at.y + half});
  }
  return boxes;
}

// ---- the polynomial

int terms_of(int degree) {
  return (degree + 1) * (degree + 2) / 2;
}
Eigen::VectorXd powers(double x, double y, int degree) {
  Eigen::VectorXd row(terms_of(degree));
  int at = 0;
  for (int d = 0; d <= degree; ++d) {
    for (int k = 0; k <= d; ++k)
      row(at++) = std::pow(x, d - k) * std::pow(y, k);
  }
  return row;
}

struct Points {
  Eigen::MatrixXd rows;  // powers up to the highest degree that is tried
  Eigen::VectorXd values;
  std::vector<std::size_t> groups;
};

// Curvature costs a little: where the paper says nothing of it, there is none.
Eigen::VectorXd solve(const Eigen::MatrixXd& normal, const Eigen::VectorXd& right, double weight) {
  Eigen::MatrixXd held = normal;
  for (Eigen::Index i = 1; i < held.rows(); ++i)
    held(i, i) += 1e-5 * weight;
  return held.ldlt().solve(right);
}

struct Fit {
  Eigen::VectorXd terms, weights;
};
double robust_scale(const Eigen::VectorXd& residuals) {
  std::vector<double> amounts(static_cast<std::size_t>(residuals.size()));
  for (std::size_t i = 0; i < amounts.size(); ++i)
    amounts[i] = std::abs(residuals(static_cast<Eigen::Index>(i)));
  const auto middle = amounts.begin() + static_cast<std::ptrdiff_t>(amounts.size() / 2);
  std::nth_element(amounts.begin(), middle, amounts.end());
  return 1.4826 * *middle;  // of a normal distribution, its standard deviation
}
// By how much pieces differ that lie beside each other, as the standard deviation of one.
double noise_of(const Eigen::VectorXd& residuals, const std::vector<std::size_t>& groups) {
  std::vector<double> steps;
  for (std::size_t i = 0; i + 1 < groups.size(); ++i) {
    const Eigen::Index at = static_cast<Eigen::Index>(i);
    if (groups[i] == groups[i + 1])
      steps.push_back(residuals(at + 1) - residuals(at));
  }
  if (steps.empty())
    return 0;
  return robust_scale(
             Eigen::Map<const Eigen::VectorXd>(steps.data(), static_cast<Eigen::Index>(steps.size()))) /
         std::numbers::sqrt2;
}
Fit robust_fit(const Points& points, int degree) {
  const auto rows = points.rows.leftCols(terms_of(degree));
  Fit fit{{}, Eigen::VectorXd::Ones(points.values.size())};
  constexpr int rounds = 12, huber_rounds = 5;
  for (int round = 0; round < rounds; ++round) {
    const Eigen::MatrixXd weighted = fit.weights.asDiagonal() * rows;
    fit.terms = solve(rows.transpose() * weighted, weighted.transpose() * points.values, fit.weights.sum());
    const Eigen::VectorXd off = points.values - rows * fit.terms;
    const double scale = std::max(robust_scale(off), 1e-4);
    for (Eigen::Index i = 0; i < off.size(); ++i) {
      // Huber's weights until the fit is near, then Tukey's, with their usual constants.
      const double u = std::abs(off(i)) / scale;
      const double t = u / 4.685;
      fit.weights(i) = round < huber_rounds ? std::min(1.0, 1.345 / std::max(u, 1e-9))
                       : t < 1              ? (1 - t * t) * (1 - t * t)
                                            : 0;
    }
  }
  return fit;
}

// Mean square by which a fit to the other groups misses each group; what is far off anyway counts alike.
double foretold(const Points& points, int degree, const Eigen::VectorXd& weights) {
  const int terms = terms_of(degree);
  const std::size_t groups = 1 + *std::max_element(points.groups.begin(), points.groups.end());
  std::vector<Eigen::MatrixXd> normals(groups, Eigen::MatrixXd::Zero(terms, terms));
  std::vector<Eigen::VectorXd> rights(groups, Eigen::VectorXd::Zero(terms));
  std::vector<double> sums(groups, 0);
  Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(terms, terms);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(terms);
  for (Eigen::Index i = 0; i < points.values.size(); ++i) {
    const std::size_t group = points.groups[static_cast<std::size_t>(i)];
    const Eigen::VectorXd row = points.rows.row(i).head(terms).transpose();
    normals[group].noalias() += weights(i) * row * row.transpose();
    rights[group] += weights(i) * points.values(i) * row;
    sums[group] += weights(i);
  }
  double all = 0;
  for (std::size_t g = 0; g < groups; ++g) {
    normal += normals[g];
    right += rights[g];
    all += sums[g];
  }
  std::vector<Eigen::VectorXd> without;
  for (std::size_t g = 0; g < groups; ++g)
    without.push_back(solve(normal - normals[g], right - rights[g], all - sums[g]));
  double miss = 0;
  for (Eigen::Index i = 0; i < points.values.size(); ++i) {
    const Eigen::VectorXd& fit = without[points.groups[static_cast<std::size_t>(i)]];
    const double off = points.values(i) - points.rows.row(i).head(terms).dot(fit);
    constexpr double far = 0.1;
    miss += std::min(off * off, far * far);
  }
  return miss / static_cast<double>(points.values.size());
}

LightField::Surface best_surface(const Points& points, int highest, Eigen::VectorXd& residuals) {
  LightField::Surface best;
  double least = 0;
  for (int degree = 0; degree <= highest; ++degree) {
    if (3 * terms_of(degree) > points.values.size() && degree > 0)
      break;
    const Fit fit = robust_fit(points, degree);
    const double miss = foretold(points, degree, fit.weights);
    constexpr double must_gain = 0.95;
    if (degree == 0 || miss < must_gain * least) {
      least = miss;
      best = {degree, {fit.terms.begin(), fit.terms.end()}};
      residuals = points.values - points.rows.leftCols(terms_of(degree)) * fit.terms;
    }
  }
  return best;
}

double value_at(const LightField::Surface& surface, double x, double y) {
  const Eigen::VectorXd row = powers(x, y, surface.degree);
  return row.dot(Eigen::Map<const Eigen::VectorXd>(surface.terms.data(), row.size()));
}

}  // namespace

PaperSeen paper_seen(const Image<LinearPixel>& photo, const FlatView& view, const CardLayout& card,
                     double blur_mm) {
  PaperSeen seen;
  std::size_t group = 0, all = 0;
  for (const BoxMm& box : card.white)
    add_box(photo, view, inset(box, std::min(blur_mm, (box.right - box.left) / 4)), group, seen, all);
  for (const PointMm& mark : card.marks) {
    for (const BoxMm& box : about_mark(mark, blur_mm)) {
      std::size_t same = group;
      add_box(photo, view, box, same, seen, all);
    }
    ++group;
  }
  if (all > 0) {
    seen.clipped /= static_cast<double>(all);
    seen.outside /= static_cast<double>(all);
  }
  return seen;
}

LightField::LightField(const std::vector<PaperPiece>& pieces, const CardLayout& card) {
  PointMm least = card.marks[0], most = card.marks[0];
  const auto reach_to = [&](PointMm p) {
    least = {std::min(least.x, p.x), std::min(least.y, p.y)};
    most = {std::max(most.x, p.x), std::max(most.y, p.y)};
  };
  std::for_each(card.marks.begin(), card.marks.end(), reach_to);
  for (const PaperPiece& piece : pieces)
    reach_to(piece.place);
  centre_ = {(least.x + most.x) / 2, (least.y + most.y) / 2};
  reach_x_ = std::max(1.0, (most.x - least.x) / 2);
  reach_y_ = std::max(1.0, (most.y - least.y) / 2);

  constexpr int highest = 4, highest_of_colour = 2;
  const Eigen::Index count = static_cast<Eigen::Index>(pieces.size());
  Points points{Eigen::MatrixXd(count, terms_of(highest)), Eigen::VectorXd(count), {}};
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const PaperPiece& p = pieces[i];
    points.rows.row(static_cast<Eigen::Index>(i)) =
        powers((p.place.x - centre_.x) / reach_x_, (p.place.y - centre_.y) / reach_y_, highest).transpose();
    points.groups.push_back(p.group);
  }
  Eigen::VectorXd residuals;
  for (const std::size_t channel : {1u, 0u, 2u}) {
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const LinearRgb& c = pieces[i].light;
      points.values(static_cast<Eigen::Index>(i)) =
          channel == 1 ? std::log(c.g) : std::log((channel == 0 ? c.r : c.b) / c.g);
    }
    channels_[channel] = best_surface(points, channel == 1 ? highest : highest_of_colour, residuals);
    if (channel == 1) {
      const double noise = noise_of(residuals, points.groups), all = robust_scale(residuals);
      uneven_ = std::sqrt(std::max(0.0, all * all - noise * noise));
      off_ = static_cast<double>((residuals.array().abs() > piece_off).count()) / static_cast<double>(count);
    }
  }
}

LinearRgb LightField::at(PointMm place) const {
  const double x = (place.x - centre_.x) / reach_x_, y = (place.y - centre_.y) / reach_y_;
  const double green = value_at(channels_[1], x, y);
  return {std::exp(green + value_at(channels_[0], x, y)), std::exp(green),
          std::exp(green + value_at(channels_[2], x, y))};
}

}  // namespace powderplan
