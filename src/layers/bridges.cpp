#include "layers/bridges.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "layers/bridge_settle.h"
#include "layers/bridge_tree.h"
#include "layers/mask_parts.h"
#include "separation/disc_sweep.h"
#include "separation/width_rule.h"

namespace powderplan {
namespace {

// A bridge is a little dearer than its error, so that where closing costs nothing it is still short: by a
// colour difference that nobody sees.
constexpr float for_length = 0.25F;

// Closes one of two openings that touch by a corner, so that neither hands nor sheets depend on a corner.
// Returns whether there were any.
bool part_corners(BitMask& open) {
  bool found = false;
  for (int y = 0; y + 1 < open.height(); ++y) {
    const std::uint64_t* upper = open.row(y);
    std::uint64_t* lower = open.row(y + 1);
    std::uint64_t carried = 0;  // the point after a corner in the word before
    for (int i = 0; i < open.words(); ++i) {
      const bool last = i + 1 == open.words();
      const auto next_to = [&](const std::uint64_t* row) {
        return row[i] >> 1 | (last ? 0 : row[i + 1] << (BitMask::word_bits - 1));
      };
      const std::uint64_t u = upper[i], l = lower[i], u_next = next_to(upper), l_next = next_to(lower);
      std::uint64_t corners = ~(u ^ l_next) & ~(u_next ^ l) & (u ^ u_next);
      // There is no point beyond the last.
      if (last)
        corners &= ~(std::uint64_t{1} << ((open.width() - 1) % BitMask::word_bits));
      found = found || corners != 0;
      lower[i] &= ~(corners | corners << 1 | carried);
      carried = corners >> (BitMask::word_bits - 1);
    }
  }
  return found;
}

class Builder {
 public:
  Builder(const BitMask& open, const CellCosts& cost, const Grid& grid, const StencilRules& rules,
          BridgePlacement placement)
      : rule_(rules.smallest, grid.pitch),
        strip_(std::max(rules.bridge, rules.smallest), grid.pitch),
        pitch_(grid.pitch),
        hold_(std::max(rules.hold, rules.smallest) / grid.pitch),
        placement_(placement),
        open_(cuttable(open)) {
    if (placement == BridgePlacement::shortest)
      cost_ = {Image<float>(cost.costs().width(), cost.costs().height(), 1.0F), cost.cell()};
    else
      cost_ = cost;
  }

  void lay(const std::vector<Bridge>& staying) {
    if (staying.empty())
      return;
    for (const Bridge& bridge : staying) {
      FoundBridge found;
      for (const PointMm& p : bridge.middle)
        found.line.emplace_back(static_cast<int>(std::lround(p.x / pitch_.value() - centre())),
                                static_cast<int>(std::lround(p.y / pitch_.value() - centre())));
      lay(found, BridgeGround());  // there is no margin
    }
    open_ = cuttable(std::move(open_));
  }

  void run() {
    for (int round = 0;; ++round) {
      BridgeGround ground = parts_of_sheet(open_, rule_, strip_.diameter(), cost_.cell());
      if (ground.in_one_piece())
        return;
      const std::size_t open_before = open_.count();
      // What the first search leaves is due to its few points, or to hollows closed afterwards.
      constexpr int rounds_of_bridges = 4;
      if (round < rounds_of_bridges) {
        add_costs(ground, open_, cost_, for_length);
        // Cheap ways may be narrow; short ones are found with fewer points too.
        const int across = round == 0 && placement_ == BridgePlacement::shortest ? 2 : 4;
        const int stride = std::max(1, rule_.diameter() / across);
        std::vector<FoundBridge> found = found_bridges(ground, placement_, hold_, stride);
        if (placement_ == BridgePlacement::least_error)
          settle(found, ground, open_, cost_, for_length, rule_, strip_);
        for (const FoundBridge& bridge : found)
          lay(bridge, ground);
        open_ = cuttable(std::move(open_));
      }
      // Something is closed in every round, so this ends.
      if (open_.count() == open_before)
        close_round_islands(ground);
      if (open_.count() == open_before)
        open_ = BitMask(open_.width(), open_.height());
    }
  }

  [[nodiscard]] const BitMask& open() const { return open_; }
  [[nodiscard]] const std::vector<Bridge>& bridges() const { return bridges_; }
  // The points that a bridge closed, and which one, counted from 1.
  [[nodiscard]] const std::vector<std::pair<cv::Point, int>>& over() const { return over_; }

 private:
  [[nodiscard]] BitMask cuttable(BitMask open) const {
    do
      open = rule_.shrunk_to_rule(std::move(open));
    while (part_corners(open));
    return open;
  }

  // The centre of a disc of even diameter is the corner of its anchor.
  [[nodiscard]] double centre() const { return strip_.diameter() % 2 == 1 ? 0.5 : 0.0; }

  void lay(const FoundBridge& found, const BridgeGround& ground) {
    bool closes = false;
    const int number = static_cast<int>(bridges_.size()) + 1;
    for (const cv::Point& p : covered_by(found.line, strip_, ground, open_.size())) {
      if (open_.at(p.x, p.y)) {
        closes = true;
        open_.clear(p.x, p.y);
        over_.emplace_back(p, number);
      }
    }
    if (!closes)
      return;
    Bridge bridge;
    for (const cv::Point& p : found.line)
      bridge.middle.push_back({(p.x - ground.margin + centre()) * pitch_.value(),
                               (p.y - ground.margin + centre()) * pitch_.value()});
    bridges_.push_back(std::move(bridge));
  }

  // The last resort: the openings round what is still loose are given up.
  void close_round_islands(const BridgeGround& ground) {
    const MaskParts openings(open_, Touching::by_corners_too);
    BitMask loose(open_.width(), open_.height());
    for (int y = 0; y < open_.height(); ++y) {
      for (const MaskRun& run : ground.places.row(y + ground.margin)) {
        if (run.part > 1)
          loose.set_run(y, run.begin - ground.margin, run.end - ground.margin);
      }
    }
    const BitMask near = discs_touching(loose, 2 * rule_.diameter() + 3);
    std::vector<bool> given_up(static_cast<std::size_t>(openings.count()) + 1, false);
    near.for_each([&](int x, int y) { given_up[static_cast<std::size_t>(openings.at(x, y))] = true; });
    for (int y = 0; y < open_.height(); ++y) {
      for (const MaskRun& run : openings.row(y)) {
        if (given_up[static_cast<std::size_t>(run.part)])
          open_.clear_run(y, run.begin, run.end);
      }
    }
    open_ = cuttable(std::move(open_));
  }

  WidthRule rule_, strip_;
  CellCosts cost_;
  Millimetres pitch_;
  double hold_;
  BridgePlacement placement_;
  BitMask open_;
  std::vector<std::pair<cv::Point, int>> over_;
  std::vector<Bridge> bridges_;
};

// Some points of a grid, each with a number, found by their place.
class NumberedPoints {
 public:
  explicit NumberedPoints(const BitMask& points) : first_(static_cast<std::size_t>(points.height()) + 1, 0) {
    points.for_each([&](int x, int y) {
      points_.emplace_back(x, y);
      ++first_[static_cast<std::size_t>(y) + 1];
    });
    std::partial_sum(first_.begin(), first_.end(), first_.begin());
    numbers_.resize(points_.size(), 0);
  }
  [[nodiscard]] std::size_t size() const { return points_.size(); }
  [[nodiscard]] cv::Point point(std::size_t i) const { return points_[i]; }
  [[nodiscard]] int& number(std::size_t i) { return numbers_[i]; }
  // The place in the list; size() if the point is none of these.
  [[nodiscard]] std::size_t find(cv::Point p) const {
    if (p.y < 0 || static_cast<std::size_t>(p.y) + 1 >= first_.size())
      return size();
    const auto row = static_cast<std::size_t>(p.y);
    const auto begin = points_.begin() + static_cast<std::ptrdiff_t>(first_[row]),
               end = points_.begin() + static_cast<std::ptrdiff_t>(first_[row + 1]);
    const auto at = std::lower_bound(begin, end, p.x, [](cv::Point a, int x) { return a.x < x; });
    return at != end && at->x == p.x ? static_cast<std::size_t>(at - points_.begin()) : size();
  }

 private:
  std::vector<cv::Point> points_;
  std::vector<int> numbers_;
  std::vector<std::size_t> first_;  // of each row
};

// Every closed point is charged to a bridge: to the one that covers it, or that it hangs together with by
// closed points, or else to the nearest. `over` says which bridge covers a point, counted from 1.
void charge(std::vector<Bridge>& bridges, const BitMask& closed_points, const CellCosts& cost,
            const std::vector<std::pair<cv::Point, int>>& over, const Grid& grid) {
  if (bridges.empty())
    return;
  NumberedPoints closed(closed_points);
  std::vector<std::size_t> reached;
  for (const auto& [point, bridge] : over) {
    const std::size_t i = closed.find(point);
    if (i == closed.size())
      continue;
    closed.number(i) = bridge;
    reached.push_back(i);
  }
  std::sort(reached.begin(), reached.end());
  for (std::size_t i = 0; i < reached.size(); ++i) {
    for (int k = 0; k < 9; ++k) {
      const std::size_t beside = closed.find(closed.point(reached[i]) + cv::Point(k % 3 - 1, k / 3 - 1));
      if (beside != closed.size() && closed.number(beside) == 0) {
        closed.number(beside) = closed.number(reached[i]);
        reached.push_back(beside);
      }
    }
  }
  const double pitch = grid.pitch.value();
  for (std::size_t i = 0; i < closed.size(); ++i) {
    const cv::Point at = closed.point(i);
    const PointMm p{(at.x + 0.5) * pitch, (at.y + 0.5) * pitch};
    const int covering = closed.number(i);
    Bridge& bridge =
        covering > 0
            ? bridges[static_cast<std::size_t>(covering) - 1]
            : *std::min_element(bridges.begin(), bridges.end(), [&](const Bridge& a, const Bridge& b) {
                return distance_to(a.middle, p) < distance_to(b.middle, p);
              });
    bridge.error_cm2 += static_cast<double>(cost.at(at.x, at.y)) * grid.point_cm2();
  }
}

}  // namespace

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

BridgedMask bridged(const BitMask& mask, const CellCosts& cost_of_closing, const Grid& grid,
                    const StencilRules& rules, BridgePlacement placement,
                    const std::vector<Bridge>& staying) {
  BridgedMask result;
  if (mask.empty())
    return result;
  Builder builder(mask, cost_of_closing, grid, rules, placement);
  BitMask closed = builder.open();
  builder.lay(staying);
  builder.run();
  result.open = builder.open();
  result.bridges = builder.bridges();
  charge(result.bridges, closed.remove(result.open), cost_of_closing, builder.over(), grid);
  result.error_cm2 = error_of_closing(mask, result.open, cost_of_closing, grid);
  return result;
}

void charge_to_nearest(std::vector<Bridge>& bridges, const BitMask& mask, const BitMask& open,
                       const CellCosts& cost_of_closing, const Grid& grid) {
  for (Bridge& bridge : bridges)
    bridge.error_cm2 = 0;
  BitMask closed = mask;
  charge(bridges, closed.remove(open), cost_of_closing, {}, grid);
}

double error_of_closing(const BitMask& mask, const BitMask& open, const CellCosts& cost_of_closing,
                        const Grid& grid) {
  double sum = 0;
  BitMask closed = mask;
  closed.remove(open).for_each([&](int x, int y) { sum += static_cast<double>(cost_of_closing.at(x, y)); });
  return sum * grid.point_cm2();
}

}  // namespace powderplan
