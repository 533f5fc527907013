#include "recipe/colour_cells.h"

#include <algorithm>
#include <limits>
#include <numeric>

namespace powderplan {
namespace {

// A cell with no more colours than are compared at once is not split.
constexpr std::size_t short_enough = pairs_at_once;
// Splitting a cell bounds eight parts against its list, and a bound takes as long as some comparisons.
constexpr std::size_t cost_of_split = 8 * 2;
// Cells take no more memory than this; then the lists stay longer.
constexpr std::size_t most_bytes = std::size_t{256} << 20;
constexpr std::size_t colours_in_group = 16;
// Each colour of a cell is held against so many of those nearest to its middle.
constexpr std::size_t most_rivals = 16;

float coordinate(const QuickLab& lab, int axis) {
  return axis == 0 ? lab.l : axis == 1 ? lab.a : lab.b;
}

}  // namespace

void ColourCell::keep(std::span<const std::uint32_t> list) {
  count_ = static_cast<std::uint32_t>(list.size());
  std::uint32_t* to = few_.data();
  if (list.size() > most_few) {
    many_ = std::make_unique<std::uint32_t[]>(list.size());
    to = many_.get();
  }
  std::copy(list.begin(), list.end(), to);
}

ColourCells::ColourCells(const std::vector<QuickLab>& table)
    : table_(table), by_group_(table.size()), roots_(roots_l * roots_ab * roots_ab) {
  std::iota(by_group_.begin(), by_group_.end(), 0U);
  gather_groups(0, by_group_.size());
}

ColourCells::~ColourCells() {
  for (std::atomic<ColourCell*>& root : roots_)
    delete root.load();
}

// Halves along the widest axis until the groups are small.
void ColourCells::gather_groups(std::size_t begin, std::size_t end) {
  std::array<float, 3> low, high;
  for (int axis = 0; axis < 3; ++axis) {
    low[axis] = high[axis] = coordinate(table_[by_group_[begin]], axis);
    for (std::size_t i = begin; i < end; ++i) {
      low[axis] = std::min(low[axis], coordinate(table_[by_group_[i]], axis));
      high[axis] = std::max(high[axis], coordinate(table_[by_group_[i]], axis));
    }
  }
  if (end - begin <= colours_in_group) {
    groups_.push_back({static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)});
    const auto middle = [&](int axis) { return (static_cast<double>(low[axis]) + high[axis]) / 2; };
    ColourBox box{to_quick({middle(0), middle(1), middle(2)})};
    // A little more, for the middle is rounded.
    const auto half = [&](int axis) { return (high[axis] - low[axis]) * 0.5F * 1.00001F + 1e-4F; };
    box.half_l = half(0);
    box.half_a = half(1);
    box.half_b = half(2);
    group_boxes_.push_back(box);
    return;
  }
  int widest = 0;
  for (int axis = 1; axis < 3; ++axis) {
    if (high[axis] - low[axis] > high[widest] - low[widest])
      widest = axis;
  }
  const std::size_t middle = begin + (end - begin) / 2;
  const auto at = [&](std::size_t i) { return by_group_.begin() + static_cast<std::ptrdiff_t>(i); };
  std::nth_element(at(begin), at(middle), at(end), [&](std::uint32_t p, std::uint32_t q) {
    return coordinate(table_[p], widest) < coordinate(table_[q], widest);
  });
  gather_groups(begin, middle);
  gather_groups(middle, end);
}

ColourBox ColourCells::box_of(const Place& place, int level) {
  const int bits = levels - level;
  const double half = finest * (1 << bits) / 2;
  const auto middle = [&](std::int32_t steps, double least) {
    return least + finest * (steps >> bits << bits) + half;
  };
  ColourBox box{to_quick({middle(place.l, least_l), middle(place.a, least_ab), middle(place.b, least_ab)})};
  box.half_l = box.half_a = box.half_b = static_cast<float>(half);
  return box;
}

std::vector<std::uint32_t> ColourCells::possible(const ColourBox& cell,
                                                 std::span<const std::uint32_t> list) const {
  std::vector<QuickLab> colours(list.size());
  for (std::size_t i = 0; i < list.size(); ++i)
    colours[i] = table_[list[i]];
  std::vector<DifferenceModel> models(list.size());
  difference_models(cell, colours.data(), colours.size(), models.data());
  float limit = std::numeric_limits<float>::infinity();
  for (const DifferenceModel& m : models)
    limit = std::min(limit, m.high);
  std::vector<std::uint32_t> left;
  for (std::uint32_t i = 0; i < list.size(); ++i) {
    if (models[i].low <= limit)
      left.push_back(i);
  }
  // Against a few of the nearest; as these are of the list, each of them is beaten only by a nearer one.
  std::vector<std::uint32_t> rivals = left;
  const std::size_t most = std::min(most_rivals, rivals.size());
  std::partial_sort(rivals.begin(), rivals.begin() + static_cast<std::ptrdiff_t>(most), rivals.end(),
                    [&](std::uint32_t p, std::uint32_t q) {
                      return std::pair(models[p].square, p) < std::pair(models[q].square, q);
                    });
  rivals.resize(most);
  std::vector<std::uint32_t> kept;
  for (const std::uint32_t i : left) {
    if (std::none_of(rivals.begin(), rivals.end(),
                     [&](std::uint32_t rival) { return farther_everywhere(models[i], models[rival], cell); }))
      kept.push_back(list[i]);
  }
  return kept;
}

std::vector<std::uint32_t> ColourCells::possible_in_all(const ColourBox& cell) const {
  std::vector<float> low(groups_.size()), high(groups_.size());
  difference_bounds(cell, group_boxes_.data(), groups_.size(), low.data(), high.data());
  const float limit = *std::min_element(high.begin(), high.end());
  std::vector<std::uint32_t> some;
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    if (low[g] <= limit)
      some.insert(some.end(), by_group_.begin() + groups_[g].begin, by_group_.begin() + groups_[g].end);
  }
  std::vector<std::uint32_t> kept = possible(cell, some);
  std::sort(kept.begin(), kept.end());
  return kept;
}

const ColourCell& ColourCells::root(const Place& place) const {
  const auto at = [](std::int32_t steps) { return static_cast<std::size_t>(steps / root_steps); };
  std::atomic<ColourCell*>& root = roots_[(at(place.l) * roots_ab + at(place.a)) * roots_ab + at(place.b)];
  if (const ColourCell* there = root.load(std::memory_order_acquire))
    return *there;
  auto made = std::make_unique<ColourCell>();
  made->keep(possible_in_all(box_of(place, 0)));
  ColourCell* none = nullptr;
  if (!root.compare_exchange_strong(none, made.get(), std::memory_order_acq_rel))
    return *none;  // another thread made the same
  bytes_ += sizeof(ColourCell) + made->count_ * sizeof(std::uint32_t);
  return *made.release();
}

void ColourCells::wear(const ColourCell& cell, const Place& place, int level) const {
  if (level == levels || cell.count_ <= short_enough || cell.parts() != nullptr)
    return;
  const std::size_t limit = cost_of_split * cell.count_;
  const auto spent = static_cast<std::uint32_t>(cell.count_ - short_enough);
  if (cell.worn_.fetch_add(spent, std::memory_order_relaxed) < limit || bytes() > most_bytes)
    return;
  // Whoever makes the parts second throws them away; they are the same.
  std::unique_ptr<ColourCell[]> parts(new ColourCell[8]);
  const int bit = levels - 1 - level;
  std::size_t size = 8 * sizeof(ColourCell);
  for (std::int32_t k = 0; k < 8; ++k) {
    const auto set = [&](std::int32_t steps, std::int32_t value) {
      return (steps >> (bit + 1) << (bit + 1)) | value << bit;
    };
    const Place corner{set(place.l, k >> 2), set(place.a, k >> 1 & 1), set(place.b, k & 1)};
    ColourCell& to = parts[static_cast<std::size_t>(k)];
    to.keep(possible(box_of(corner, level + 1), cell.list()));
    size += to.count_ > ColourCell::most_few ? to.count_ * sizeof(std::uint32_t) : 0;
  }
  ColourCell* none = nullptr;
  if (cell.parts_.compare_exchange_strong(none, parts.get(), std::memory_order_acq_rel)) {
    parts.release();
    bytes_ += size;
  }
}

}  // namespace powderplan
