#include "recipe/nearest_recipe.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

#include "colour/difference.h"
#include "colour/difference_keys.h"
#include "problem.h"
#include "recipe/colour_cells.h"

namespace powderplan {
namespace {

// Wanted colours that are handled together, each step for all of them: so the next cells are on their way
// from memory while others are looked at.
constexpr std::size_t batch = 64;

// The places in `colours` of all that differ from every one before.
std::vector<std::uint32_t> first_of_equals(const std::vector<Lab>& colours) {
  std::vector<std::uint32_t> order(colours.size());
  std::iota(order.begin(), order.end(), 0U);
  const auto key = [&](std::uint32_t i) { return std::array{colours[i].l, colours[i].a, colours[i].b}; };
  std::stable_sort(order.begin(), order.end(), [&](auto p, auto q) { return key(p) < key(q); });
  const auto same = [&](auto p, auto q) { return colours[p] == colours[q]; };
  order.erase(std::unique(order.begin(), order.end(), same), order.end());
  std::sort(order.begin(), order.end());
  return order;
}

std::vector<QuickLab> rounded(const std::vector<Lab>& colours, const std::vector<std::uint32_t>& places) {
  std::vector<QuickLab> table;
  for (const std::uint32_t i : places)
    table.push_back(to_quick(colours[i]));
  return table;
}

[[noreturn]] void refuse(const char* wrong) {
  throw Problem(ProblemKind::other, "nearest recipe", wrong,
                "this is a fault of the program, please report it");
}

void check(const Lab& lab) {
  // False for what is not a number.
  const auto good = [](double v) { return std::abs(v) <= most_quick_coordinate; };
  if (!good(lab.l) || !good(lab.a) || !good(lab.b))
    refuse("a coordinate of a colour is not a number, or far from all colours");
}

}  // namespace

struct NearestRecipe::Cells {
  explicit Cells(std::vector<Lab> all)
      : colours(std::move(all)),
        place(first_of_equals(colours)),
        table(rounded(colours, place)),
        cells(table) {
    std::vector<std::uint32_t> order(table.size());
    std::iota(order.begin(), order.end(), 0U);
    std::stable_sort(order.begin(), order.end(), [&](auto p, auto q) { return table[p].l < table[q].l; });
    for (const std::uint32_t i : order) {
      by_lightness.push_back(table[i]);
      place_by_lightness.push_back(place[i]);
    }
  }
  [[nodiscard]] std::uint32_t exact(const Lab& wanted, std::span<const std::uint32_t> list,
                                    const std::int32_t* keys, std::int32_t limit) const {
    double least = std::numeric_limits<double>::infinity();
    std::uint32_t best = 0;
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (keys[i] > limit)
        continue;
      if (const double d = ciede2000(wanted, colours[place[list[i]]]); d < least) {
        least = d;
        best = place[list[i]];
      }
    }
    return best;
  }

  std::vector<Lab> colours;
  std::vector<std::uint32_t> place;  // of those that are not equal to an earlier one
  std::vector<QuickLab> table;       // these, rounded
  ColourCells cells;
  std::vector<QuickLab> by_lightness;  // the table once more, the darkest first
  std::vector<std::uint32_t> place_by_lightness;
};

namespace {

// The comparisons of one batch.
class Batch {
 public:
  void find(const ColourCells& cells, std::span<const Lab> wanted);

  // Of wanted colour i.
  [[nodiscard]] std::span<const std::uint32_t> list(std::size_t i) const { return cell_[i]->list(); }
  [[nodiscard]] const std::int32_t* keys(std::size_t i) const {
    return keys_.data() + first_[i] * pairs_at_once;
  }

  void compare(std::span<const Lab> wanted, const std::vector<QuickLab>& table) {
    std::size_t blocks = 0;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      first_[i] = blocks;
      blocks += (cell_[i]->list().size() + pairs_at_once - 1) / pairs_at_once;
    }
    if (pairs_.size() < blocks) {
      pairs_.resize(blocks);
      keys_.resize(blocks * pairs_at_once);
    }
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      const std::span<const std::uint32_t> from = cell_[i]->list();
      const QuickLab one = to_quick(wanted[i]);
      for (std::size_t first = 0; first < from.size(); first += pairs_at_once) {
        QuickPairs& to = pairs_[first_[i] + first / pairs_at_once];
        to.one = one;
        for (std::size_t k = 0; k < pairs_at_once; ++k)
          to.others[k] = table[from[std::min(first + k, from.size() - 1)]];
      }
    }
    quick_keys(pairs_.data(), blocks, keys_.data());
  }

 private:
  std::array<ColourCells::Place, batch> place_;
  std::array<const ColourCell*, batch> cell_{};
  std::array<std::size_t, batch> first_{};  // block of eight
  std::vector<QuickPairs> pairs_;
  std::vector<std::int32_t> keys_;
};

void Batch::find(const ColourCells& cells, std::span<const Lab> wanted) {
  std::array<std::uint8_t, batch> level{};
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    place_[i] = ColourCells::place_of(wanted[i]);
    cell_[i] = &cells.root(place_[i]);
    __builtin_prefetch(cell_[i]);
  }
  for (int at = 0; at < ColourCells::levels; ++at) {
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      const ColourCell* const parts = level[i] == at ? cell_[i]->parts() : nullptr;
      if (parts != nullptr) {
        cell_[i] = parts + ColourCells::part(place_[i], at);
        ++level[i];
        __builtin_prefetch(cell_[i]);
      }
    }
  }
  for (std::size_t i = 0; i < wanted.size(); ++i)
    cells.wear(*cell_[i], place_[i], level[i]);
}

}  // namespace

NearestRecipe::NearestRecipe(std::vector<Lab> colours) {
  if (colours.empty())
    refuse("there is no colour to choose from");
  for (const Lab& lab : colours)
    check(lab);
  cells_ = std::make_unique<Cells>(std::move(colours));
}
NearestRecipe::~NearestRecipe() = default;
NearestRecipe::NearestRecipe(NearestRecipe&&) noexcept = default;
NearestRecipe& NearestRecipe::operator=(NearestRecipe&&) noexcept = default;

void NearestRecipe::find(std::span<const Lab> wanted, std::span<std::uint32_t> nearest) const {
  Batch now;
  std::array<Lab, batch> inside;
  std::array<std::size_t, batch> at{};
  for (std::size_t next = 0; next < wanted.size();) {
    std::size_t count = 0;
    for (; next < wanted.size() && count < batch; ++next) {
      if (ColourCells::holds(wanted[next])) {
        at[count] = next;
        inside[count++] = wanted[next];
        continue;
      }
      check(wanted[next]);
      nearest[next] = static_cast<std::uint32_t>(nearest_of_all(cells_->colours, wanted[next]));
    }
    const std::span<const Lab> some(inside.data(), count);
    now.find(cells_->cells, some);
    now.compare(some, cells_->table);
    for (std::size_t i = 0; i < count; ++i) {
      const std::span<const std::uint32_t> list = now.list(i);
      const QuickWinner winner = quick_winner(now.keys(i), list.size());
      nearest[at[i]] = winner.open == 1 ? cells_->place[list[winner.at]]
                                        : cells_->exact(some[i], list, now.keys(i), winner.limit);
    }
  }
}

std::size_t NearestRecipe::nearest(const Lab& wanted) const {
  std::uint32_t found = 0;
  find({&wanted, 1}, {&found, 1});
  return found;
}

std::size_t NearestRecipe::nearest_of_few(const Lab& wanted) const {
  check(wanted);
  const std::vector<QuickLab>& table = cells_->by_lightness;
  // The bound holds for these only.
  const auto in_range = [&](double l) { return (wanted.l + l) / 2 >= -10 && (wanted.l + l) / 2 <= 110; };
  if (!ColourCells::holds(wanted) || !in_range(static_cast<double>(table.front().l)) ||
      !in_range(static_cast<double>(table.back().l)))
    return nearest_of_all(cells_->colours, wanted);
  constexpr std::size_t blocks = 16, stretch = blocks * pairs_at_once;
  const QuickLab one = to_quick(wanted);
  const auto start =
      static_cast<std::size_t>(std::lower_bound(table.begin(), table.end(), one.l,
                                                [](const QuickLab& c, float l) { return c.l < l; }) -
                               table.begin());
  // What was compared: the range [begin, end) of the table, stretch by stretch.
  struct Compared {
    std::size_t first, count;
    std::array<std::int32_t, stretch> keys;
  };
  std::vector<Compared> compared;
  std::int32_t limit = std::numeric_limits<std::int32_t>::max();
  std::array<QuickPairs, blocks> pairs;
  for (QuickPairs& pair : pairs)
    pair.one = one;
  const auto compare = [&](std::size_t first, std::size_t last) {
    Compared& now = compared.emplace_back(Compared{first, last - first, {}});
    for (std::size_t i = 0; i < stretch; ++i)
      pairs[i / pairs_at_once].others[i % pairs_at_once] = table[std::min(first + i, last - 1)];
    quick_keys(pairs.data(), blocks, now.keys.data());
    if (const QuickWinner winner = quick_winner(now.keys.data(), now.count); winner.least != hues_opposite)
      limit = std::min(limit, winner.limit);
  };
  const auto may_hold = [&](std::size_t at) {
    if (limit == std::numeric_limits<std::int32_t>::max())
      return true;
    const double apart = std::abs(static_cast<double>(table[at].l) - wanted.l) / most_lightness_weight;
    return apart * apart <= static_cast<double>(square_of_key(limit | place_bits));
  };
  std::size_t begin = start, end = start;
  for (bool more = true; more;) {
    more = false;
    if (end < table.size() && may_hold(end)) {
      compare(end, std::min(end + stretch, table.size()));
      end = std::min(end + stretch, table.size());
      more = true;
    }
    if (begin > 0 && may_hold(begin - 1)) {
      const std::size_t first = begin - std::min(begin, stretch);
      compare(first, begin);
      begin = first;
      more = true;
    }
  }
  double least = std::numeric_limits<double>::infinity();
  std::uint32_t best = 0;
  for (const Compared& part : compared) {
    for (std::size_t i = 0; i < part.count; ++i) {
      if (part.keys[i] > limit)
        continue;
      const std::uint32_t at = cells_->place_by_lightness[part.first + i];
      const double d = ciede2000(wanted, cells_->colours[at]);
      if (d < least || (d == least && at < best)) {
        least = d;
        best = at;
      }
    }
  }
  return best;
}

const std::vector<Lab>& NearestRecipe::colours() const {
  return cells_->colours;
}
std::size_t NearestRecipe::bytes_of_cells() const {
  return cells_->cells.bytes();
}

std::size_t nearest_of_all(std::span<const Lab> colours, const Lab& wanted) {
  double least = std::numeric_limits<double>::infinity();
  std::size_t best = 0;
  for (std::size_t i = 0; i < colours.size(); ++i) {
    if (const double d = ciede2000(wanted, colours[i]); d < least) {
      least = d;
      best = i;
    }
  }
  return best;
}

}  // namespace powderplan
