#include "layers/panel_cuts.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <optional>
#include <tuple>

#include "parallel.h"

namespace powderplan {
namespace {

// Of lengths that should be equal and were multiplied.
constexpr double hair = 1e-9;

// Where cuts see that something else lies.
class Changes {
 public:
  Changes(const Separation& separation, const std::vector<Layer>& layers) : label_at_(separation.label_at) {
    for (const Layer& layer : layers) {
      if (layer.technique == Technique::line)
        drawn_.push_back(&layer.amount);
    }
  }
  [[nodiscard]] bool between(std::size_t one, std::size_t other) const {
    return label_at_[one] != label_at_[other] ||
           std::any_of(drawn_.begin(), drawn_.end(), [&](const decltype(Layer::amount)* lines) {
             return ((*lines)[one] == 0) != ((*lines)[other] == 0);
           });
  }
  [[nodiscard]] std::size_t width() const { return static_cast<std::size_t>(label_at_.width()); }
  [[nodiscard]] std::size_t at(int x, int y) const {
    return static_cast<std::size_t>(y) * width() + static_cast<std::size_t>(x);
  }

 private:
  const Image<std::uint16_t>& label_at_;
  std::vector<const decltype(Layer::amount)*> drawn_;
};

double apart(const LabPixel& one, const LabPixel& other) {
  const double l = one.l - other.l, a = one.a - other.a, b = one.b - other.b;
  return std::sqrt(l * l + a * a + b * b);
}

// What is found in a box: by column, changes met going down it, as they count; by line between columns, how
// many points differ across it. The same of rows.
struct Profile {
  Profile(int width, int height)
      : down(static_cast<std::size_t>(width), 0),
        across(static_cast<std::size_t>(height), 0),
        beside_columns(static_cast<std::size_t>(width) + 1, 0),
        beside_rows(static_cast<std::size_t>(height) + 1, 0) {}
  std::vector<double> down, across, beside_columns, beside_rows;
};

void add(std::vector<double>& sum, const std::vector<double>& part) {
  for (std::size_t i = 0; i < sum.size(); ++i)
    sum[i] += part[i];
}

Profile profile_of(const Changes& changes, const Image<PackedLab>& wanted, const GridBox& box, int reach) {
  constexpr double de_counted_once = 10, most_de = 30;
  const int width = box.right - box.left, height = box.bottom - box.top;
  const auto weight = [&](int x1, int y1, int x2, int y2) {
    const auto pixel = [&](int x, int y) {
      return wanted.at(std::clamp(x, 0, wanted.width() - 1), std::clamp(y, 0, wanted.height() - 1));
    };
    return 1 + std::min(apart(pixel(x1, y1), pixel(x2, y2)), most_de) / de_counted_once;
  };
  constexpr int rows_of_band = 256;
  const int bands = (height + rows_of_band - 1) / rows_of_band;
  std::vector<Profile> parts(static_cast<std::size_t>(bands), Profile(width, height));
  for_each_block(parts.size(), [&](std::size_t band) {
    Profile& part = parts[band];
    const int first = static_cast<int>(band) * rows_of_band;
    for (int row = first; row < std::min(height, first + rows_of_band); ++row) {
      const int y = box.top + row;
      const auto r = static_cast<std::size_t>(row);
      for (int column = 0; column < width; ++column) {
        const int x = box.left + column;
        const auto c = static_cast<std::size_t>(column);
        const std::size_t here = changes.at(x, y);
        if (column > 0 && changes.between(here - 1, here)) {
          part.across[r] += weight(x - 1 - reach, y, x + reach, y);
          part.beside_columns[c] += 1;
        }
        if (row > 0 && changes.between(here - changes.width(), here)) {
          part.down[c] += weight(x, y - 1 - reach, x, y + reach);
          part.beside_rows[r] += 1;
        }
      }
    }
  });
  Profile sum(width, height);
  for (const Profile& part : parts) {
    add(sum.down, part.down);
    add(sum.across, part.across);
    add(sum.beside_columns, part.beside_columns);
    add(sum.beside_rows, part.beside_rows);
  }
  return sum;
}

// `met` by the line of points on either side, `beside` by place of a cut; slivers are less than `near` places
// wide.
std::vector<double> costs_of(const std::vector<double>& met, const std::vector<double>& beside, int near,
                             Millimetres pitch) {
  const int length = static_cast<int>(met.size());
  std::vector<double> before(beside.size() + 1, 0), costs(beside.size(), 0);
  std::partial_sum(beside.begin(), beside.end(), before.begin() + 1);
  for (int at = 1; at < length; ++at) {
    const auto i = static_cast<std::size_t>(at);
    const auto from = static_cast<std::size_t>(std::max(0, at - near + 1)),
               to = static_cast<std::size_t>(std::min(length + 1, at + near));
    const double slivers = before[to] - before[from] - beside[i];
    costs[i] = (met[i - 1] + met[i]) / 2 + slivers * pitch.value() * sliver_price;
  }
  return costs;
}

// Ends of the grid, and the lines of it that are nearest to whole millimetres.
std::vector<int> places_of_cuts(int length, Millimetres pitch) {
  std::vector<int> places{0};
  for (int mm = 1;; ++mm) {
    const int place = static_cast<int>(std::lround(mm / pitch.value()));
    if (place >= length)
      break;
    if (place > places.back())
      places.push_back(place);
  }
  places.push_back(length);
  return places;
}

struct Room {
  double longer, shorter;  // of the shelf, mm
};

Room room_on(const Shelf& shelf) {
  const double width = (shelf.size.width - shelf.margin * 2).value(),
               height = (shelf.size.height - shelf.margin * 2).value();
  return {std::max(width, height), std::min(width, height)};
}

// How long a panel can be when its strip is so wide; 0: there is none.
double length_beside(double width, const Room& room) {
  return width <= room.shorter + hair ? room.longer : width <= room.longer + hair ? room.shorter : 0;
}

// 1 for each length of a part that can be handled and is no longer than that.
std::vector<std::size_t> lengths_up_to(double most, int whole, Millimetres pitch) {
  std::vector<std::size_t> count(static_cast<std::size_t>(whole) + 1, 0);
  for (int length = 1; length <= whole; ++length) {
    const double mm = length * pitch.value();
    count[static_cast<std::size_t>(length)] =
        mm <= most + hair && (length == whole || mm >= least_panel_edge.value() - hair) ? 1 : 0;
  }
  return count;
}

std::size_t fewest_parts(double most, int whole, Millimetres pitch) {
  const std::vector<int> places = places_of_cuts(whole, pitch);
  return best_parting(places, std::vector<double>(places.size(), 0), lengths_up_to(most, whole, pitch)).count;
}

// How many panels a strip of each width makes; 0: it cannot be.
std::vector<std::size_t> panels_of_strips(int width, int length, Millimetres pitch, const Room& room) {
  const std::size_t of_narrow = fewest_parts(room.longer, length, pitch),
                    of_wide = fewest_parts(room.shorter, length, pitch);
  std::vector<std::size_t> count = lengths_up_to(room.longer, width, pitch);
  for (int w = 1; w <= width; ++w) {
    std::size_t& panels = count[static_cast<std::size_t>(w)];
    panels *= length_beside(w * pitch.value(), room) == room.longer ? of_narrow : of_wide;
  }
  return count;
}

std::vector<double> at_places(const std::vector<double>& costs, const std::vector<int>& places) {
  std::vector<double> taken;
  taken.reserve(places.size());
  for (const int place : places)
    taken.push_back(costs[static_cast<std::size_t>(place)]);
  return taken;
}

std::vector<int> even_ends(int length, std::size_t parts) {
  std::vector<int> ends;
  for (std::size_t i = 0; i <= parts; ++i)
    ends.push_back(
        static_cast<int>(std::lround(length * static_cast<double>(i) / static_cast<double>(parts))));
  return ends;
}

// Everything as if strips went from the top to the bottom; turned over for those from left to right.
struct Strips {
  std::vector<int> ends;
  std::vector<std::vector<int>> parts;  // of each, their ends
  std::size_t panels = 0;
  double cost = 0;
};

GridBox box_at(bool columns, int from, int to, int begin, int end) {
  return columns ? GridBox{from, begin, to, end} : GridBox{begin, from, end, to};
}

class Cutter {
 public:
  Cutter(const Separation& separation, const std::vector<Layer>& layers, const Image<PackedLab>& wanted,
         const Shelf& shelf, Millimetres smallest)
      : separation_(separation),
        layers_(layers),
        wanted_(wanted),
        room_(room_on(shelf)),
        smallest_(smallest),
        changes_(separation, layers) {}

  [[nodiscard]] Strips strips(bool columns, const CutCosts& of_whole) const {
    const Grid& grid = separation_.grid;
    const int width = columns ? grid.width : grid.height, length = columns ? grid.height : grid.width;
    const std::vector<int> places = places_of_cuts(width, grid.pitch),
                           along = places_of_cuts(length, grid.pitch);
    const Parting parting = best_parting(places, at_places(columns ? of_whole.down : of_whole.across, places),
                                         panels_of_strips(width, length, grid.pitch, room_));
    Strips strips{parting.ends, {}, parting.count, parting.cost};
    for (std::size_t i = 0; i + 1 < parting.ends.size(); ++i) {
      const int from = parting.ends[i], to = parting.ends[i + 1];
      const CutCosts costs =
          cut_costs(separation_, layers_, wanted_, box_at(columns, from, to, 0, length), smallest_);
      const double most = length_beside((to - from) * grid.pitch.value(), room_);
      const Parting parts = best_parting(along, at_places(columns ? costs.across : costs.down, along),
                                         lengths_up_to(most, length, grid.pitch));
      strips.parts.push_back(parts.ends);
      strips.cost += parts.cost;
    }
    return strips;
  }

  [[nodiscard]] PanelLayout layout(bool columns, const Strips& strips) const {
    PanelLayout layout;
    const int length = columns ? separation_.grid.height : separation_.grid.width;
    for (std::size_t i = 1; i + 1 < strips.ends.size(); ++i)
      layout.cuts.push_back(cut(columns, strips.ends[i], 0, length));
    for (std::size_t i = 0; i < strips.parts.size(); ++i) {
      const std::vector<int>& parts = strips.parts[i];
      for (std::size_t k = 0; k + 1 < parts.size(); ++k) {
        if (k > 0)
          layout.cuts.push_back(cut(!columns, parts[k], strips.ends[i], strips.ends[i + 1]));
        Panel panel{k, i, box_at(columns, strips.ends[i], strips.ends[i + 1], parts[k], parts[k + 1])};
        if (!columns)
          std::swap(panel.row, panel.column);
        layout.panels.push_back(panel);
      }
    }
    std::stable_sort(layout.panels.begin(), layout.panels.end(), [](const Panel& a, const Panel& b) {
      return std::tie(a.row, a.column) < std::tie(b.row, b.column);
    });
    for (const PanelCut& one : layout.cuts)
      layout.crossed += one.crossed;
    return layout;
  }

  // As many strips and parts, all of the same size.
  [[nodiscard]] Strips even(bool columns, const Strips& strips) const {
    const Grid& grid = separation_.grid;
    Strips even = strips;
    even.ends = even_ends(columns ? grid.width : grid.height, strips.parts.size());
    for (std::vector<int>& parts : even.parts)
      parts = even_ends(columns ? grid.height : grid.width, parts.size() - 1);
    return even;
  }

 private:
  // Along the points on either side: half of what both meet.
  [[nodiscard]] std::size_t crossed(bool down, int at, int from, int to) const {
    std::size_t met = 0;
    for (const int side : {at - 1, at}) {
      for (int i = from + 1; i < to; ++i)
        met += changes_.between(down ? changes_.at(side, i - 1) : changes_.at(i - 1, side),
                                down ? changes_.at(side, i) : changes_.at(i, side))
                   ? 1
                   : 0;
    }
    return (met + 1) / 2;
  }
  [[nodiscard]] PanelCut cut(bool down, int at, int from, int to) const {
    const double pitch = separation_.grid.pitch.value(), place = at * pitch;
    PanelCut made{{place, from * pitch}, {place, to * pitch}, crossed(down, at, from, to)};
    if (!down) {
      std::swap(made.from.x, made.from.y);
      std::swap(made.to.x, made.to.y);
    }
    return made;
  }

  const Separation& separation_;
  const std::vector<Layer>& layers_;
  const Image<PackedLab>& wanted_;
  Room room_;
  Millimetres smallest_;
  Changes changes_;
};

}  // namespace

BoxMm in_mm(const GridBox& box, Millimetres pitch) {
  const double mm = pitch.value();
  return {box.left * mm, box.top * mm, box.right * mm, box.bottom * mm};
}

Parting best_parting(const std::vector<int>& places, const std::vector<double>& costs,
                     const std::vector<std::size_t>& count_of_length) {
  const int whole = places.back();
  const double inner = static_cast<double>(places.size()) - 2;
  const double mean = inner > 0 ? std::accumulate(costs.begin() + 1, costs.end() - 1, 0.0) / inner : 0;
  const auto longest = static_cast<int>(
      std::find_if(count_of_length.rbegin(), count_of_length.rend(), [](std::size_t n) { return n > 0; }) -
      count_of_length.rbegin());
  const int most = static_cast<int>(count_of_length.size()) - 1 - longest;
  // How to come to each place: by which one before, and what all that costs.
  struct Way {
    std::size_t count = std::numeric_limits<std::size_t>::max(), before = 0;
    double value = 0, cost = 0;
    std::int64_t squares = 0;  // of lengths: decides what costs the same
    [[nodiscard]] auto order() const { return std::tie(count, value, squares); }
    [[nodiscard]] bool is_one() const { return count != std::numeric_limits<std::size_t>::max(); }
  };
  std::vector<Way> ways(places.size());
  ways[0].count = 0;
  for (std::size_t i = 1; i < places.size(); ++i) {
    for (std::size_t k = i; k-- > 0;) {
      const int length = places[i] - places[k];
      if (length > most)
        break;
      const std::size_t count = count_of_length[static_cast<std::size_t>(length)];
      if (count == 0 || !ways[k].is_one())
        continue;
      const double share = static_cast<double>(length) / whole;
      const double here = i + 1 < places.size() ? costs[i] : 0;
      const Way way{ways[k].count + count, k, ways[k].value + here + evenness_price * mean * share * share,
                    ways[k].cost + here, ways[k].squares + static_cast<std::int64_t>(length) * length};
      if (!ways[i].is_one() || way.order() <= ways[i].order())
        ways[i] = way;
    }
  }
  if (!ways.back().is_one())
    return {};
  Parting best{{}, ways.back().count, ways.back().cost, ways.back().value};
  for (std::size_t i = places.size() - 1; i > 0; i = ways[i].before)
    best.ends.push_back(places[i]);
  best.ends.push_back(0);
  std::reverse(best.ends.begin(), best.ends.end());
  return best;
}

CutCosts cut_costs(const Separation& separation, const std::vector<Layer>& layers,
                   const Image<PackedLab>& wanted, const GridBox& box, Millimetres smallest) {
  const Millimetres pitch = separation.grid.pitch;
  const int near = std::max(1, static_cast<int>(std::lround(smallest / pitch)));
  const Profile profile = profile_of(Changes(separation, layers), wanted, box, near / 2);
  return {costs_of(profile.down, profile.beside_columns, near, pitch),
          costs_of(profile.across, profile.beside_rows, near, pitch)};
}

std::size_t fewest_panels(const Grid& grid, const Shelf& shelf) {
  const Room room = room_on(shelf);
  const auto fewest = [&](int width, int length) {
    const std::vector<int> places = places_of_cuts(width, grid.pitch);
    return best_parting(places, std::vector<double>(places.size(), 0),
                        panels_of_strips(width, length, grid.pitch, room))
        .count;
  };
  return std::min(fewest(grid.width, grid.height), fewest(grid.height, grid.width));
}

PanelLayout cut_into_panels(const Separation& separation, const std::vector<Layer>& layers,
                            const Image<PackedLab>& wanted, const Shelf& shelf, Millimetres smallest) {
  const Grid& grid = separation.grid;
  if (fewest_panels(grid, shelf) <= 1)
    return {};
  const Cutter cutter(separation, layers, wanted, shelf, smallest);
  const CutCosts costs = cut_costs(separation, layers, wanted, {0, 0, grid.width, grid.height}, smallest);
  const Strips down = cutter.strips(true, costs), across = cutter.strips(false, costs);
  const bool columns = std::tie(down.panels, down.cost) <= std::tie(across.panels, across.cost);
  const Strips& best = columns ? down : across;
  PanelLayout layout = cutter.layout(columns, best);
  layout.crossed_if_even = cutter.layout(columns, cutter.even(columns, best)).crossed;
  return layout;
}

}  // namespace powderplan
