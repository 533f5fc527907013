#include "plan/compare_piece.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>
#include <opencv2/video/tracking.hpp>

#include "colour/difference.h"
#include "colour/observer.h"
#include "parallel.h"
#include "report/stage.h"
#include "separation/colour_metric.h"

namespace powderplan {
namespace {

// What a hand and a scale do: loads of one powder are off alike, single layers a little more.
constexpr double powder_sigma = 0.4, layer_sigma = 0.08;
// Neighbouring points err alike: so many count as one.
constexpr double points_that_err_alike = 9;
constexpr std::size_t most_points = 5000;
// A point is even when the plan's own colours around it differ by no more than this, in L*, a* or b*.
constexpr double even_within = 4;
constexpr double huber = 1.5;
constexpr int rounds = 5;
constexpr double log_step = 0.05;
// Placing errors beyond this are none.
constexpr double most_moved_mm = 6;

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

// Without pictures: what the optical model needs, so that loads can be changed quickly.
PlanRecord bones_of(const PlanRecord& record) {
  PlanRecord bones;
  bones.palette = record.palette;
  bones.sheet = record.sheet;
  bones.view = View::wall;
  bones.illuminant = record.illuminant;
  bones.backing = record.backing;
  bones.firing_plan = record.firing_plan;
  bones.spots = record.spots;
  for (const Layer& layer : record.layers) {
    Layer small;
    small.powder = layer.powder;
    small.load = layer.load;
    bones.layers.push_back(std::move(small));
  }
  return bones;
}

std::vector<Xyz> looks(const PlanRecord& bones, const Moment& moment, const std::vector<std::size_t>& spots) {
  const Observer observer(illuminant_d65());
  const Ground ground = ground_of(bones, View::wall);
  std::vector<Xyz> colours(spots.size());
  constexpr std::size_t block = 128;
  for_each_block((spots.size() + block - 1) / block, [&](std::size_t b) {
    Coats made;
    for (std::size_t i = b * block; i < std::min(spots.size(), (b + 1) * block); ++i)
      colours[i] = observer(seen(ground, stack_at(bones, spots[i], moment, made)));
  });
  return colours;
}

// What the plan looks like on a coarser grid, each point the mean of what it covers.
Image<Xyz> planned_on(const PlanRecord& bones, const Moment& moment, const Grid& grid) {
  std::vector<std::size_t> all(bones.spots.count());
  std::iota(all.begin(), all.end(), std::size_t{0});
  const std::vector<Xyz> colours = looks(bones, moment, all);
  const Image<std::uint32_t>& spot_at = bones.spots.at();
  cv::Mat fine(spot_at.height(), spot_at.width(), CV_32FC3), coarse;
  for (std::size_t i = 0; i < spot_at.size(); ++i) {
    const Xyz& c = colours[spot_at[i]];
    fine.ptr<cv::Vec3f>()[i] = {static_cast<float>(c.x), static_cast<float>(c.y), static_cast<float>(c.z)};
  }
  cv::resize(fine, coarse, {grid.width, grid.height}, 0, 0, cv::INTER_AREA);
  Image<Xyz> out(grid.width, grid.height);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const cv::Vec3f& c = coarse.ptr<cv::Vec3f>()[i];
    out[i] = {c[0], c[1], c[2]};
  }
  return out;
}

cv::Mat lightness(const Image<Xyz>& picture) {
  cv::Mat out(picture.height(), picture.width(), CV_32F);
  for (std::size_t i = 0; i < picture.size(); ++i)
    out.ptr<float>()[i] = static_cast<float>(to_lab(picture[i]).l);
  return out;
}

// The photo moved so that it lies on the plan; left as it is where no small move does.
SeenPiece aligned(const SeenPiece& seen, const Image<Xyz>& planned) {
  const cv::Mat from = lightness(seen.colour), to = lightness(planned);
  cv::Mat map = cv::Mat::eye(2, 3, CV_32F);
  constexpr int steps = 60;
  constexpr double settled = 1e-5;
  try {
    cv::findTransformECC(to, from, map, cv::MOTION_AFFINE,
                         {cv::TermCriteria::COUNT | cv::TermCriteria::EPS, steps, settled}, cv::noArray(), 5);
  } catch (const cv::Exception&) {
    return seen;  // nothing in the picture to hold on to
  }
  cv::Mat_<double> moves;
  map.convertTo(moves, CV_64F);
  const double most = most_moved_mm / seen.grid.pitch.value(), right = from.cols, bottom = from.rows;
  for (const auto& [x, y] : {std::pair{0.0, 0.0}, {right, 0.0}, {0.0, bottom}, {right, bottom}}) {
    const double dx = moves(0, 0) * x + moves(0, 1) * y + moves(0, 2) - x;
    const double dy = moves(1, 0) * x + moves(1, 1) * y + moves(1, 2) - y;
    if (std::hypot(dx, dy) > most)
      return seen;
  }
  const int how = cv::INTER_LINEAR | cv::WARP_INVERSE_MAP;
  cv::Mat colour(from.size(), CV_64FC3, const_cast<Xyz*>(seen.colour.data())), moved;
  cv::warpAffine(colour, moved, map, from.size(), how, cv::BORDER_REPLICATE);
  cv::Mat bad(from.size(), CV_8U, const_cast<std::uint8_t*>(seen.untrusted.data())), moved_bad;
  cv::warpAffine(bad, moved_bad, map, from.size(), cv::INTER_NEAREST | cv::WARP_INVERSE_MAP,
                 cv::BORDER_CONSTANT, 1);
  SeenPiece out{seen.grid, Image<Xyz>(from.cols, from.rows), Image<std::uint8_t>(from.cols, from.rows)};
  for (std::size_t i = 0; i < out.colour.size(); ++i) {
    const cv::Vec3d& c = moved.ptr<cv::Vec3d>()[i];
    out.colour[i] = {c[0], c[1], c[2]};
    out.untrusted[i] = moved_bad.data[i];
  }
  return out;
}

// Points where the plan is even, so that a small error of placing changes nothing.
std::vector<std::size_t> even_points(const Image<Xyz>& planned, const Image<std::uint8_t>& untrusted) {
  std::array<cv::Mat, 3> channel;
  for (cv::Mat& c : channel)
    c.create(planned.height(), planned.width(), CV_32F);
  for (std::size_t i = 0; i < planned.size(); ++i) {
    const Lab lab = to_lab(planned[i]);
    channel[0].ptr<float>()[i] = static_cast<float>(lab.l);
    channel[1].ptr<float>()[i] = static_cast<float>(lab.a);
    channel[2].ptr<float>()[i] = static_cast<float>(lab.b);
  }
  cv::Mat even(planned.height(), planned.width(), CV_8U, cv::Scalar(1));
  const cv::Mat around = cv::Mat::ones(3, 3, CV_8U);
  for (const cv::Mat& c : channel) {
    cv::Mat most, least;
    cv::dilate(c, most, around);
    cv::erode(c, least, around);
    even.setTo(0, (most - least) > even_within);
  }
  std::vector<std::size_t> points;
  for (std::size_t i = 0; i < planned.size(); ++i)
    if (even.data[i] != 0 && untrusted[i] == 0)
      points.push_back(i);
  // Evenly thinned: no point is better than another.
  if (points.size() > most_points) {
    std::vector<std::size_t> some;
    for (std::size_t i = 0; i < most_points; ++i)
      some.push_back(points[i * points.size() / most_points]);
    points = std::move(some);
  }
  return points;
}

// Which point of the plan's grid lies in the middle of a coarse one.
std::size_t middle_of(std::size_t point, const Grid& coarse, const Grid& fine) {
  const auto width = static_cast<std::size_t>(coarse.width);
  const auto place = [](std::size_t at, int of, int on) {
    return std::min(static_cast<std::size_t>(on) - 1,
                    (2 * at + 1) * static_cast<std::size_t>(on) / (2 * static_cast<std::size_t>(of)));
  };
  return place(point / width, coarse.height, fine.height) * static_cast<std::size_t>(fine.width) +
         place(point % width, coarse.width, fine.width);
}

// Powders and layers that lie, and how strongly.
class Strengths {
 public:
  Strengths(const PlanRecord& record, std::size_t firings_done) {
    for (std::size_t i = 0; i < record.layers.size(); ++i) {
      if (record.firing_plan.places[i].firing >= firings_done)
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
  // Logarithms: of the powders, then of each layer beyond its powder's, then of the exposure of X, Y and Z.
  [[nodiscard]] Eigen::Index parameters() const { return at_exposure() + 3; }
  [[nodiscard]] Eigen::Index at_layer() const { return static_cast<Eigen::Index>(powders_.size()); }
  [[nodiscard]] Eigen::Index at_exposure() const {
    return at_layer() + static_cast<Eigen::Index>(layers_.size());
  }
  [[nodiscard]] double of_layer(const Vector& p, std::size_t layer) const {
    return std::exp(p[static_cast<Eigen::Index>(powder_of_[layer])] +
                    p[at_layer() + static_cast<Eigen::Index>(layer)]);
  }

 private:
  std::vector<std::size_t> layers_, powders_, powder_of_;
};

struct Fitted {
  Vector parameters;
  Vector sigma;
};

Xyz exposed(const Xyz& colour, const Vector& p, Eigen::Index at) {
  return {colour.x * std::exp(p[at]), colour.y * std::exp(p[at + 1]), colour.z * std::exp(p[at + 2])};
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

Fitted fit(const PlanRecord& record, PlanRecord bones, const Moment& moment, const Strengths& strengths,
           const std::vector<std::size_t>& spots, const std::vector<Xyz>& seen) {
  Vector p = Vector::Zero(strengths.parameters());
  Vector prior(p.size());
  prior.head(strengths.at_layer()).setConstant(1 / (powder_sigma * powder_sigma));
  prior.segment(strengths.at_layer(), static_cast<Eigen::Index>(strengths.layers().size()))
      .setConstant(1 / (layer_sigma * layer_sigma));
  prior.tail(3).setConstant(1 / (exposure_sigma * exposure_sigma));
  std::vector<LocalMetric> metrics;
  for (const Xyz& colour : seen)
    metrics.emplace_back(to_lab(colour));
  const auto set_loads = [&](const Vector& at, std::size_t more) {
    for (std::size_t l = 0; l < strengths.layers().size(); ++l) {
      const std::size_t layer = strengths.layers()[l];
      bones.layers[layer].load =
          record.layers[layer].load * (strengths.of_layer(at, l) * (l == more ? std::exp(log_step) : 1));
    }
  };
  const auto n = static_cast<Eigen::Index>(seen.size());
  Matrix normal = Matrix::Zero(p.size(), p.size());
  for (int round = 0; round < rounds && n > 0; ++round) {
    set_loads(p, strengths.layers().size());
    const std::vector<Xyz> now = looks(bones, moment, spots);
    Matrix errors(n, 3);
    std::vector<double> sizes;
    const auto terms = [&](Eigen::Index i, const Xyz& colour) {
      const LabPixel lab = to_pixel(to_lab(exposed(colour, p, strengths.at_exposure())));
      const std::array<float, 3> t = metrics[static_cast<std::size_t>(i)].terms(lab.l, lab.a, lab.b);
      return Eigen::RowVector3d(t[0], t[1], t[2]);
    };
    for (Eigen::Index i = 0; i < n; ++i) {
      errors.row(i) = terms(i, now[static_cast<std::size_t>(i)]);
      sizes.push_back(errors.row(i).norm());
    }
    const double scale = std::max(0.5, median(sizes));
    // Slopes of the errors by each parameter; those by a powder are the sums over its layers.
    std::vector<Matrix> slopes(static_cast<std::size_t>(p.size()), Matrix::Zero(n, 3));
    for (std::size_t l = 0; l < strengths.layers().size(); ++l) {
      set_loads(p, l);
      const std::vector<Xyz> more = looks(bones, moment, spots);
      Matrix& slope = slopes[static_cast<std::size_t>(strengths.at_layer()) + l];
      for (Eigen::Index i = 0; i < n; ++i)
        slope.row(i) = (terms(i, more[static_cast<std::size_t>(i)]) - errors.row(i)) / log_step;
      slopes[strengths.powder_of(l)] += slope;
    }
    for (Eigen::Index c = 0; c < 3; ++c) {
      constexpr double h = 0.01;
      Vector moved = p;
      moved[strengths.at_exposure() + c] += h;
      Matrix& slope = slopes[static_cast<std::size_t>(strengths.at_exposure() + c)];
      for (Eigen::Index i = 0; i < n; ++i) {
        const LabPixel lab =
            to_pixel(to_lab(exposed(now[static_cast<std::size_t>(i)], moved, strengths.at_exposure())));
        const std::array<float, 3> t = metrics[static_cast<std::size_t>(i)].terms(lab.l, lab.a, lab.b);
        slope.row(i) = (Eigen::RowVector3d(t[0], t[1], t[2]) - errors.row(i)) / h;
      }
    }
    normal = prior.asDiagonal();
    Vector gradient = prior.cwiseProduct(p);
    for (Eigen::Index i = 0; i < n; ++i) {
      const double size = sizes[static_cast<std::size_t>(i)] / scale;
      const double weight = (size > huber ? huber / size : 1) / (scale * scale * points_that_err_alike);
      Matrix slope(3, p.size());
      for (Eigen::Index j = 0; j < p.size(); ++j)
        slope.col(j) = slopes[static_cast<std::size_t>(j)].row(i).transpose();
      normal += weight * slope.transpose() * slope;
      gradient += weight * slope.transpose() * errors.row(i).transpose();
    }
    p -= normal.ldlt().solve(gradient);
  }
  const Matrix covariance = normal.ldlt().solve(Matrix::Identity(p.size(), p.size()));
  return {p, covariance.diagonal().cwiseSqrt()};
}

void judge_layers(PieceComparison& out, const PlanRecord& record, const Strengths& strengths,
                  const Image<float>& lighter) {
  for (const std::size_t layer : strengths.layers()) {
    const Image<std::int32_t> region_at = regions_at(record.layers[layer]);
    LayerFinding finding{layer, 0, 0, {}};
    for (const Region& region : record.layers[layer].regions)
      finding.regions.push_back({region.id, region.area_cm2, 0, 0});
    std::vector<double> points(finding.regions.size(), 0);
    double all = 0;
    for (std::size_t i = 0; i < out.de00.size(); ++i) {
      const std::int32_t region = region_at[middle_of(i, out.grid, record.separation.grid)];
      if (region == 0 || out.counts[i] == 0)
        continue;
      const auto at = static_cast<std::size_t>(region - 1);
      finding.regions[at].mean_de00 += out.de00[i];
      finding.regions[at].lighter += lighter[i];
      finding.mean_de00 += out.de00[i];
      finding.lighter += lighter[i];
      points[at] += 1;
      all += 1;
    }
    for (std::size_t r = 0; r < points.size(); ++r) {
      finding.regions[r].mean_de00 /= std::max(1.0, points[r]);
      finding.regions[r].lighter /= std::max(1.0, points[r]);
    }
    // Regions too small for any point say nothing.
    std::size_t next = 0;
    std::erase_if(finding.regions, [&](const RegionFinding&) { return points[next++] == 0; });
    finding.mean_de00 /= std::max(1.0, all);
    finding.lighter /= std::max(1.0, all);
    out.layers.push_back(std::move(finding));
  }
}

Image<Rgb8> shown(const Image<Xyz>& picture) {
  Image<Rgb8> out(picture.width(), picture.height());
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = to_rgb8(to_linear_rgb(picture[i]));
  return out;
}

double mean_difference(const Image<Xyz>& planned, const SeenPiece& piece, Image<float>& de00) {
  double sum = 0, count = 0;
  for (std::size_t i = 0; i < planned.size(); ++i) {
    de00[i] = piece.untrusted[i] != 0
                  ? 0
                  : static_cast<float>(ciede2000(to_lab(planned[i]), to_lab(piece.colour[i])));
    sum += static_cast<double>(de00[i]);
    count += piece.untrusted[i] != 0 ? 0 : 1;
  }
  return sum / std::max(1.0, count);
}

}  // namespace

Millimetres comparison_pitch(const PlanRecord& record) {
  constexpr double points_along = 300;
  return std::max(
      {Millimetres(1), record.separation.grid.pitch, std::max(record.width, record.height) / points_along});
}

PieceComparison compare_piece(const PlanRecord& record, std::size_t firings_done, const SeenPiece& seen) {
  const Moment moment = moment_after(firings_done - 1);
  PlanRecord bones = bones_of(record);
  PieceComparison out;
  out.firings_done = firings_done;
  out.grid = seen.grid;
  const Image<Xyz> planned = planned_on(bones, moment, seen.grid);
  const SeenPiece piece = aligned(seen, planned);
  out.planned = shown(planned);
  out.seen = shown(piece.colour);
  out.de00 = Image<float>(seen.grid.width, seen.grid.height);
  out.mean_de00 = mean_difference(planned, piece, out.de00);
  out.counts = Image<std::uint8_t>(seen.grid.width, seen.grid.height);
  Image<float> lighter(seen.grid.width, seen.grid.height);
  std::vector<float> sorted;
  for (std::size_t i = 0; i < planned.size(); ++i) {
    out.counts[i] = piece.untrusted[i] != 0 ? 0 : 1;
    lighter[i] = static_cast<float>(to_lab(piece.colour[i]).l - to_lab(planned[i]).l);
    if (out.counts[i] != 0)
      sorted.push_back(out.de00[i]);
  }
  if (!sorted.empty()) {
    const auto at = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() * 95 / 100);
    std::nth_element(sorted.begin(), at, sorted.end());
    out.p95_de00 = static_cast<double>(*at);
  }

  const Strengths strengths(record, firings_done);
  std::vector<std::size_t> spots;
  std::vector<Xyz> colours;
  for (const std::size_t point : even_points(planned, piece.untrusted)) {
    spots.push_back(bones.spots.at()[middle_of(point, seen.grid, record.separation.grid)]);
    colours.push_back(piece.colour[point]);
  }
  const Fitted found = fit(record, bones, moment, strengths, spots, colours);
  out.strength.assign(record.layers.size(), 1);
  for (std::size_t l = 0; l < strengths.layers().size(); ++l) {
    out.strength[strengths.layers()[l]] = strengths.of_layer(found.parameters, l);
    bones.layers[strengths.layers()[l]].load =
        record.layers[strengths.layers()[l]].load * out.strength[strengths.layers()[l]];
  }
  for (std::size_t i = 0; i < strengths.powders().size(); ++i) {
    const auto at = static_cast<Eigen::Index>(i);
    const double factor = std::exp(found.parameters[at]);
    out.powders.push_back({strengths.powders()[i], factor, factor * found.sigma[at]});
  }
  Image<float> left(seen.grid.width, seen.grid.height);
  out.explained_de00 = mean_difference(planned_on(bones, moment, seen.grid), piece, left);
  judge_layers(out, record, strengths, lighter);
  return out;
}

}  // namespace powderplan
