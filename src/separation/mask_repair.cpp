#include "separation/mask_repair.h"

#include <opencv2/imgproc.hpp>
#include <vector>

#include "separation/mask_parts.h"

namespace powderplan {
namespace {

// Each round mends what the one before left or made; after these the rest is only taken away.
constexpr int most_rounds = 4;
// A long narrow part is decided on piece by piece, each in a tile of this many diameters.
constexpr int tile_diameters = 2;

// One kind of narrow part: of the openings (value 1) or of the webs (value 0).
class NarrowParts {
 public:
  NarrowParts(const cv::Mat& narrow, const cv::Mat& mask, std::uint8_t value, const cv::Mat& cost, const WidthRule& rule)
      : mask_(mask), value_(value), cost_(cost), rule_(rule) {
    const MaskParts parts = parts_of(narrow, tile_diameters * rule.diameter());
    count_ = parts.count;
    ids_ = parts.ids;
    find_ridges();
  }
  [[nodiscard]] bool none() const { return count_ <= 1; }

  // The mask with each part given up or widened.
  [[nodiscard]] cv::Mat settled() const {
    const std::vector<double> giving_up = cost_of_giving_up();
    cv::Mat out = mask_.clone();
    cv::Mat stamp = cv::Mat::zeros(mask_.size(), CV_32S);
    std::vector<bool> widen(static_cast<std::size_t>(count_), false);
    for (int id = 1; id < count_; ++id) {
      double cost = 0;
      for_each_cover_point(id, [&](int y, int x) {
        auto& mark = stamp.at<int>(y, x);
        if (mark == id || mask_.at<std::uint8_t>(y, x) == value_)
          return;
        mark = id;
        cost += signed_cost(y, x, value_);
      });
      widen[static_cast<std::size_t>(id)] = cost < giving_up[static_cast<std::size_t>(id)];
    }
    for (int y = 0; y < mask_.rows; ++y) {
      for (int x = 0; x < mask_.cols; ++x) {
        const int id = ids_.at<int>(y, x);
        if (id > 0 && !widen[static_cast<std::size_t>(id)])
          out.at<std::uint8_t>(y, x) = 1 - value_;
      }
    }
    for (int id = 1; id < count_; ++id) {
      if (widen[static_cast<std::size_t>(id)])
        for_each_cover_point(id, [&](int y, int x) { out.at<std::uint8_t>(y, x) = value_; });
    }
    return out;
  }

 private:
  // What giving a point this value costs.
  [[nodiscard]] double signed_cost(int y, int x, std::uint8_t value) const {
    const double c = cost_.at<float>(y, x);
    return value == 1 ? c : -c;
  }
  [[nodiscard]] std::vector<double> cost_of_giving_up() const {
    std::vector<double> sum(static_cast<std::size_t>(count_), 0.0);
    for (int y = 0; y < mask_.rows; ++y) {
      for (int x = 0; x < mask_.cols; ++x)
        sum[static_cast<std::size_t>(ids_.at<int>(y, x))] += signed_cost(y, x, static_cast<std::uint8_t>(1 - value_));
    }
    return sum;
  }
  // The middle lines of the narrow parts: points as far from the other side as any of their neighbours.
  void find_ridges() {
    cv::Mat distance, highest;
    const cv::Mat own = value_ == 1 ? mask_ : cv::Mat(1 - mask_);
    cv::distanceTransform(own, distance, cv::DIST_L2, 3);
    cv::dilate(distance, highest, cv::Mat::ones(3, 3, CV_8U));
    first_.assign(static_cast<std::size_t>(count_) + 1, 0);
    const auto on_ridge = [&](int y, int x) {
      return ids_.at<int>(y, x) > 0 && distance.at<float>(y, x) >= highest.at<float>(y, x) - 0.01F;
    };
    for (int y = 0; y < ids_.rows; ++y) {
      for (int x = 0; x < ids_.cols; ++x) {
        if (on_ridge(y, x))
          ++first_[static_cast<std::size_t>(ids_.at<int>(y, x)) + 1];
      }
    }
    for (std::size_t i = 1; i < first_.size(); ++i)
      first_[i] += first_[i - 1];
    ridge_.resize(first_.back());
    std::vector<std::size_t> next(first_.begin(), first_.end());
    for (int y = 0; y < ids_.rows; ++y) {
      for (int x = 0; x < ids_.cols; ++x) {
        if (on_ridge(y, x))
          ridge_[next[static_cast<std::size_t>(ids_.at<int>(y, x))]++] = {x, y};
      }
    }
  }
  template <class F>
  void for_each_cover_point(int id, F&& visit) const {
    for (std::size_t i = first_[static_cast<std::size_t>(id)]; i < first_[static_cast<std::size_t>(id) + 1]; ++i) {
      for (const cv::Point& offset : rule_.disc()) {
        const int x = ridge_[i].x + offset.x, y = ridge_[i].y + offset.y;
        if (x >= 0 && y >= 0 && x < mask_.cols && y < mask_.rows)
          visit(y, x);
      }
    }
  }

  cv::Mat mask_;
  std::uint8_t value_;
  cv::Mat cost_;
  const WidthRule& rule_;
  int count_ = 0;
  cv::Mat ids_;
  std::vector<cv::Point> ridge_;      // grouped by part
  std::vector<std::size_t> first_;    // where each part's ridge begins
};

}  // namespace

cv::Mat repaired(cv::Mat mask, const cv::Mat& cost_of_opening, const WidthRule& rule) {
  for (int round = 0; round < most_rounds; ++round) {
    const NarrowParts openings(rule.narrow_openings(mask), mask, 1, cost_of_opening, rule);
    if (!openings.none())
      mask = openings.settled();
    const NarrowParts webs(rule.narrow_webs(mask), mask, 0, cost_of_opening, rule);
    if (webs.none() && openings.none())
      return mask;
    if (!webs.none())
      mask = webs.settled();
  }
  return rule.shrunk_to_rule(rule.closed(rule.opened(mask)));
}

}  // namespace powderplan
