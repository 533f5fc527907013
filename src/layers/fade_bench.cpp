#include "layers/fade_bench.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <opencv2/imgproc.hpp>

#include "layers/mask_view.h"
#include "parallel.h"

namespace powderplan {
namespace {

// Lines keep within this of the field's. No shorter one is worth a look, and no ring that is not so many
// times as long as the sifter's soft edge is wide: nobody can lay it.
constexpr double line_tolerance_mm = 0.15, shortest_line_mm = 6, shortest_ring = 3;
// Meshes in one spacing of the field's spots.
constexpr double meshes_in_spacing = 10;
// An edge from 10 to 90 % is so much of the whole high.
constexpr double rise_of_edge = 0.8;

int meshes(double length, double mesh) {
  return std::max(1, static_cast<int>(std::ceil(length / mesh - 1e-9)));
}

// In shares of the fullest amount.
Lattice lattice_of(const SoftField& field, const Grid& grid, float fullest) {
  const double width = grid.width * grid.pitch.value(), height = grid.height * grid.pitch.value();
  const double mesh = std::max(grid.pitch.value(), field.spacing().value() / meshes_in_spacing);
  const int across = meshes(width, mesh), down = meshes(height, mesh);
  Lattice lattice{Image<float>(across + 1, down + 1), width / across, height / down};
  for_each_row_band(down + 1, [&](int begin, int end) {
    for (int row = begin; row < end; ++row) {
      for (int column = 0; column <= across; ++column)
        lattice.values.at(column, row) = std::clamp(
            field.at(field.reach(column * lattice.across, row * lattice.down)) / fullest, 0.0F, 1.0F);
    }
  });
  return lattice;
}

bool may_lie(const Layer& layer, const Grid& grid, PointMm at) {
  if (layer.open.empty())
    return true;
  const double pitch = grid.pitch.value();
  const int x = std::clamp(static_cast<int>(std::floor(at.x / pitch)), 0, grid.width - 1);
  const int y = std::clamp(static_cast<int>(std::floor(at.y / pitch)), 0, grid.height - 1);
  return layer.open.at(x, y);
}

Image<std::uint8_t> laid_on(const Lattice& lattice, const Layer& layer, const Grid& grid) {
  Image<std::uint8_t> laid(lattice.values.width(), lattice.values.height());
  for (int row = 0; row < laid.height(); ++row) {
    for (int column = 0; column < laid.width(); ++column)
      laid.at(column, row) = may_lie(layer, grid, {column * lattice.across, row * lattice.down}) ? 1 : 0;
  }
  return laid;
}

// The parts of a line that lie in the openings, to within a grid point.
std::vector<LineMm> inside_openings(const LineMm& line, const Layer& layer, const Grid& grid) {
  if (layer.open.empty())
    return {line};
  std::vector<LineMm> parts(1);
  const auto pass = [&](PointMm p) {
    if (may_lie(layer, grid, p))
      parts.back().push_back(p);
    else if (!parts.back().empty())
      parts.emplace_back();
  };
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (i > 0) {
      const PointMm a = line[i - 1], b = line[i];
      const int steps = meshes(std::hypot(b.x - a.x, b.y - a.y), grid.pitch.value() / 2);
      for (int k = 1; k < steps; ++k)
        pass({a.x + (b.x - a.x) * k / steps, a.y + (b.y - a.y) * k / steps});
    }
    pass(line[i]);
  }
  // A closed line that begins inside and was cut is one part across its beginning.
  if (parts.size() > 1 && line.front() == line.back() && !parts.front().empty() && !parts.back().empty() &&
      parts.front().front() == parts.back().back()) {
    parts.back().insert(parts.back().end(), parts.front().begin() + 1, parts.front().end());
    parts.erase(parts.begin());
  }
  return parts;
}

std::vector<LineMm> lines_at(double share, const Lattice& lattice, const Layer& layer, const Grid& grid,
                             Millimetres edge) {
  std::vector<LineMm> lines;
  for (const LineMm& line : level_lines(lattice, share)) {
    for (const LineMm& part : inside_openings(line, layer, grid)) {
      const bool ring = part.size() > 2 && part.front() == part.back();
      if (length_of(part) >=
          (ring ? std::max(shortest_line_mm, shortest_ring * edge.value()) : shortest_line_mm))
        lines.push_back(with_few_points(part, line_tolerance_mm));
    }
  }
  return lines;
}

std::vector<FadeLevel> levels_of(const Lattice& lattice, const Layer& layer, const Grid& grid, Load full,
                                 Millimetres edge) {
  const auto drawn = [&](const std::vector<double>& shares) {
    std::vector<FadeLevel> levels;
    for (const double share : shares) {
      FadeLevel level{share, full * share, lines_at(share, lattice, layer, grid, edge)};
      if (!level.lines.empty())
        levels.push_back(std::move(level));
    }
    return levels;
  };
  std::vector<FadeLevel> levels = drawn({usual_fade_shares.begin(), usual_fade_shares.end()});
  if (levels.size() >= 2)
    return levels;
  std::vector<double> eighths;
  for (int i = 1; i < 8; ++i)
    eighths.push_back(i / 8.0);
  return drawn(eighths);
}

std::vector<FadeBand> bands_of(const std::vector<FadeLevel>& levels, const Layer& layer, const Grid& grid) {
  std::vector<FadeBand> bands(levels.size() + 1);
  for (std::size_t i = 0; i < bands.size(); ++i) {
    bands[i].from = i == 0 ? 0 : levels[i - 1].share;
    bands[i].to = i == levels.size() ? 1 : levels[i].share;
  }
  std::vector<std::uint64_t> points(bands.size(), 0), amounts(bands.size(), 0);
  for (std::size_t i = 0; i < layer.amount.size(); ++i) {
    if (layer.amount[i] == 0)
      continue;
    std::size_t band = 0;
    while (band < levels.size() &&
           layer.load * (static_cast<double>(layer.amount[i]) / whole_amount) >= levels[band].load)
      ++band;
    ++points[band];
    amounts[band] += layer.amount[i];
  }
  for (std::size_t i = 0; i < bands.size(); ++i) {
    const double amount = static_cast<double>(amounts[i]) / whole_amount;
    bands[i].area_cm2 = static_cast<double>(points[i]) * grid.point_cm2();
    bands[i].lands = Grams(layer.load.value() * amount * grid.point_cm2());
    if (points[i] > 0)
      bands[i].mean = layer.load * (amount / static_cast<double>(points[i]));
  }
  std::erase_if(bands, [](const FadeBand& band) { return band.area_cm2 == 0; });
  return bands;
}

// The width over which the thinner half of the fade would rise from 10 to 90 %, by its mean slope on the way
// down: each step of the amount counts alike, so that long tails do not make an edge wide.
Millimetres edge_where_thin(const Lattice& lattice, const Image<std::uint8_t>& laid) {
  double squares = 0, sum = 0;
  for (int row = 0; row + 1 < laid.height(); ++row) {
    for (int column = 0; column + 1 < laid.width(); ++column) {
      const double a = lattice.values.at(column, row);
      const double dx = (lattice.values.at(column + 1, row) - a) / lattice.across;
      const double dy = (lattice.values.at(column, row + 1) - a) / lattice.down;
      const double steep = std::sqrt(dx * dx + dy * dy);
      if (laid.at(column, row) == 0 || a <= 0 || a >= 0.5)
        continue;
      squares += steep * steep;
      sum += steep;
    }
  }
  return squares > 0 ? Millimetres(rise_of_edge * sum / squares) : Millimetres(0);
}

// The amount that so much of the area reaches.
Amount fullest_of(const Image<Amount>& amount) {
  // Counted in turns, because neighbours are mostly equal and one count would wait for the other.
  std::array<std::array<std::size_t, whole_amount + 1>, 4> counts{};
  for (std::size_t i = 0; i < amount.size(); ++i)
    ++counts[i % counts.size()][amount[i]];
  std::array<std::size_t, whole_amount + 1> points{};
  for (const auto& count : counts)
    std::transform(points.begin(), points.end(), count.begin(), points.begin(), std::plus<>());
  const std::size_t laid = amount.size() - points[0];
  auto above = static_cast<std::size_t>(fullest_area * static_cast<double>(laid));
  std::size_t fullest = laid > 0 ? whole_amount : 0;
  for (; fullest > 0 && points[fullest] <= above; --fullest)
    above -= points[fullest];
  return static_cast<Amount>(fullest);
}

std::vector<FadePlace> places_of(const Lattice& lattice, const Image<std::uint8_t>& laid, Grams all) {
  cv::Mat ids;
  const int count = cv::connectedComponents(view_of(laid), ids, 4, CV_32S);
  std::vector<double> powder(static_cast<std::size_t>(count), 0);
  double sum = 0;
  for (int row = 0; row < laid.height(); ++row) {
    for (int column = 0; column < laid.width(); ++column) {
      if (laid.at(column, row) == 0)
        continue;
      powder[static_cast<std::size_t>(ids.at<int>(row, column))] += lattice.values.at(column, row);
      sum += lattice.values.at(column, row);
    }
  }
  std::vector<int> order;
  for (int id = 1; id < count; ++id) {
    if (powder[static_cast<std::size_t>(id)] >= least_place * sum)
      order.push_back(id);
  }
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return powder[static_cast<std::size_t>(a)] > powder[static_cast<std::size_t>(b)];
  });
  order.resize(std::min(order.size(), most_places));
  std::vector<FadePlace> places(order.size());
  for_each_block(places.size(), [&](std::size_t i) {
    Image<std::uint8_t> here(laid.width(), laid.height());
    for (int row = 0; row < laid.height(); ++row) {
      for (int column = 0; column < laid.width(); ++column)
        here.at(column, row) = ids.at<int>(row, column) == order[i] ? 1 : 0;
    }
    places[i] = {way_of_fade(lattice, here), all * (powder[static_cast<std::size_t>(order[i])] / sum)};
  });
  return places;
}

// Whether two places are laid alike.
bool alike(const FadeWay& a, const FadeWay& b) {
  if (a.course != b.course)
    return false;
  const double along = a.towards.x * b.towards.x + a.towards.y * b.towards.y;
  const double within_45_degrees = std::sqrt(0.5);
  if (a.course == FadeCourse::one_way)
    return along >= within_45_degrees;
  return (a.course != FadeCourse::from_band && a.course != FadeCourse::to_band) ||
         std::abs(along) >= within_45_degrees;
}

FadeWay way_of_all(const std::vector<FadePlace>& places) {
  if (places.empty())
    return {};
  FadeWay way = places[0].way;
  if (places.size() == 1)
    return way;
  Grams all, shared;
  way.starts.clear();
  for (const FadePlace& place : places) {
    all += place.lands;
    if (alike(place.way, places[0].way))
      shared += place.lands;
    if (place.way.course != FadeCourse::even)
      way.starts.insert(way.starts.end(), place.way.starts.begin(), place.way.starts.end());
  }
  if (shared < all * shared_from)
    way.course = FadeCourse::several;
  if (way.starts.empty())
    way.starts = places[0].way.starts;
  way.starts.resize(std::min(way.starts.size(), most_starts));
  return way;
}

FadeHold hold_of(Millimetres edge, Millimetres thin_edge, Millimetres low_edge) {
  FadeHold hold;
  hold.edge = edge;
  hold.high = edge > low_edge * held_high_from;
  hold.height = height_for_edge(edge);
  const Millimetres highest = std::min(hold.height * 2, highest_hold);
  hold.height_where_thin = std::clamp(thin_edge * height_per_edge, hold.height, highest);
  return hold;
}

}  // namespace

const Fade* fade_of(const Separation& separation, const Layer& layer) {
  if (layer.technique != Technique::fade)
    return nullptr;
  const auto found = std::find_if(separation.fades.begin(), separation.fades.end(), [&](const Fade& fade) {
    return fade.nest == layer.nest && fade.step == static_cast<std::size_t>(layer.step);
  });
  return found == separation.fades.end() ? nullptr : &*found;
}

Millimetres height_for_edge(Millimetres edge) {
  return std::min(edge * height_per_edge, highest_hold);
}

Load fullest_load(const Layer& layer) {
  return layer.load * (static_cast<double>(fullest_of(layer.amount)) / whole_amount);
}

FadeBench fade_bench(const Layer& layer, const Fade& fade, const Grid& grid, Millimetres low_edge) {
  FadeBench bench;
  bench.free = layer.open.empty();
  bench.full = fullest_load(layer);
  const float fullest = static_cast<float>(fullest_of(layer.amount)) / whole_amount;
  if (fullest <= 0)
    return bench;
  const Millimetres edge = fade.amount.spacing() * (edge_in_deviations / 2);
  const Lattice lattice = lattice_of(fade.amount, grid, fullest);
  const Image<std::uint8_t> laid = laid_on(lattice, layer, grid);
  bench.levels = levels_of(lattice, layer, grid, bench.full, edge);
  bench.bands = bands_of(bench.levels, layer, grid);
  bench.places = places_of(lattice, laid, Grams(layer.load.value() * layer.amount_cm2));
  bench.way = way_of_all(bench.places);
  bench.hold =
      hold_of(fade.amount.spacing() * (edge_in_deviations / 2), edge_where_thin(lattice, laid), low_edge);
  if (!bench.free) {
    Image<float> shares = fade.amount.on(grid);
    for (std::size_t i = 0; i < shares.size(); ++i)
      shares[i] = std::max(shares[i], 0.0F) / fullest;
    bench.edges = edges_of_fade(shares, layer.open, grid.pitch);
  }
  return bench;
}

}  // namespace powderplan
