#include "measure/fit_powder.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

#include "colour/difference.h"
#include "colour/observer.h"
#include "measure/first_guess.h"

namespace powderplan {
namespace {

// How far off a reading is expected to be: a cell of a photo, CIEDE2000; a band of a spectrum, in L*.
constexpr double colour_sigma = 0.4;
constexpr double band_sigma = 0.01;
// How far log k and log s usually leave the straight line between their neighbours, 10 nm on either side.
// Found on made-up glasses: coloured glass has bands some 60 nm wide at the narrowest.
constexpr double k_bend_sigma = 0.10;
constexpr double s_bend_sigma = 0.03;
// Of the spreading's logarithm and of what each load is worth.
constexpr double spread_sigma = 0.3;
constexpr double curve_sigma = 0.15;

constexpr Eigen::Index bands = band_count;
// Parameters: log k, log s, log spreading, then one for each load of the curve.
constexpr Eigen::Index at_k = 0, at_s = bands, at_spread = 2 * bands, at_curve = 2 * bands + 1;

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

// Lightness, chroma and hue of a small difference, weighted as CIEDE2000 weights them (without its rotation
// in the blue).
struct ColourScale {
  Eigen::Vector3d wanted;
  Eigen::Matrix3d turn;

  explicit ColourScale(const Lab& lab) : wanted(lab.l, lab.a, lab.b) {
    const double chroma = std::hypot(lab.a, lab.b), mid = lab.l - 50;
    const double cos = chroma > 1e-6 ? lab.a / chroma : 1, sin = chroma > 1e-6 ? lab.b / chroma : 0;
    const double for_l = 1 + 0.015 * mid * mid / std::sqrt(20 + mid * mid);
    const double for_c = 1 + 0.045 * chroma, for_h = 1 + 0.015 * chroma;
    turn << 1 / for_l, 0, 0, 0, cos / for_c, sin / for_c, 0, -sin / for_h, cos / for_h;
  }
  [[nodiscard]] Eigen::Vector3d operator()(const Lab& lab) const {
    return turn * (Eigen::Vector3d(lab.l, lab.a, lab.b) - wanted);
  }
};

double band_lightness(double share) {
  return to_lab(Xyz{share, share, share}, Xyz{1, 1, 1}).l;
}

// What a powder of these parameters gets wrong: the errors of all readings first, then what holds the
// parameters back.
class StepErrors {
 public:
  StepErrors(const Readings& readings, const FitRules& rules)
      : readings_(readings), loads_(loads_of(readings)), see_(illuminant_d65()) {
    loads_.erase(std::remove(loads_.begin(), loads_.end(), Load(0)), loads_.end());
    if (rules.with_curve)
      curve_steps_ = static_cast<Eigen::Index>(loads_.size());
    for (const CoefficientSpectra& guess : first_guesses(readings)) {
      Vector p = Vector::Zero(at_curve + curve_steps_);
      for (Eigen::Index b = 0; b < bands; ++b) {
        p[at_k + b] = std::log(guess.k[static_cast<std::size_t>(b)]);
        p[at_s + b] = std::log(guess.s[static_cast<std::size_t>(b)]);
      }
      starts_.push_back(std::move(p));
    }
    for (const StepReading& step : readings_.steps)
      scales_.emplace_back(measured_lab(step));
    for (const StepReading& step : readings_.steps)
      read_rows_ += std::holds_alternative<Xyz>(step.seen) ? 3 : bands;
    rows_ = read_rows_ + 2 * (bands - 2) + 1 + 2 * bands + curve_steps_;
  }

  // Where to begin, the likeliest first; at least one.
  [[nodiscard]] const std::vector<Vector>& starts() const { return starts_; }

  [[nodiscard]] PowderOptics powder(const Vector& p) const {
    PowderOptics powder;
    powder.grain = readings_.grain;
    for (std::size_t b = 0; b < band_count; ++b) {
      powder.k[b] = std::exp(p[at_k + static_cast<Eigen::Index>(b)]);
      powder.s[b] = std::exp(p[at_s + static_cast<Eigen::Index>(b)]);
    }
    powder.spreads = std::exp(p[at_spread]);
    if (curve_steps_ > 0) {
      std::vector<LoadPoint> points;
      LoadPoint last{Load(0), Load(0)};
      for (std::size_t i = 0; i < loads_.size(); ++i) {
        const double worth = std::exp(p[at_curve + static_cast<Eigen::Index>(i)]);
        last = {loads_[i], last.effective + (loads_[i] - last.load) * worth};
        points.push_back(last);
      }
      powder.curve = LoadCurve(std::move(points));
    }
    return powder;
  }

  [[nodiscard]] Vector errors(const Vector& p) const {
    Vector e(rows_);
    const PowderOptics glass = powder(p);
    Eigen::Index row = 0;
    for (std::size_t i = 0; i < readings_.steps.size(); ++i)
      row += put_errors(i, look_of(glass, readings_, readings_.steps[i]), e, row);
    put_priors(p, e, row);
    return e;
  }

  // How many of the errors are those of readings.
  [[nodiscard]] Eigen::Index read_rows() const { return read_rows_; }

  // Errors and their slopes. A band's k and s act on that band alone, so one look with all of them moved
  // gives the slopes of all.
  void linearise(const Vector& p, Vector& e, Matrix& slopes) const {
    e = errors(p);
    slopes.setZero(rows_, p.size());
    constexpr double h = 1e-4;
    const auto moved_by = [&](Eigen::Index from, Eigen::Index count) {
      Vector moved = p;
      moved.segment(from, count).array() += h;
      return powder(moved);
    };
    const PowderOptics now = powder(p), more_k = moved_by(at_k, bands), more_s = moved_by(at_s, bands);
    std::vector<PowderOptics> others;
    for (Eigen::Index j = at_spread; j < p.size(); ++j)
      others.push_back(moved_by(j, 1));
    Eigen::Index row = 0;
    for (std::size_t i = 0; i < readings_.steps.size(); ++i) {
      const StepReading& step = readings_.steps[i];
      const Spectrum base = look_of(now, readings_, step);
      const Spectrum by_k = look_of(more_k, readings_, step), by_s = look_of(more_s, readings_, step);
      const Matrix by_band = band_slopes(i, base);
      for (Eigen::Index b = 0; b < bands; ++b) {
        const auto band = static_cast<std::size_t>(b);
        slopes.block(row, at_k + b, by_band.rows(), 1) = by_band.col(b) * ((by_k[band] - base[band]) / h);
        slopes.block(row, at_s + b, by_band.rows(), 1) = by_band.col(b) * ((by_s[band] - base[band]) / h);
      }
      for (std::size_t j = 0; j < others.size(); ++j) {
        const Spectrum by_other = look_of(others[j], readings_, step);
        Vector change(bands);
        for (Eigen::Index b = 0; b < bands; ++b)
          change[b] = (by_other[static_cast<std::size_t>(b)] - base[static_cast<std::size_t>(b)]) / h;
        slopes.block(row, at_spread + static_cast<Eigen::Index>(j), by_band.rows(), 1) = by_band * change;
      }
      row += by_band.rows();
    }
    put_prior_slopes(slopes, row);
  }

 private:
  Eigen::Index put_errors(std::size_t step, const Spectrum& look, Vector& e, Eigen::Index row) const {
    if (const Spectrum* const wanted = std::get_if<Spectrum>(&readings_.steps[step].seen)) {
      for (std::size_t b = 0; b < band_count; ++b)
        e[row + static_cast<Eigen::Index>(b)] =
            (band_lightness(look[b]) - band_lightness((*wanted)[b])) / band_sigma;
      return bands;
    }
    e.segment(row, 3) = scales_[step](to_lab(see_(look))) / colour_sigma;
    return 3;
  }

  // How the errors of a step follow what is seen in each band.
  [[nodiscard]] Matrix band_slopes(std::size_t step, const Spectrum& look) const {
    constexpr double h = 1e-6;
    if (std::holds_alternative<Spectrum>(readings_.steps[step].seen)) {
      Matrix slopes = Matrix::Zero(bands, bands);
      for (std::size_t b = 0; b < band_count; ++b)
        slopes(static_cast<Eigen::Index>(b), static_cast<Eigen::Index>(b)) =
            (band_lightness(look[b] + h) - band_lightness(look[b])) / h / band_sigma;
      return slopes;
    }
    const Xyz colour = see_(look);
    const Eigen::Vector3d base = scales_[step](to_lab(colour));
    Matrix by_xyz(3, 3);
    by_xyz.col(0) = (scales_[step](to_lab(colour + Xyz{h, 0, 0})) - base) / h;
    by_xyz.col(1) = (scales_[step](to_lab(colour + Xyz{0, h, 0})) - base) / h;
    by_xyz.col(2) = (scales_[step](to_lab(colour + Xyz{0, 0, h})) - base) / h;
    Matrix slopes(3, bands);
    for (std::size_t b = 0; b < band_count; ++b) {
      const Xyz& w = see_.weights()[b];
      slopes.col(static_cast<Eigen::Index>(b)) = by_xyz * Eigen::Vector3d(w.x, w.y, w.z) / colour_sigma;
    }
    return slopes;
  }

  void put_priors(const Vector& p, Vector& e, Eigen::Index row) const {
    for (const auto& [from, sigma] : {std::pair{at_k, k_bend_sigma}, std::pair{at_s, s_bend_sigma}}) {
      for (Eigen::Index b = 1; b + 1 < bands; ++b)
        e[row++] = (p[from + b - 1] - 2 * p[from + b] + p[from + b + 1]) / sigma;
    }
    e[row++] = p[at_spread] / spread_sigma;
    for (Eigen::Index b = 0; b < 2 * bands; ++b)
      e[row++] = (p[b] - starts_.front()[b]) / level_sigma;
    for (Eigen::Index i = 0; i < curve_steps_; ++i)
      e[row++] = p[at_curve + i] / curve_sigma;
  }

  void put_prior_slopes(Matrix& slopes, Eigen::Index row) const {
    for (const auto& [from, sigma] : {std::pair{at_k, k_bend_sigma}, std::pair{at_s, s_bend_sigma}}) {
      for (Eigen::Index b = 1; b + 1 < bands; ++b, ++row) {
        slopes(row, from + b - 1) = slopes(row, from + b + 1) = 1 / sigma;
        slopes(row, from + b) = -2 / sigma;
      }
    }
    slopes(row++, at_spread) = 1 / spread_sigma;
    for (Eigen::Index b = 0; b < 2 * bands; ++b)
      slopes(row++, b) = 1 / level_sigma;
    for (Eigen::Index i = 0; i < curve_steps_; ++i)
      slopes(row++, at_curve + i) = 1 / curve_sigma;
  }

  // Where nothing is measured of a band, its k and s stay within some decades of the first guess. Narrower,
  // it held back what was measured.
  static constexpr double level_sigma = 8;

  const Readings& readings_;
  std::vector<Load> loads_;
  Observer see_;
  Eigen::Index curve_steps_ = 0, read_rows_ = 0, rows_ = 0;
  std::vector<Vector> starts_;
  std::vector<ColourScale> scales_;
};

Vector within_bounds(Vector p) {
  p.head(2 * bands) =
      p.head(2 * bands).cwiseMax(std::log(least_coefficient)).cwiseMin(std::log(most_coefficient));
  return p;
}

struct Settled {
  Vector p, e;
  Matrix slopes;  // of the errors e at p
};

// Levenberg-Marquardt from there.
Settled settled_from(const StepErrors& of, const Vector& start) {
  Settled at{start, {}, {}};
  of.linearise(at.p, at.e, at.slopes);
  double damping = 1e-3;
  constexpr int most_steps = 60;
  constexpr double settled = 1e-7;
  for (int step = 0; step < most_steps; ++step) {
    const Matrix normal = at.slopes.transpose() * at.slopes;
    const Vector gradient = at.slopes.transpose() * at.e;
    bool better = false;
    double gain = 0;
    while (!better && damping < 1e9) {
      Matrix damped = normal;
      damped.diagonal() *= 1 + damping;
      const Vector next = within_bounds(at.p - damped.ldlt().solve(gradient));
      const Vector e_next = of.errors(next);
      better = e_next.allFinite() && e_next.squaredNorm() < at.e.squaredNorm();
      if (better) {
        gain = 1 - e_next.squaredNorm() / at.e.squaredNorm();
        at.p = next;
        damping = std::max(damping / 10, 1e-9);
      } else {
        damping *= 10;
      }
    }
    if (!better || gain < settled)
      break;
    of.linearise(at.p, at.e, at.slopes);
  }
  at.e = of.errors(at.p);
  return at;
}

// What becomes of the readings' noise, as shares of its square. With H the matrix that turns readings into
// fitted values (Hastie and Tibshirani 1990), 1 - trace(H) / n is left in their errors after the fit, and
// trace(H H') / n has gone into the fitted values.
struct NoiseShares {
  double left = 1, followed = 0;
};
NoiseShares noise_shares(const Matrix& slopes, Eigen::Index read_rows) {
  const Matrix of_readings = slopes.topRows(read_rows);
  const Matrix normal = slopes.transpose() * slopes;
  // trace(H) and trace(H H') are those of this and its square.
  const Matrix share = normal.ldlt().solve(of_readings.transpose() * of_readings);
  const auto n = static_cast<double>(read_rows);
  constexpr double least = 0.05;
  return {std::max(least, 1 - share.trace() / n), share.cwiseProduct(share.transpose()).sum() / n};
}

}  // namespace

PowderFit fit_powder(const Readings& readings, const FitRules& rules) {
  const StepErrors of(readings, rules);
  Settled best = settled_from(of, of.starts().front());
  for (std::size_t i = 1; i < of.starts().size(); ++i) {
    Settled other = settled_from(of, of.starts()[i]);
    if (other.e.squaredNorm() < best.e.squaredNorm())
      best = std::move(other);
  }
  PowderFit fit;
  fit.optics = of.powder(best.p);
  for (const StepReading& step : readings.steps) {
    fit.step_de00.push_back(ciede2000(measured_lab(step), lab_of(look_of(fit.optics, readings, step))));
    fit.mean_de00 += fit.step_de00.back();
  }
  const auto count = static_cast<double>(readings.steps.size());
  double squares = 0;
  for (const double off : fit.step_de00)
    squares += off * off;
  fit.mean_de00 /= count;
  const NoiseShares shares = noise_shares(best.slopes, of.read_rows());
  fit.noise_de00 = std::sqrt(squares / count / shares.left);
  fit.followed_de00 = fit.noise_de00 * std::sqrt(shares.followed);
  return fit;
}

}  // namespace powderplan
