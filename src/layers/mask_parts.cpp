#include "layers/mask_parts.h"

#include <algorithm>
#include <bit>
#include <numeric>

namespace powderplan {
namespace {

void add_runs(std::vector<MaskRun>& runs, const BitMask& mask, int y) {
  constexpr int bits = BitMask::word_bits;
  const std::uint64_t* row = mask.row(y);
  bool open = false;  // whether the last run goes on
  for (int i = 0; i < mask.words(); ++i) {
    const std::uint64_t word = row[i];
    for (int at = 0; at < bits;) {
      const int same = std::min(bits - at, std::countr_zero((open ? ~word : word) >> at));
      if (open)
        runs.back().end += same;
      at += same;
      if (at == bits)
        break;
      open = !open;
      if (open)
        runs.push_back({i * bits + at, i * bits + at, 0});
    }
  }
}

// Sets of runs, each named by its first one.
class Joined {
 public:
  explicit Joined(std::size_t count) : before_(count) { std::iota(before_.begin(), before_.end(), 0u); }
  std::uint32_t first_of(std::uint32_t run) {
    while (before_[run] != run)
      run = before_[run] = before_[before_[run]];
    return run;
  }
  void join(std::uint32_t one, std::uint32_t other) {
    one = first_of(one);
    other = first_of(other);
    before_[std::max(one, other)] = std::min(one, other);
  }

 private:
  std::vector<std::uint32_t> before_;
};

}  // namespace

MaskParts::MaskParts(const BitMask& mask, Touching touching) : width_(mask.width()) {
  for (int y = 0; y < mask.height(); ++y) {
    add_runs(runs_, mask, y);
    first_.push_back(runs_.size());
  }
  Joined joined(runs_.size());
  const int corner = touching == Touching::by_corners_too ? 1 : 0;
  for (int y = 1; y < height(); ++y) {
    const auto row = static_cast<std::size_t>(y);
    std::size_t upper = first_[row - 1], lower = first_[row];
    while (upper < first_[row] && lower < first_[row + 1]) {
      const MaskRun &u = runs_[upper], &l = runs_[lower];
      if (u.begin < l.end + corner && l.begin < u.end + corner)
        joined.join(static_cast<std::uint32_t>(upper), static_cast<std::uint32_t>(lower));
      ++(u.end < l.end ? upper : lower);
    }
  }
  for (int y = 0; y < height(); ++y) {
    for (std::size_t i = first_[static_cast<std::size_t>(y)]; i < first_[static_cast<std::size_t>(y) + 1];
         ++i) {
      MaskRun& run = runs_[i];
      const std::uint32_t first = joined.first_of(static_cast<std::uint32_t>(i));
      if (first == i) {
        run.part = count() + 1;
        boxes_.emplace_back();
      } else {
        run.part = runs_[first].part;
      }
      boxes_[static_cast<std::size_t>(run.part)] |= cv::Rect(run.begin, y, run.end - run.begin, 1);
    }
  }
}

int MaskParts::at(int x, int y) const {
  const std::span<const MaskRun> runs = row(y);
  const auto run = std::upper_bound(runs.begin(), runs.end(), x,
                                    [](int value, const MaskRun& r) { return value < r.begin; });
  return run != runs.begin() && x < (run - 1)->end ? (run - 1)->part : 0;
}

}  // namespace powderplan
