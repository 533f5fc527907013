#include "layers/bridge_settle.h"

#include <algorithm>
#include <array>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "layers/bridge_line.h"

namespace powderplan {
namespace {

constexpr int farthest_move = 10;  // of a corner, in points

class Settling {
 public:
  Settling(std::vector<FoundBridge>& bridges, const BridgeGround& ground, const cv::Mat& open,
           const cv::Mat& cost, const WidthRule& rule, const WidthRule& strip)
      : bridges_(bridges),
        ground_(ground),
        open_(open),
        cost_(cost),
        rule_(rule),
        strip_(strip),
        bridges_over_(cv::Mat::zeros(open.size(), CV_16U)) {
    for (std::size_t i = 0; i < bridges_.size(); ++i) {
      count(bridges_[i].line, 1);
      for (const cv::Point end : {bridges_[i].line.front(), bridges_[i].line.back()}) {
        if (part_at(end) == 0)
          ends_on_bridges_.emplace_back(end, i);
      }
    }
  }

  void run() {
    for (std::size_t i = 0; i < bridges_.size(); ++i) {
      if (!carries_another(i))
        settle_one(bridges_[i]);
    }
  }

 private:
  [[nodiscard]] int part_at(cv::Point p) const { return ground_.part_at.at<int>(p.y, p.x); }

  // A bridge on which another ends stays, or that one would end in the air.
  [[nodiscard]] bool carries_another(std::size_t i) const {
    const std::vector<cv::Point> along = points_along(bridges_[i].line, true);
    return std::any_of(ends_on_bridges_.begin(), ends_on_bridges_.end(), [&](const auto& end) {
      return end.second != i && std::any_of(along.begin(), along.end(), [&](cv::Point p) {
               return std::abs(p.x - end.first.x) <= 2 && std::abs(p.y - end.first.y) <= 2;
             });
    });
  }

  void count(const std::vector<cv::Point>& line, int change) {
    for (const cv::Point& p : covered_by(line, strip_, ground_, open_.size())) {
      auto& over = bridges_over_.at<std::uint16_t>(p);
      over = static_cast<std::uint16_t>(over + change);
    }
  }

  // What closes within the window when the bridge takes this line.
  [[nodiscard]] double closed(const std::vector<cv::Point>& line, const cv::Rect& window,
                              const cv::Mat& without) const {
    cv::Mat left = without.clone();
    const cv::Point corner = cv::Point(ground_.margin, ground_.margin) + window.tl();
    for (const cv::Point& p : points_along(line, strip_.diameter() > 2)) {
      for (const cv::Point& offset : strip_.disc()) {
        const cv::Point q = p + offset - corner;
        if (q.x >= 0 && q.y >= 0 && q.x < left.cols && q.y < left.rows)
          left.at<std::uint8_t>(q) = 0;
      }
    }
    left = rule_.opened(left);
    double sum = 0;
    for (int y = 0; y < window.height; ++y) {
      const auto* before = open_.ptr<std::uint8_t>(window.y + y) + window.x;
      const auto* after = left.ptr<std::uint8_t>(y);
      const auto* cost = cost_.ptr<float>(window.y + y) + window.x;
      for (int x = 0; x < window.width; ++x) {
        if (before[x] != after[x])
          sum += static_cast<double>(cost[x]);
      }
    }
    return sum;
  }

  void settle_one(FoundBridge& bridge) {
    std::vector<cv::Point>& line = bridge.line;
    const std::vector<cv::Point> stood = line;
    const std::array<int, 2> part{part_at(line.front()), part_at(line.back())};
    const int room = farthest_move + strip_.diameter() + 2 * rule_.diameter();
    cv::Rect window = cv::boundingRect(line) - cv::Point(ground_.margin, ground_.margin);
    window = cv::Rect(window.x - room, window.y - room, window.width + 2 * room, window.height + 2 * room) &
             cv::Rect({0, 0}, open_.size());
    if (window.empty())
      return;
    count(line, -1);
    const cv::Mat without = open_(window) & cv::Mat(bridges_over_(window) == 0);
    double least = closed(line, window, without);
    const auto allowed = [&](const std::vector<cv::Point>& moved) {
      for (std::size_t i = 0; i < moved.size(); ++i) {
        const cv::Point off = moved[i] - stood[i], p = moved[i];
        if (std::max(std::abs(off.x), std::abs(off.y)) > farthest_move || p.x < 0 || p.y < 0 ||
            p.x >= ground_.part_at.cols || p.y >= ground_.part_at.rows)
          return false;
      }
      const auto end_stands = [&](cv::Point now, cv::Point then, int on) {
        return on == 0 ? now == then : part_at(now) == on;
      };
      return end_stands(moved.front(), stood.front(), part[0]) &&
             end_stands(moved.back(), stood.back(), part[1]);
    };
    // What the strip alone closes, nearly; there is no need to look closer at a line that costs more.
    const auto strip_alone = [&](const std::vector<cv::Point>& moved) {
      double sum = 0;
      for (std::size_t i = 1; i < moved.size(); ++i)
        sum += cost_of_line(ground_, moved[i - 1], moved[i]);
      return sum;
    };
    for (const int stride : {6, 3, 1}) {
      constexpr int most_rounds = 3;
      bool better = true;
      for (int round = 0; round < most_rounds && better; ++round) {
        better = false;
        std::vector<cv::Point> best = line;
        for (std::size_t corner = 0; corner <= line.size(); ++corner) {
          for (int way = 0; way < 9; ++way) {
            std::vector<cv::Point> moved = line;
            const cv::Point step = cv::Point(way % 3 - 1, way / 3 - 1) * stride;
            for (std::size_t i = 0; i < line.size(); ++i) {
              if (i == corner || corner == line.size())
                moved[i] += step;
            }
            if (way == 4 || !allowed(moved) || strip_alone(moved) > least)
              continue;
            const double cost = closed(moved, window, without);
            if (cost < least - 1e-9) {
              least = cost;
              best = moved;
              better = true;
            }
          }
        }
        line = best;
      }
    }
    count(line, 1);
  }

  std::vector<FoundBridge>& bridges_;
  const BridgeGround& ground_;
  const cv::Mat &open_, &cost_;
  const WidthRule &rule_, &strip_;
  std::vector<std::pair<cv::Point, std::size_t>> ends_on_bridges_;  // where, and of which bridge
  cv::Mat bridges_over_;                                            // how many bridges cover a point
};

}  // namespace

void settle(std::vector<FoundBridge>& bridges, const BridgeGround& ground, const cv::Mat& open,
            const cv::Mat& cost, const WidthRule& rule, const WidthRule& strip) {
  Settling(bridges, ground, open, cost, rule, strip).run();
}

std::vector<cv::Point> covered_by(const std::vector<cv::Point>& line, const WidthRule& strip,
                                  const BridgeGround& ground, const cv::Size& piece) {
  std::vector<cv::Point> covered;
  const cv::Rect inside({0, 0}, piece);
  // Discs that touch by a corner only would be two points wide and no more.
  for (const cv::Point& p : points_along(line, strip.diameter() > 2)) {
    for (const cv::Point& offset : strip.disc()) {
      const cv::Point q = p + offset - cv::Point(ground.margin, ground.margin);
      if (inside.contains(q))
        covered.push_back(q);
    }
  }
  const auto before = [](cv::Point a, cv::Point b) { return a.y != b.y ? a.y < b.y : a.x < b.x; };
  std::sort(covered.begin(), covered.end(), before);
  covered.erase(std::unique(covered.begin(), covered.end()), covered.end());
  return covered;
}

}  // namespace powderplan
