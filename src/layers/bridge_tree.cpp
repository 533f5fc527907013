#include "layers/bridge_tree.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

#include "layers/bridge_line.h"
#include "layers/distance_queue.h"

namespace powderplan {
namespace {

constexpr int border_part = 1;

// What becomes of a search once it has found something.
enum class Afterwards { goes_on, over };

// The ground at every `stride`-th point, and the search on it. A frame of nodes over which no way leads
// spares every look at a neighbour the question whether it is there.
class Search {
 public:
  Search(const BridgeGround& ground, BridgePlacement placement, int stride)
      : ground_(ground),
        placement_(placement),
        stride_(stride),
        width_(cells_over(ground.size().width, stride) + 2),
        height_(cells_over(ground.size().height, stride) + 2),
        part_(nodes()),
        edge_of_(static_cast<std::size_t>(ground.parts()) + 1),
        bridge_(nodes(), 0),
        reached_(nodes()) {
    for (int y = 0; y < ground.size().height; ++y) {
      for (const MaskRun& run : ground.places.row(y)) {
        int* row = part_.data() + (y / stride + 1) * width_ + 1;
        for (int x = run.begin / stride; x <= (run.end - 1) / stride; ++x)
          row[x] = std::max(row[x], run.part);
      }
    }
    const int cells = stride / ground.cell;  // 0: every point is a node
    for (int y = 1; y + 1 < height_; ++y) {
      const float* costs = ground.cost_of_cell.ptr<float>((y - 1) * stride / ground.cell);
      for (int x = 1; x + 1 < width_; ++x) {
        const int node = y * width_ + x;
        reached_[at(node)].cost = costs[cells > 0 ? (x - 1) * cells : (x - 1) / ground.cell];
        const int part = part_[at(node)];
        if (part == 0)
          continue;
        const bool at_edge = part_[at(node - 1)] != part || part_[at(node + 1)] != part ||
                             part_[at(node - width_)] != part || part_[at(node + width_)] != part;
        if (at_edge)
          edge_of_[at(part)].push_back(node);
      }
    }
  }

  // Joins every part to the border's.
  void grow_tree() {
    std::vector<bool> held(edge_of_.size(), false);
    held[border_part] = true;
    const auto is_held = [&](int part) { return part > 0 && held[at(part)]; };
    const auto anywhere = [](cv::Point) { return true; };
    const auto on_held = [&](cv::Point p) { return is_held(part_at(p)); };
    begin();
    start_at_part(border_part);
    const auto is_loose = [&](int node) { return part_[at(node)] > 0 && !is_held(part_[at(node)]); };
    // What is held is searched from its edge, never entered.
    const auto is_entered = [&](int node) { return is_held(part_[at(node)]); };
    while (const auto reached = next_where<Afterwards::goes_on>(is_loose, is_entered)) {
      const int part = part_[at(*reached)];
      const std::vector<int> along = build(*reached, anywhere, on_held);
      held[at(part)] = true;
      for (const int node : along)
        start_at(node);
      start_at_part(part);
    }
  }

  // More bridges for parts that one does not hold. Parts are seen to from the tips of the tree to the border.
  void hold_the_large(double hold) {
    const std::vector<FoundBridge> tree = bridges_;
    std::vector<std::vector<int>> hanging(edge_of_.size());
    for (const FoundBridge& b : tree)
      hanging[at(b.to)].push_back(b.from);
    // Not by std::views: Clang 14, which builds the fuzz targets, cannot read those of GCC 12.
    for (auto b = tree.rbegin(); b != tree.rend(); ++b) {
      std::vector<int> group{b->from};
      for (std::size_t i = 0; i < group.size(); ++i) {
        const auto& more = hanging[at(group[i])];
        group.insert(group.end(), more.begin(), more.end());
      }
      // All of it turns as one, so its outline is that of its box; for a circle, exactly.
      cv::Rect box;
      for (const int part : group)
        box |= ground_.box[at(part)];
      const double outline = std::numbers::pi / 2 * (box.width + box.height);
      const int wanted = static_cast<int>(std::ceil(outline / hold));
      if (wanted > 1)
        hold_group(group, wanted, std::hypot(box.width, box.height) / wanted);
    }
  }

  std::vector<FoundBridge> bridges() && { return std::move(bridges_); }

 private:
  [[nodiscard]] std::size_t nodes() const {
    return static_cast<std::size_t>(width_) * static_cast<std::size_t>(height_);
  }
  static std::size_t at(int number) { return static_cast<std::size_t>(number); }

  [[nodiscard]] int part_at(cv::Point p) const { return ground_.part_at(p); }

  // The point that a node stands for: one of its part, if it has one.
  [[nodiscard]] cv::Point point_of(int node) const {
    const auto [x, y] = corner_of(node);
    for (int py = y; py < std::min(y + stride_, ground_.size().height); ++py) {
      for (int px = x; px < std::min(x + stride_, ground_.size().width); ++px) {
        if (part_at({px, py}) == part_[at(node)])
          return {px, py};
      }
    }
    return {x, y};
  }

  [[nodiscard]] cv::Point corner_of(int node) const {
    return {(node % width_ - 1) * stride_, (node / width_ - 1) * stride_};
  }

  // A new search: what an earlier one left counts as untouched.
  void begin() {
    ++search_;
    queue_.clear();
  }
  void touch(int node, float distance, int before) {
    Reached& reached = reached_[at(node)];
    reached.search = search_;
    reached.distance = distance;
    reached.before = before;
  }

  void start_at(int node) {
    touch(node, 0, -1);
    queue_.add(0, node);
  }
  // Of a whole part only the nodes at its edge need to be searched from.
  void start_at_part(int part) {
    for (const int node : edge_of_[at(part)])
      start_at(node);
  }

  // Goes on with the search until a node satisfies `found`; the node stays to be searched from. No way leads
  // over nodes that are `closed`. A search that is not to be gone on with afterwards looks at no way that is
  // longer than one to such a node.
  template <Afterwards afterwards, class Found, class Closed>
  std::optional<int> next_where(const Found& found, const Closed& closed) {
    float longest = no_way;
    struct Step {
      int by;
      float half;  // of its length
    };
    const float straight = static_cast<float>(stride_) / 2,
                diagonal = straight * std::numbers::sqrt2_v<float>;
    const std::array<Step, 8> steps{{{-width_ - 1, diagonal},
                                     {-width_, straight},
                                     {-width_ + 1, diagonal},
                                     {-1, straight},
                                     {1, straight},
                                     {width_ - 1, diagonal},
                                     {width_, straight},
                                     {width_ + 1, diagonal}}};
    while (!queue_.empty()) {
      const auto [distance, node] = queue_.first();
      const Reached& here = reached_[at(node)];
      const bool newest = distance == here.distance;
      if (newest && found(node))
        return node;
      queue_.remove_first();
      if (!newest)
        continue;
      for (const Step& step : steps) {
        const int next = node + step.by;
        const Reached& there = reached_[at(next)];
        const float far = distance + step.half * (here.cost + there.cost);
        if (far >= longest || far >= (there.search == search_ ? there.distance : no_way) || closed(next))
          continue;
        if (afterwards == Afterwards::over && found(next))
          longest = far;
        touch(next, far, node);
        queue_.add(far, next);
      }
    }
    return std::nullopt;
  }

  // Builds the bridge from `reached`, a node of a part, back to where the search came from, and returns the
  // nodes that it covers.
  std::vector<int> build(int reached, const MayStand& first_may_stand, const MayStand& last_may_stand) {
    std::vector<int> way{reached};
    while (reached_[at(way.back())].before >= 0)
      way.push_back(reached_[at(way.back())].before);
    std::vector<cv::Point> points;
    points.reserve(way.size());
    for (const int node : way)
      points.push_back(point_of(node));
    // An end on another bridge stays there.
    const int part = part_[at(reached)], other_bridge = bridge_[at(way.back())];
    const cv::Point joint = points.back();
    const bool on_bridge = part_[at(way.back())] == 0;
    const MayStand first = [&](cv::Point p) { return part_at(p) == part && first_may_stand(p); };
    const MayStand second = [&](cv::Point p) { return on_bridge ? p == joint : last_may_stand(p); };
    FoundBridge bridge;
    bridge.line = placement_ == BridgePlacement::shortest
                      ? shortened(ground_, points.front(), points.back(), first, second)
                      : straightened(ground_, points, first, second);
    bridge.from = part;
    const int ends_on = part_at(bridge.line.back());
    bridge.to = ends_on > 0 ? ends_on : other_bridge;
    std::vector<int> covered;
    for (const cv::Point p : points_along(bridge.line, true)) {
      const int node = (p.y / stride_ + 1) * width_ + p.x / stride_ + 1;
      if (part_[at(node)] == 0 && bridge_[at(node)] == 0) {
        bridge_[at(node)] = part;
        covered.push_back(node);
      }
    }
    bridges_.push_back(std::move(bridge));
    return covered;
  }

  void hold_group(const std::vector<int>& group, int wanted, double apart) {
    std::vector<bool> inside(edge_of_.size(), false);
    for (const int part : group)
      inside[at(part)] = true;
    const auto is_inside = [&](int part) { return part > 0 && inside[at(part)]; };
    const auto is_outside = [&](int part) { return part > 0 && !inside[at(part)]; };
    // Where the group's bridges stand, in it and beyond.
    std::vector<cv::Point> feet, far_feet;
    const auto add_feet = [&](const FoundBridge& b) {
      const bool starts_inside = is_inside(b.from);
      feet.push_back(starts_inside ? b.line.front() : b.line.back());
      far_feet.push_back(starts_inside ? b.line.back() : b.line.front());
    };
    for (const FoundBridge& b : bridges_) {
      if (is_inside(b.from) != is_inside(b.to))
        add_feet(b);
    }
    const auto is_apart = [](cv::Point p, const std::vector<cv::Point>& others, double distance) {
      return std::all_of(others.begin(), others.end(), [&](cv::Point other) {
        const cv::Point2d way = p - other;
        return way.dot(way) >= distance * distance;
      });
    };
    const auto may_start = [&](cv::Point p) { return is_inside(part_at(p)) && is_apart(p, feet, apart); };
    const auto may_end = [&](cv::Point p) {
      return is_outside(part_at(p)) && is_apart(p, far_feet, apart / 2);
    };
    // No way leads over the sheet to where a bridge stands already.
    const auto closed = [&](int node) {
      return part_[at(node)] > 0 &&
             (is_inside(part_[at(node)]) || !is_apart(corner_of(node), far_feet, apart / 2));
    };
    while (static_cast<int>(feet.size()) < wanted) {
      begin();
      for (const int part : group) {
        for (const int node : edge_of_[at(part)]) {
          if (is_apart(corner_of(node), feet, apart))
            start_at(node);
        }
      }
      const auto reached =
          next_where<Afterwards::over>([&](int node) { return is_outside(part_[at(node)]); }, closed);
      if (!reached)
        return;
      build(*reached, may_end, may_start);
      std::swap(bridges_.back().from, bridges_.back().to);
      std::reverse(bridges_.back().line.begin(), bridges_.back().line.end());
      add_feet(bridges_.back());
    }
  }

  const BridgeGround& ground_;
  BridgePlacement placement_;
  int stride_, width_, height_;
  std::vector<int> part_;
  std::vector<std::vector<int>> edge_of_;  // of each part the nodes beside others
  std::vector<int> bridge_;                // the part that a bridge over a node holds; 0 = no bridge
  static constexpr float no_way = std::numeric_limits<float>::infinity();
  // What a node costs, and how the search that came to it last did so.
  struct Reached {
    float cost = no_way, distance = 0;
    int before = -1, search = 0;
  };
  int search_ = 0;
  std::vector<Reached> reached_;
  DistanceQueue queue_;
  std::vector<FoundBridge> bridges_;
};

}  // namespace

std::vector<FoundBridge> found_bridges(const BridgeGround& ground, BridgePlacement placement, double hold,
                                       int stride) {
  Search search(ground, placement, stride);
  search.grow_tree();
  search.hold_the_large(hold);
  return std::move(search).bridges();
}

}  // namespace powderplan
