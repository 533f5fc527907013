#include "separation/colour_index.h"

#include <algorithm>
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
    const auto ab = [&](double v) {
      return static_cast<std::size_t>((std::clamp(v, -widest_ab, widest_ab) + widest_ab) / size_);
    };
    const auto l = static_cast<std::size_t>(std::clamp(static_cast<double>(p.l), 0.0, 100.0) / size_);
    return (l * across_ + ab(p.a)) * across_ + ab(p.b);
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

ColourIndex index_colours(const Image<LabPixel>& picture, const Image<std::uint8_t>& bare, std::size_t most) {
  constexpr std::uint32_t none = 0xffffffff;
  for (double size = finest_cell;; size *= 1.25) {
    const Cells cell_of(size);
    std::vector<std::uint32_t> id(cell_of.count(), none);
    ColourIndex index;
    index.at = Image<std::uint16_t>(picture.width(), picture.height(), ColourIndex::bare);
    bool fits = true;
    for (std::size_t i = 0; i < picture.size() && fits; ++i) {
      if (bare[i] != 0)
        continue;
      std::uint32_t& cell = id[cell_of(picture[i])];
      if (cell == none) {
        fits = index.colours.size() < most;
        cell = static_cast<std::uint32_t>(index.colours.size());
        index.colours.emplace_back();
      }
      WeightedColour& colour = index.colours[cell];
      colour.lab.l += picture[i].l;
      colour.lab.a += picture[i].a;
      colour.lab.b += picture[i].b;
      colour.weight += 1;
      index.at[i] = static_cast<std::uint16_t>(cell);
    }
    if (!fits)
      continue;
    for (WeightedColour& colour : index.colours)
      colour.lab = {colour.lab.l / colour.weight, colour.lab.a / colour.weight, colour.lab.b / colour.weight};
    return index;
  }
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
