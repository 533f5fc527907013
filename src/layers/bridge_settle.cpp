#include "layers/bridge_settle.h"

#include <algorithm>
#include <array>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "layers/bridge_line.h"
#include "parallel.h"
#include "separation/disc_sweep.h"

namespace powderplan {
namespace {

constexpr int farthest_move = 10;  // of a corner, in points

// For each rectangle the others that it meets, in their order. They are looked for by squares of the plane:
// a pair comes up in the square in which its common part begins.
std::vector<std::vector<std::size_t>> meetings_of(const std::vector<cv::Rect>& boxes) {
  constexpr int square = 64;
  cv::Rect all;
  for (const cv::Rect& box : boxes)
    all |= box;
  const int columns = cells_over(all.width, square);
  std::vector<std::vector<std::size_t>> in_square(static_cast<std::size_t>(columns) *
                                                  static_cast<std::size_t>(cells_over(all.height, square)));
  std::vector<std::vector<std::size_t>> meetings(boxes.size());
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    const cv::Rect& box = boxes[i];
    if (box.empty())
      continue;
    for (int row = (box.y - all.y) / square; row <= (box.br().y - 1 - all.y) / square; ++row) {
      for (int column = (box.x - all.x) / square; column <= (box.br().x - 1 - all.x) / square; ++column) {
        auto& here = in_square[static_cast<std::size_t>(row * columns + column)];
        for (const std::size_t k : here) {
          const cv::Rect common = boxes[k] & box;
          if (!common.empty() && (common.x - all.x) / square == column &&
              (common.y - all.y) / square == row) {
            meetings[i].push_back(k);
            meetings[k].push_back(i);
          }
        }
        here.push_back(i);
      }
    }
  }
  for (std::vector<std::size_t>& of : meetings)
    std::sort(of.begin(), of.end());
  return meetings;
}

class Settling {
 public:
  Settling(std::vector<FoundBridge>& bridges, const BridgeGround& ground, const BitMask& open,
           const CellCosts& cost, float for_length, const WidthRule& rule, const WidthRule& strip)
      : bridges_(bridges),
        ground_(ground),
        open_(open),
        cost_(cost),
        for_length_(for_length),
        rule_(rule),
        strip_(strip),
        disc_(rows_of_disc(strip.diameter(), false)),
        room_(farthest_move + strip.diameter() + 2 * rule.diameter()),
        ends_on_bridges_(bridges.size()) {
    for (std::size_t i = 0; i < bridges_.size(); ++i) {
      windows_.push_back(window_round(bridges_[i].line));
      for (const cv::Point end : {bridges_[i].line.front(), bridges_[i].line.back()}) {
        if (part_at(end) == 0)
          ends_on_bridges_[i].push_back(end);
      }
    }
    meetings_ = meetings_of(windows_);
    for (int i = 0; i < std::max(open.width(), open.height()); ++i)
      cell_of_.push_back(i / cost.cell());
  }

  // Bridges whose windows do not meet are settled at the same time, after those before them that they meet.
  void run() {
    std::vector<std::vector<std::size_t>> turns;
    std::vector<std::size_t> turn_of(bridges_.size(), 0);
    for (std::size_t i = 0; i < bridges_.size(); ++i) {
      for (const std::size_t k : meetings_[i]) {
        if (k < i)
          turn_of[i] = std::max(turn_of[i], turn_of[k] + 1);
      }
      turns.resize(std::max(turns.size(), turn_of[i] + 1));
      if (!carries_another(i))
        turns[turn_of[i]].push_back(i);
    }
    for (const std::vector<std::size_t>& together : turns)
      for_each_block(together.size(), [&](std::size_t k) { settle_one(together[k]); });
  }

 private:
  [[nodiscard]] int part_at(cv::Point p) const { return ground_.part_at(p); }

  // A bridge on which another ends stays, or that one would end in the air. Their windows meet: they reach
  // farther beyond the piece than the ground does.
  [[nodiscard]] bool carries_another(std::size_t i) const {
    const std::vector<cv::Point> along = points_along(bridges_[i].line, true);
    const auto is_beside = [&](cv::Point end) {
      return std::any_of(along.begin(), along.end(), [&](cv::Point p) {
        return std::abs(p.x - end.x) <= 2 && std::abs(p.y - end.y) <= 2;
      });
    };
    return std::any_of(meetings_[i].begin(), meetings_[i].end(), [&](std::size_t k) {
      return std::any_of(ends_on_bridges_[k].begin(), ends_on_bridges_[k].end(), is_beside);
    });
  }

  // Takes the strip along the line away from a mask of the window.
  void clear_strip(BitMask& mask, std::vector<cv::Point> points, const cv::Rect& window) const {
    for (cv::Point& p : points)
      p -= cv::Point(ground_.margin, ground_.margin) + window.tl();
    clear_discs(mask, disc_, points);
  }
  [[nodiscard]] std::vector<cv::Point> middle_of(const std::vector<cv::Point>& line) const {
    return points_along(line, strip_.diameter() > 2);
  }
  // Where the bridge and its moves may close points, on the grid of the piece.
  [[nodiscard]] cv::Rect window_round(const std::vector<cv::Point>& line) const {
    const cv::Rect box = cv::boundingRect(line) - cv::Point(ground_.margin, ground_.margin);
    return cv::Rect(box.x - room_, box.y - room_, box.width + 2 * room_, box.height + 2 * room_) &
           cv::Rect(0, 0, open_.width(), open_.height());
  }

  [[nodiscard]] double cost_of(const BitMask& points, const cv::Rect& window) const {
    double sum = 0;
    points.for_each([&](int x, int y) {
      const float cost = cost_.costs().at(cell_of_[static_cast<std::size_t>(window.x + x)],
                                          cell_of_[static_cast<std::size_t>(window.y + y)]);
      sum += static_cast<double>(cost + for_length_);
    });
    return sum;
  }

  // What closes within the window when the bridge takes a line: under strips alone, and with the hollows
  // beside them.
  struct Window {
    cv::Rect box;
    BitMask before;   // open without any of the new bridges
    BitMask without;  // not under another one either
  };
  [[nodiscard]] double closed_by_strips(const Window& window, const std::vector<cv::Point>& line,
                                        BitMask& left) const {
    left = window.without;
    clear_strip(left, middle_of(line), window.box);
    BitMask gone = window.before;
    return cost_of(gone.remove(left), window.box);
  }
  [[nodiscard]] double closed(const Window& window, const BitMask& left) const {
    BitMask gone = window.before;
    return cost_of(gone.remove(rule_.opened(left)), window.box);
  }

  void settle_one(std::size_t number) {
    FoundBridge& bridge = bridges_[number];
    std::vector<cv::Point>& line = bridge.line;
    const std::vector<cv::Point> stood = line;
    const std::array<int, 2> part{part_at(line.front()), part_at(line.back())};
    Window window{windows_[number], {}, {}};
    if (window.box.empty())
      return;
    window.before = window.without = open_.cut_out(window.box);
    for (const std::size_t i : meetings_[number])
      clear_strip(window.without, middle_of(bridges_[i].line), window.box);
    BitMask without_it = window.without;
    clear_strip(without_it, middle_of(line), window.box);
    double least = closed(window, without_it);
    const auto allowed = [&](const std::vector<cv::Point>& moved) {
      for (std::size_t i = 0; i < moved.size(); ++i) {
        const cv::Point off = moved[i] - stood[i], p = moved[i];
        if (std::max(std::abs(off.x), std::abs(off.y)) > farthest_move || p.x < 0 || p.y < 0 ||
            p.x >= ground_.size().width || p.y >= ground_.size().height)
          return false;
      }
      const auto end_stands = [&](cv::Point now, cv::Point then, int on) {
        return on == 0 ? now == then : part_at(now) == on;
      };
      return end_stands(moved.front(), stood.front(), part[0]) &&
             end_stands(moved.back(), stood.back(), part[1]);
    };
    struct Move {
      std::vector<cv::Point> line;
      double strips;  // what these alone close, the least that it can be
      BitMask left;
    };
    for (const int stride : {6, 3, 1}) {
      constexpr int most_rounds = 3;
      bool better = true;
      for (int round = 0; round < most_rounds && better; ++round) {
        better = false;
        std::vector<Move> moves;
        for (std::size_t corner = 0; corner <= line.size(); ++corner) {
          for (int way = 0; way < 9; ++way) {
            Move move{line, 0, {}};
            const cv::Point step = cv::Point(way % 3 - 1, way / 3 - 1) * stride;
            for (std::size_t i = 0; i < line.size(); ++i) {
              if (i == corner || corner == line.size())
                move.line[i] += step;
            }
            if (way == 4 || !allowed(move.line))
              continue;
            move.strips = closed_by_strips(window, move.line, move.left);
            moves.push_back(std::move(move));
          }
        }
        std::stable_sort(moves.begin(), moves.end(),
                         [](const Move& a, const Move& b) { return a.strips < b.strips; });
        std::vector<cv::Point> best = line;
        // The strips alone tell nearly as much as the hollows with them, so only a few are looked at closely.
        constexpr std::size_t most_looked_at = 4;
        for (std::size_t i = 0; i < std::min(moves.size(), most_looked_at); ++i) {
          const Move& move = moves[i];
          if (move.strips > least)
            break;
          const double cost = closed(window, move.left);
          if (cost < least - 1e-9) {
            least = cost;
            best = move.line;
            better = true;
          }
        }
        line = best;
      }
    }
  }

  std::vector<FoundBridge>& bridges_;
  const BridgeGround& ground_;
  const BitMask& open_;
  const CellCosts& cost_;
  float for_length_;
  const WidthRule &rule_, &strip_;
  DiscRows disc_;  // of the strip
  int room_;
  std::vector<int> cell_of_;                             // of points, along either side: without divisions
  std::vector<cv::Rect> windows_;                        // of the bridges as they stood at first
  std::vector<std::vector<std::size_t>> meetings_;       // for each bridge those whose windows meet its own
  std::vector<std::vector<cv::Point>> ends_on_bridges_;  // of each bridge
};

}  // namespace

void settle(std::vector<FoundBridge>& bridges, const BridgeGround& ground, const BitMask& open,
            const CellCosts& cost, float for_length, const WidthRule& rule, const WidthRule& strip) {
  Settling(bridges, ground, open, cost, for_length, rule, strip).run();
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
