#include "fired/strength_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

#include "fired/planned_look.h"
#include "median.h"
#include "separation/colour_metric.h"

namespace powderplan {
namespace {

// Neighbouring points err alike: so many count as one.
constexpr double points_that_err_alike = 9;
constexpr double huber = 1.5;
// Errors smaller than this are the photo's own, whatever their median.
constexpr double least_scale = 0.5;
constexpr int rounds = 5;
// Steps of logarithms, for slopes.
constexpr double load_step = 0.05, exposure_step = 0.01;

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;
using Index = Eigen::Index;

// Where the logarithms stand in the vector of unknowns: powders, then each layer beside its powder, then the
// exposure of X, Y and Z.
class Unknowns {
 public:
  Unknowns(const PlanRecord& record, const Moment& moment) {
    for (std::size_t i = 0; i < record.layers.size(); ++i) {
      if (record.firing_plan.places[i].firing >= moment.firings_done)
        continue;
      layers_.push_back(i);
      const std::size_t powder = record.layers[i].powder;
      const auto at = std::find(powders_.begin(), powders_.end(), powder);
      powder_of_.push_back(static_cast<std::size_t>(at - powders_.begin()));
      if (at == powders_.end())
        powders_.push_back(powder);
    }
  }
  [[nodiscard]] const std::vector<std::size_t>& layers() const { return layers_; }
  [[nodiscard]] const std::vector<std::size_t>& powders() const { return powders_; }
  [[nodiscard]] std::size_t powder_of(std::size_t layer) const { return powder_of_[layer]; }
  [[nodiscard]] Index of_powder(std::size_t powder) const { return static_cast<Index>(powder); }
  [[nodiscard]] Index of_layer(std::size_t layer) const {
    return static_cast<Index>(powders_.size() + layer);
  }
  [[nodiscard]] Index of_exposure() const { return static_cast<Index>(powders_.size() + layers_.size()); }
  [[nodiscard]] Index count() const { return of_exposure() + 3; }

  [[nodiscard]] double strength(const Vector& p, std::size_t layer) const {
    return std::exp(p[of_powder(powder_of_[layer])] + p[of_layer(layer)]);
  }
  // What is expected before anything is seen: one over the variances.
  [[nodiscard]] Vector certainty() const {
    Vector c(count());
    c.head(of_layer(0)).setConstant(1 / (powder_sigma * powder_sigma));
    c.segment(of_layer(0), static_cast<Index>(layers_.size())).setConstant(1 / (layer_sigma * layer_sigma));
    c.tail(3).setConstant(1 / (exposure_sigma * exposure_sigma));
    return c;
  }

 private:
  std::vector<std::size_t> layers_, powders_, powder_of_;
};

class Fit {
 public:
  Fit(const PlanRecord& record, const Moment& moment, const SeenSpots& seen, const Weighed& weighed)
      : record_(record),
        moment_(moment),
        seen_(seen),
        weighed_(weighed),
        unknowns_(record, moment),
        copy_(light_copy(record)),
        points_(static_cast<Index>(seen.spots.size())),
        expected_(Vector::Zero(unknowns_.count())),
        normal_(unknowns_.certainty().asDiagonal()) {
    for (std::size_t l = 0; l < unknowns_.layers().size(); ++l)
      expected_[unknowns_.of_layer(l)] = std::log(weighed_at(l).value_or(1));
    p_ = expected_;
    for (const Xyz& colour : seen.colours)
      metrics_.emplace_back(to_lab(colour));
  }

  Strengths run() {
    for (int round = 0; round < rounds && points_ > 0; ++round)
      step();
    const Matrix covariance = normal_.ldlt().solve(Matrix::Identity(p_.size(), p_.size()));
    Strengths out;
    out.of_layer.assign(record_.layers.size(), 1);
    for (std::size_t l = 0; l < unknowns_.layers().size(); ++l)
      out.of_layer[unknowns_.layers()[l]] = unknowns_.strength(p_, l);
    for (std::size_t k = 0; k < unknowns_.powders().size(); ++k)
      out.powders.push_back(finding(k, covariance));
    return out;
  }

 private:
  // The looks of the spots with the loads of `p`, one layer (of the unknowns) heavier by a step.
  [[nodiscard]] std::vector<Xyz> looks(std::size_t heavier) {
    for (std::size_t l = 0; l < unknowns_.layers().size(); ++l) {
      const std::size_t layer = unknowns_.layers()[l];
      copy_.layers[layer].load =
          record_.layers[layer].load * (unknowns_.strength(p_, l) * (l == heavier ? std::exp(load_step) : 1));
    }
    return looks_of_spots(copy_, moment_, seen_.under, seen_.spots);
  }

  // How far off each point is, in units near CIEDE2000.
  [[nodiscard]] Matrix errors(const std::vector<Xyz>& looks, const Vector& p) const {
    const Eigen::Array3d exposure = p.tail<3>().array().exp();
    Matrix out(points_, 3);
    for (Index i = 0; i < points_; ++i) {
      const Xyz& c = looks[static_cast<std::size_t>(i)];
      const LabPixel lab = to_pixel(to_lab(Xyz{c.x * exposure[0], c.y * exposure[1], c.z * exposure[2]}));
      const std::array<float, 3> t = metrics_[static_cast<std::size_t>(i)].terms(lab.l, lab.a, lab.b);
      out.row(i) << static_cast<double>(t[0]), static_cast<double>(t[1]), static_cast<double>(t[2]);
    }
    return out;
  }

  // Slopes of the errors by each unknown; those by a powder are the sums over its layers.
  [[nodiscard]] std::vector<Matrix> slopes(const std::vector<Xyz>& now, const Matrix& off) {
    std::vector<Matrix> by(static_cast<std::size_t>(p_.size()), Matrix::Zero(points_, 3));
    for (std::size_t l = 0; l < unknowns_.layers().size(); ++l) {
      Matrix& slope = by[static_cast<std::size_t>(unknowns_.of_layer(l))];
      slope = (errors(looks(l), p_) - off) / load_step;
      by[static_cast<std::size_t>(unknowns_.of_powder(unknowns_.powder_of(l)))] += slope;
    }
    for (Index c = unknowns_.of_exposure(); c < p_.size(); ++c) {
      Vector moved = p_;
      moved[c] += exposure_step;
      by[static_cast<std::size_t>(c)] = (errors(now, moved) - off) / exposure_step;
    }
    return by;
  }

  void step() {
    const std::vector<Xyz> now = looks(unknowns_.layers().size());
    const Matrix off = errors(now, p_);
    const Vector sizes = off.rowwise().norm();
    const double scale = std::max(least_scale, median({sizes.begin(), sizes.end()}));
    const std::vector<Matrix> by = slopes(now, off);
    const Vector certainty = unknowns_.certainty();
    normal_ = certainty.asDiagonal();
    Vector gradient = certainty.cwiseProduct(p_ - expected_);
    Matrix slope(3, p_.size());
    for (Index i = 0; i < points_; ++i) {
      const double size = sizes[i] / scale;
      const double weight = (size > huber ? huber / size : 1) / (scale * scale * points_that_err_alike);
      for (Index j = 0; j < p_.size(); ++j)
        slope.col(j) = by[static_cast<std::size_t>(j)].row(i).transpose();
      normal_ += weight * slope.transpose() * slope;
      gradient += weight * slope.transpose() * off.row(i).transpose();
    }
    p_ -= normal_.ldlt().solve(gradient);
  }

  [[nodiscard]] PowderFinding finding(std::size_t powder, const Matrix& covariance) const {
    double area = 0, mean = 0, weighed_area = 0, weighed = 0;
    Vector slope = Vector::Zero(p_.size());
    for (std::size_t l = 0; l < unknowns_.layers().size(); ++l) {
      if (unknowns_.powder_of(l) != powder)
        continue;
      // A layer that was given no area counts all the same.
      constexpr double least_cm2 = 1e-6;
      const double covers = std::max(least_cm2, record_.layers[unknowns_.layers()[l]].area_cm2);
      const double strength = unknowns_.strength(p_, l);
      area += covers;
      mean += covers * strength;
      if (const auto used = weighed_at(l)) {
        weighed_area += covers;
        weighed += covers * *used;
      }
      slope[unknowns_.of_layer(l)] = covers * strength;
    }
    slope[unknowns_.of_powder(powder)] = mean;
    PowderFinding found{unknowns_.powders()[powder], mean / area,
                        std::sqrt(slope.dot(covariance * slope)) / area, std::nullopt};
    if (weighed_area > 0)
      found.weighed = weighed / weighed_area;
    return found;
  }

  // By place among the unknowns' layers.
  [[nodiscard]] std::optional<double> weighed_at(std::size_t layer) const {
    const std::size_t at = unknowns_.layers()[layer];
    return at < weighed_.size() ? weighed_[at] : std::nullopt;
  }

  const PlanRecord& record_;
  const Moment& moment_;
  const SeenSpots& seen_;
  const Weighed& weighed_;
  Unknowns unknowns_;
  PlanRecord copy_;  // its loads change
  Index points_;
  std::vector<LocalMetric> metrics_;
  Vector expected_, p_;
  Matrix normal_;
};

}  // namespace

Strengths fit_strengths(const PlanRecord& record, const Moment& moment, const SeenSpots& seen,
                        const Weighed& weighed) {
  return Fit(record, moment, seen, weighed).run();
}

}  // namespace powderplan
