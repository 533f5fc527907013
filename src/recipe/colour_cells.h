// The cells of Lab of nearest_recipe.h: which colours of a list can be nearest somewhere in each.
#pragma once

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "colour/difference_bounds.h"

namespace powderplan {

// One cell, as large as a line of a processor's cache. The list of a cell never changes; only `parts` and
// `worn` do, from any thread.
class alignas(64) ColourCell {
 public:
  ColourCell() = default;
  ~ColourCell() { delete[] parts_.load(); }
  ColourCell(const ColourCell&) = delete;
  ColourCell& operator=(const ColourCell&) = delete;

  void keep(std::span<const std::uint32_t> list);
  // Places in the list of colours, in their order.
  [[nodiscard]] std::span<const std::uint32_t> list() const {
    return {many_ ? many_.get() : few_.data(), count_};
  }
  // Eight, or none yet.
  [[nodiscard]] const ColourCell* parts() const { return parts_.load(std::memory_order_acquire); }

 private:
  friend class ColourCells;
  static constexpr std::size_t most_few = 10;
  mutable std::atomic<ColourCell*> parts_{nullptr};
  mutable std::atomic<std::uint32_t> worn_{0};
  std::uint32_t count_ = 0;
  std::array<std::uint32_t, most_few> few_{};
  std::unique_ptr<std::uint32_t[]> many_;
};

class ColourCells {
 public:
  // The colours must be different from each other; `table` must outlive this.
  explicit ColourCells(const std::vector<QuickLab>& table);
  ~ColourCells();
  ColourCells(const ColourCells&) = delete;
  ColourCells& operator=(const ColourCells&) = delete;

  // A place in Lab, in steps of the finest cells.
  struct Place {
    std::int32_t l = 0, a = 0, b = 0;
  };
  static constexpr double finest = 0.5;
  static constexpr int levels = 4;  // coarsest cells: 8 Lab units
  static constexpr double least_l = -16, most_l = 120, least_ab = -256, most_ab = 256;
  static bool holds(const Lab& lab) {
    return lab.l >= least_l && lab.l < most_l && lab.a >= least_ab && lab.a < most_ab && lab.b >= least_ab &&
           lab.b < most_ab;
  }
  // Of a colour that it holds.
  static Place place_of(const Lab& lab) {
    const auto steps = [](double v, double least) { return static_cast<std::int32_t>((v - least) / finest); };
    return {steps(lab.l, least_l), steps(lab.a, least_ab), steps(lab.b, least_ab)};
  }

  // The coarsest cell at a place, made when it is not there yet.
  const ColourCell& root(const Place& place) const;
  // Which part of a cell of a level holds the place; level 0 is the coarsest.
  static std::size_t part(const Place& place, int level) {
    const int bit = levels - 1 - level;
    return static_cast<std::size_t>((place.l >> bit & 1) << 2 | (place.a >> bit & 1) << 1 |
                                    (place.b >> bit & 1));
  }
  // Counts one more comparison with this cell's list, and splits the cell when it is time to.
  void wear(const ColourCell& cell, const Place& place, int level) const;

  [[nodiscard]] std::size_t bytes() const { return bytes_.load(); }

 private:
  static constexpr int root_steps = 1 << levels;
  static constexpr auto roots_l = static_cast<std::size_t>((most_l - least_l) / finest) / root_steps;
  static constexpr auto roots_ab = static_cast<std::size_t>((most_ab - least_ab) / finest) / root_steps;
  struct Group {
    std::uint32_t begin = 0, end = 0;  // in by_group_
  };
  void gather_groups(std::size_t begin, std::size_t end);
  [[nodiscard]] static ColourBox box_of(const Place& place, int level);
  [[nodiscard]] std::vector<std::uint32_t> possible_in_all(const ColourBox& cell) const;
  [[nodiscard]] std::vector<std::uint32_t> possible(const ColourBox& cell,
                                                    std::span<const std::uint32_t> list) const;

  const std::vector<QuickLab>& table_;
  // Colours that lie together, to leave out many at once.
  std::vector<std::uint32_t> by_group_;
  std::vector<Group> groups_;
  std::vector<ColourBox> group_boxes_;
  mutable std::vector<std::atomic<ColourCell*>> roots_;
  mutable std::atomic<std::size_t> bytes_{0};
};

}  // namespace powderplan
