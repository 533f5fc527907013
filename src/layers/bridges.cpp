#include "layers/bridges.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "layers/bridge_settle.h"
#include "layers/bridge_tree.h"
#include "layers/mask_view.h"

namespace powderplan {
namespace {

// A bridge is a little dearer than its error, so that where closing costs nothing it is still short: by a
// colour difference that nobody sees.
constexpr float for_length = 0.25F;

// Closes one of two openings that touch by a corner, so that neither hands nor sheets depend on a corner.
cv::Mat without_corners(cv::Mat open) {
  for (int y = 0; y + 1 < open.rows; ++y) {
    auto* upper = open.ptr<std::uint8_t>(y);
    auto* lower = open.ptr<std::uint8_t>(y + 1);
    for (int x = 0; x + 1 < open.cols; ++x) {
      if (upper[x] == lower[x + 1] && upper[x + 1] == lower[x] && upper[x] != upper[x + 1])
        lower[x] = lower[x + 1] = 0;
    }
  }
  return open;
}

cv::Mat cuttable(cv::Mat open, const WidthRule& rule) {
  for (;;) {
    open = rule.shrunk_to_rule(open);
    const cv::Mat apart = without_corners(open.clone());
    if (cv::countNonZero(apart != open) == 0)
      return open;
    open = apart;
  }
}

class Builder {
 public:
  Builder(const cv::Mat& open, const cv::Mat& cost, const Grid& grid, const StencilRules& rules,
          BridgePlacement placement)
      : rule_(rules.smallest, grid.pitch),
        strip_(std::max(rules.bridge, rules.smallest), grid.pitch),
        cost_(placement == BridgePlacement::shortest ? cv::Mat(cv::Mat::ones(cost.size(), CV_32F)) : cost),
        pitch_(grid.pitch),
        hold_(std::max(rules.hold, rules.smallest) / grid.pitch),
        placement_(placement),
        open_(cuttable(open, rule_)),
        over_(cv::Mat::zeros(open.size(), CV_32S)) {}

  void run() {
    for (int round = 0;; ++round) {
      BridgeGround ground = parts_of_sheet(open_, rule_, strip_.diameter());
      if (ground.in_one_piece())
        return;
      const int open_before = cv::countNonZero(open_);
      // What the first search leaves is due to its halved points, or to hollows closed afterwards.
      constexpr int rounds_of_bridges = 4;
      if (round < rounds_of_bridges) {
        add_costs(ground, open_, cost_, for_length);
        const int stride = round == 0 && rule_.diameter() >= 6 ? 2 : 1;
        std::vector<FoundBridge> found = found_bridges(ground, placement_, hold_, stride);
        if (placement_ == BridgePlacement::least_error)
          settle(found, ground, open_, cost_ + for_length, rule_, strip_);
        for (const FoundBridge& bridge : found)
          lay(bridge, ground);
        open_ = cuttable(open_, rule_);
      }
      // Something is closed in every round, so this ends.
      if (cv::countNonZero(open_) == open_before)
        close_round_islands(ground);
      if (cv::countNonZero(open_) == open_before)
        open_.setTo(0);
    }
  }

  [[nodiscard]] const cv::Mat& open() const { return open_; }
  [[nodiscard]] const cv::Mat& over() const { return over_; }
  [[nodiscard]] const std::vector<Bridge>& bridges() const { return bridges_; }

 private:
  void lay(const FoundBridge& found, const BridgeGround& ground) {
    bool closes = false;
    const int number = static_cast<int>(bridges_.size()) + 1;
    for (const cv::Point& p : covered_by(found.line, strip_, ground, open_.size())) {
      if (open_.at<std::uint8_t>(p) != 0) {
        closes = true;
        open_.at<std::uint8_t>(p) = 0;
        over_.at<int>(p) = number;
      }
    }
    if (!closes)
      return;
    // The centre of a disc of even diameter is the corner of its anchor.
    const double centre = strip_.diameter() % 2 == 1 ? 0.5 : 0.0;
    Bridge bridge;
    for (const cv::Point& p : found.line)
      bridge.middle.push_back(
          {(p.x - ground.margin + centre) * pitch_.value(), (p.y - ground.margin + centre) * pitch_.value()});
    bridges_.push_back(std::move(bridge));
  }

  // The last resort: the openings round what is still loose are given up.
  void close_round_islands(const BridgeGround& ground) {
    cv::Mat openings, near;
    cv::connectedComponents(open_, openings, 8, CV_32S);
    const cv::Rect piece(ground.margin, ground.margin, open_.cols, open_.rows);
    cv::dilate(ground.part_at(piece) > 1, near, disc_kernel(2 * rule_.diameter() + 3));
    std::vector<bool> given_up(open_.total() + 1, false);
    for (int y = 0; y < open_.rows; ++y) {
      for (int x = 0; x < open_.cols; ++x) {
        if (near.at<std::uint8_t>(y, x) != 0)
          given_up[static_cast<std::size_t>(openings.at<int>(y, x))] = true;
      }
    }
    for (int y = 0; y < open_.rows; ++y) {
      for (int x = 0; x < open_.cols; ++x) {
        if (given_up[static_cast<std::size_t>(openings.at<int>(y, x))])
          open_.at<std::uint8_t>(y, x) = 0;
      }
    }
    open_ = cuttable(open_, rule_);
  }

  WidthRule rule_, strip_;
  cv::Mat cost_;
  Millimetres pitch_;
  double hold_;
  BridgePlacement placement_;
  cv::Mat open_;
  cv::Mat over_;  // CV_32S: which bridge closed a point, counted from 1
  std::vector<Bridge> bridges_;
};

double distance_to(const LineMm& line, PointMm p) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < line.size(); ++i) {
    const PointMm a = line[i == 0 ? 0 : i - 1], b = line[i];
    const double dx = b.x - a.x, dy = b.y - a.y, squared = dx * dx + dy * dy;
    const double along =
        squared > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / squared, 0.0, 1.0) : 0.0;
    least = std::min(least, std::hypot(p.x - a.x - along * dx, p.y - a.y - along * dy));
  }
  return least;
}

// Every point closed between `before` and `after` is charged to a bridge: to the one that covers it, or that
// it hangs together with by closed points, or else to the nearest. `over` (CV_32S) says which bridge covers a
// point, counted from 1.
void charge(std::vector<Bridge>& bridges, const cv::Mat& before, const cv::Mat& after, const cv::Mat& cost,
            cv::Mat over, const Grid& grid) {
  if (bridges.empty())
    return;
  const cv::Mat closed = before != after;
  const cv::Rect piece({0, 0}, before.size());
  std::vector<cv::Point> reached;
  for (int y = 0; y < closed.rows; ++y) {
    for (int x = 0; x < closed.cols; ++x) {
      if (closed.at<std::uint8_t>(y, x) != 0 && over.at<int>(y, x) != 0)
        reached.emplace_back(x, y);
    }
  }
  for (std::size_t i = 0; i < reached.size(); ++i) {
    for (int k = 0; k < 9; ++k) {
      const cv::Point p = reached[i] + cv::Point(k % 3 - 1, k / 3 - 1);
      if (piece.contains(p) && closed.at<std::uint8_t>(p) != 0 && over.at<int>(p) == 0) {
        over.at<int>(p) = over.at<int>(reached[i]);
        reached.push_back(p);
      }
    }
  }
  const double pitch = grid.pitch.value();
  for (int y = 0; y < closed.rows; ++y) {
    for (int x = 0; x < closed.cols; ++x) {
      if (closed.at<std::uint8_t>(y, x) == 0)
        continue;
      const PointMm p{(x + 0.5) * pitch, (y + 0.5) * pitch};
      const int covering = over.at<int>(y, x);
      Bridge& bridge =
          covering > 0
              ? bridges[static_cast<std::size_t>(covering) - 1]
              : *std::min_element(bridges.begin(), bridges.end(), [&](const Bridge& a, const Bridge& b) {
                  return distance_to(a.middle, p) < distance_to(b.middle, p);
                });
      bridge.error_cm2 += static_cast<double>(cost.at<float>(y, x)) * grid.point_cm2();
    }
  }
}

}  // namespace

BridgedMask bridged(const Image<std::uint8_t>& mask, const Image<float>& cost_of_closing, const Grid& grid,
                    const StencilRules& rules, BridgePlacement placement) {
  BridgedMask result;
  if (mask.empty())
    return result;
  const cv::Mat wanted = view_of(mask), cost = view_of(cost_of_closing);
  Builder builder(wanted.clone(), cost, grid, rules, placement);
  const cv::Mat before = builder.open().clone();
  builder.run();
  result.open = image_of(builder.open());
  result.bridges = builder.bridges();
  charge(result.bridges, before, view_of(result.open), cost, builder.over(), grid);
  result.error_cm2 = error_of_closing(mask, result.open, cost_of_closing, grid);
  return result;
}

void charge_to_nearest(std::vector<Bridge>& bridges, const Image<std::uint8_t>& mask,
                       const Image<std::uint8_t>& open, const Image<float>& cost_of_closing,
                       const Grid& grid) {
  for (Bridge& bridge : bridges)
    bridge.error_cm2 = 0;
  const cv::Mat wanted = view_of(mask);
  charge(bridges, wanted, view_of(open) & wanted, view_of(cost_of_closing),
         cv::Mat::zeros(wanted.size(), CV_32S), grid);
}

double error_of_closing(const Image<std::uint8_t>& mask, const Image<std::uint8_t>& open,
                        const Image<float>& cost_of_closing, const Grid& grid) {
  double sum = 0;
  for (std::size_t i = 0; i < mask.size(); ++i) {
    if (mask[i] != 0 && open[i] == 0)
      sum += static_cast<double>(cost_of_closing[i]);
  }
  return sum * grid.point_cm2();
}

}  // namespace powderplan
