#include "separation/colour_index.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>

#include "parallel.h"

namespace powderplan {
namespace {

constexpr int rounds_of_lloyd = 12;
constexpr double widest_ab = 128;

class Cells {
 public:
  explicit Cells(double size) : size_(size), across_(static_cast<std::size_t>(2 * widest_ab / size) + 2) {}
  [[nodiscard]] std::size_t count() const {
    return (static_cast<std::size_t>(100 / size_) + 2) * across_ * across_;
  }
  [[nodiscard]] std::size_t operator()(const LabPixel& p) const {
    const auto ab = [&](float v) {
      return static_cast<std::size_t>(
          (std::clamp(static_cast<double>(v), -widest_ab, widest_ab) + widest_ab) / size_);
    };
    const auto l = static_cast<std::size_t>(std::clamp(static_cast<double>(p.l), 0.0, 100.0) / size_);
    return (l * across_ + ab(p.a)) * across_ + ab(p.b);
  }
  [[nodiscard]] LabPixel middle(std::size_t cell) const {
    const auto at = [&](std::size_t number) { return (static_cast<double>(number) + 0.5) * size_; };
    return to_pixel({at(cell / across_ / across_), at(cell / across_ % across_) - widest_ab,
                     at(cell % across_) - widest_ab});
  }

 private:
  double size_;
  std::size_t across_;
};

double square_distance(const Lab& p, const Lab& q) {
  return (p.l - q.l) * (p.l - q.l) + (p.a - q.a) * (p.a - q.a) + (p.b - q.b) * (p.b - q.b);
}

// Index of the nearest centre.
std::size_t nearest(const std::vector<WeightedColour>& centres, const Lab& lab) {
  std::size_t best = 0;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < centres.size(); ++i) {
    const double d = square_distance(centres[i].lab, lab);
    if (d < least) {
      least = d;
      best = i;
    }
  }
  return best;
}

std::vector<WeightedColour> spread_out(const std::vector<WeightedColour>& colours, std::size_t count) {
  std::vector<double> far(colours.size(), std::numeric_limits<double>::infinity());
  std::vector<WeightedColour> taken;
  std::size_t next = static_cast<std::size_t>(
      std::max_element(colours.begin(), colours.end(),
                       [](const auto& p, const auto& q) { return p.weight < q.weight; }) -
      colours.begin());
  while (taken.size() < count) {
    taken.push_back(colours[next]);
    double most = 0;
    for (std::size_t i = 0; i < colours.size(); ++i) {
      far[i] = std::min(far[i], square_distance(colours[i].lab, taken.back().lab));
      const double pull = far[i] * colours[i].weight;
      if (pull > most) {
        most = pull;
        next = i;
      }
    }
    if (most <= 0)
      break;
  }
  return taken;
}

}  // namespace

ColourIndex index_colours(const Image<PackedLab>& picture, const Image<std::uint8_t>& bare,
                          std::size_t most) {
  ColourIndex index;
  index.at = Image<std::uint16_t>(picture.width(), picture.height(), ColourIndex::bare);
  const Cells finest(finest_cell);
  const auto points_of = [&](int begin, int end, const auto& visit) {
    const auto width = static_cast<std::size_t>(picture.width());
    for (std::size_t i = static_cast<std::size_t>(begin) * width; i < static_cast<std::size_t>(end) * width;
         ++i) {
      if (bare.empty() || bare[i] == 0)
        visit(i, finest(picture[i]));
    }
  };
  std::vector<std::uint8_t> occurs(finest.count(), 0);
  for_each_row_band(picture.height(), [&](int begin, int end) {
    points_of(begin, end, [&](std::size_t, std::size_t cell) {
      const std::atomic_ref<std::uint8_t> entry(occurs[cell]);
      if (entry.load(std::memory_order_relaxed) == 0)
        entry.store(1, std::memory_order_relaxed);
    });
  });
  std::vector<std::size_t> cells;
  for (std::size_t cell = 0; cell < occurs.size(); ++cell) {
    if (occurs[cell] != 0)
      cells.push_back(cell);
  }
  // The finest cells are put together by the larger cells that their middles lie in.
  std::vector<std::uint16_t> colour_of(finest.count());
  std::size_t count = 0;
  double size = finest_cell;
  for (;;) {
    const Cells larger(size);
    std::vector<std::size_t> owners;
    owners.reserve(cells.size());
    for (const std::size_t cell : cells)
      owners.push_back(size > finest_cell ? larger(finest.middle(cell)) : cell);
    std::vector<std::size_t> all = owners;
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    count = all.size();
    if (count <= most) {
      for (std::size_t i = 0; i < cells.size(); ++i)
        colour_of[cells[i]] =
            static_cast<std::uint16_t>(std::lower_bound(all.begin(), all.end(), owners[i]) - all.begin());
      break;
    }
    size *= 1.25;
  }
  // Sums of so many parts of the picture, always the same ones, added up in their order.
  constexpr int parts = 8;
  std::vector<std::vector<WeightedColour>> sums(parts, std::vector<WeightedColour>(count));
  for_each_block(parts, [&](std::size_t part) {
    const auto row_of = [&](std::size_t at) {
      return static_cast<int>(static_cast<std::size_t>(picture.height()) * at / parts);
    };
    points_of(row_of(part), row_of(part + 1), [&](std::size_t i, std::size_t cell) {
      index.at[i] = colour_of[cell];
      WeightedColour& sum = sums[part][colour_of[cell]];
      const LabPixel colour = picture[i];
      sum.lab.l += static_cast<double>(colour.l);
      sum.lab.a += static_cast<double>(colour.a);
      sum.lab.b += static_cast<double>(colour.b);
      sum.weight += 1;
    });
  });
  for (std::size_t i = 0; i < count; ++i) {
    WeightedColour sum;
    for (const std::vector<WeightedColour>& part : sums)
      sum = {{sum.lab.l + part[i].lab.l, sum.lab.a + part[i].lab.a, sum.lab.b + part[i].lab.b},
             sum.weight + part[i].weight};
    index.colours.push_back(
        {{sum.lab.l / sum.weight, sum.lab.a / sum.weight, sum.lab.b / sum.weight}, sum.weight});
  }
  return index;
}

std::vector<WeightedColour> cluster(const std::vector<WeightedColour>& colours, std::size_t count) {
  if (colours.empty() || count == 0)
    return {};
  if (colours.size() <= count)
    return colours;
  std::vector<WeightedColour> centres = spread_out(colours, count);
  std::vector<std::size_t> owner(colours.size());
  constexpr std::size_t block = 512;
  for (int round = 0; round < rounds_of_lloyd; ++round) {
    for_each_block((colours.size() + block - 1) / block, [&](std::size_t b) {
      for (std::size_t i = b * block; i < std::min(colours.size(), (b + 1) * block); ++i)
        owner[i] = nearest(centres, colours[i].lab);
    });
    std::vector<WeightedColour> sums(centres.size());
    for (std::size_t i = 0; i < colours.size(); ++i) {
      WeightedColour& sum = sums[owner[i]];
      const WeightedColour& c = colours[i];
      sum.lab = {sum.lab.l + c.weight * c.lab.l, sum.lab.a + c.weight * c.lab.a,
                 sum.lab.b + c.weight * c.lab.b};
      sum.weight += c.weight;
    }
    for (std::size_t j = 0; j < centres.size(); ++j) {
      if (sums[j].weight > 0)
        centres[j] = {
            {sums[j].lab.l / sums[j].weight, sums[j].lab.a / sums[j].weight, sums[j].lab.b / sums[j].weight},
            sums[j].weight};
    }
  }
  return centres;
}

}  // namespace powderplan
