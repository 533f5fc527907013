#include "photo/field_reading.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

#include "colour/difference.h"
#include "problem.h"

namespace powderplan {
namespace {

// Fewer pieces than that say nothing of what is usual among them.
constexpr std::size_t least_to_judge = 9;
constexpr double share_for_level = 0.4;
// Half the width of the interval about the mean that holds 40 % of a normal distribution.
constexpr double width_of_share = 0.5244;
constexpr double seed_sigmas = 4, grown_sigmas = 2;
constexpr double least_dirt = 6;  // CIEDE2000

enum class Verdict : std::uint8_t { counts, clipped, outside, glare, dirt };

struct Level {
  double light = 0, sigma = 0;
  LinearRgb colour;
  Lab lab;
  double lab_sigma = 0;
};

Level level_of(const Image<FieldPiece>& pieces, const Image<Verdict>& verdicts) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (verdicts[i] == Verdict::counts)
      order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return pieces[a].colour.y < pieces[b].colour.y; });
  const std::size_t held =
      static_cast<std::size_t>(std::ceil(share_for_level * static_cast<double>(order.size())));
  std::size_t from = 0;
  double width = 1e9;
  for (std::size_t i = 0; i + held <= order.size(); ++i) {
    const double w = pieces[order[i + held - 1]].colour.y - pieces[order[i]].colour.y;
    if (w < width) {
      width = w;
      from = i;
    }
  }
  Level level;
  Xyz sum;
  const double each = 1.0 / static_cast<double>(held);
  for (std::size_t i = from; i < from + held; ++i) {
    const FieldPiece& p = pieces[order[i]];
    sum = sum + p.colour * each;
    level.colour = {level.colour.r + p.light.r * each, level.colour.g + p.light.g * each,
                    level.colour.b + p.light.b * each};
  }
  level.light = sum.y;
  level.lab = to_lab(sum);
  // The noise of the photo is never taken for less than this.
  level.sigma = std::max(width / 2 / width_of_share, 0.012 * level.light + 0.0012);
  std::vector<double> off;
  off.reserve(order.size());
  for (const std::size_t i : order)
    off.push_back(ciede2000(level.lab, to_lab(pieces[i].colour)));
  const auto middle = off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2);
  std::nth_element(off.begin(), middle, off.end());
  level.lab_sigma = 1.4826 * *middle;
  return level;
}

// Whether the light that a piece has more than the field is without much colour.
bool adds_white(const FieldPiece& piece, const Level& level, double least_share) {
  const double r = piece.light.r - level.colour.r, g = piece.light.g - level.colour.g,
               b = piece.light.b - level.colour.b;
  return std::min({r, g, b}) > least_share * std::max({r, g, b});
}

void for_each_neighbour(const auto& image, int x, int y, const auto& look_at) {
  constexpr std::array<std::array<int, 2>, 4> ways{{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};
  for (const auto& [dx, dy] : ways) {
    if (x + dx >= 0 && y + dy >= 0 && x + dx < image.width() && y + dy < image.height())
      look_at(x + dx, y + dy);
  }
}

void reject(const Image<FieldPiece>& pieces, const Level& level, Image<Verdict>& verdicts) {
  Image<std::uint8_t> seeds(pieces.width(), pieces.height());
  const auto excess = [&](const FieldPiece& p) { return p.colour.y - level.light; };
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const FieldPiece& p = pieces[i];
    if (verdicts[i] == Verdict::clipped || verdicts[i] == Verdict::outside)
      seeds[i] = verdicts[i] == Verdict::clipped ? 1 : 0;
    else if (excess(p) > seed_sigmas * level.sigma && adds_white(p, level, 0.4))
      seeds[i] = 1;
    else if (ciede2000(level.lab, to_lab(p.colour)) > std::max(seed_sigmas * level.lab_sigma, least_dirt))
      seeds[i] = 2;
  }
  std::vector<std::array<int, 2>> border;
  for (int y = 0; y < pieces.height(); ++y) {
    for (int x = 0; x < pieces.width(); ++x) {
      const std::uint8_t seed = seeds.at(x, y);
      if (seed == 0)
        continue;
      bool alone = true;
      for_each_neighbour(seeds, x, y, [&](int u, int v) { alone = alone && seeds.at(u, v) != seed; });
      if (alone)
        continue;
      if (verdicts.at(x, y) == Verdict::counts)
        verdicts.at(x, y) = seed == 1 ? Verdict::glare : Verdict::dirt;
      if (seed == 1)
        border.push_back({x, y});
    }
  }
  // The skirts of glare.
  while (!border.empty()) {
    const auto [x, y] = border.back();
    border.pop_back();
    for_each_neighbour(verdicts, x, y, [&](int u, int v) {
      const FieldPiece& p = pieces.at(u, v);
      if (verdicts.at(u, v) == Verdict::counts && excess(p) > grown_sigmas * level.sigma &&
          adds_white(p, level, 0.2)) {
        verdicts.at(u, v) = Verdict::glare;
        border.push_back({u, v});
      }
    });
  }
}

// How much of the spread of lightness a smooth slope over the field explains, a polynomial of second degree.
double share_of_slope(const Image<FieldPiece>& pieces, const Image<Verdict>& verdicts) {
  using Six = Eigen::Matrix<double, 6, 1>;
  Eigen::Matrix<double, 6, 6> normal = Eigen::Matrix<double, 6, 6>::Zero();
  Six right = Six::Zero();
  double count = 0, sum = 0, squares = 0;
  for (int y = 0; y < pieces.height(); ++y) {
    for (int x = 0; x < pieces.width(); ++x) {
      if (verdicts.at(x, y) != Verdict::counts)
        continue;
      const double u = (x + 0.5) / pieces.width() - 0.5, v = (y + 0.5) / pieces.height() - 0.5;
      const double light = pieces.at(x, y).colour.y;
      Six row;
      row << 1, u, v, u * u, u * v, v * v;
      normal += row * row.transpose();
      right += row * light;
      count += 1;
      sum += light;
      squares += light * light;
    }
  }
  const double spread = squares - sum * sum / count;
  // Twice the terms, lest a polynomial explains what there are too few pieces to explain.
  if (count < 12 || !(spread > 0))
    return 0;
  normal += 1e-9 * count * Eigen::Matrix<double, 6, 6>::Identity();
  const double explained = normal.ldlt().solve(right).dot(right) - sum * sum / count;
  return explained / spread;
}

std::size_t count_of(const Image<Verdict>& verdicts, Verdict wanted) {
  return static_cast<std::size_t>(std::count(verdicts.data(), verdicts.data() + verdicts.size(), wanted));
}

[[noreturn]] void refuse(const Image<Verdict>& verdicts, const std::string& name,
                         const std::filesystem::path& file) {
  const auto share = [&](Verdict v) {
    return 100.0 * static_cast<double>(count_of(verdicts, v)) / static_cast<double>(verdicts.size());
  };
  const double clipped = share(Verdict::clipped), outside = share(Verdict::outside),
               glare = share(Verdict::glare), dirt = share(Verdict::dirt);
  const double most = std::max({clipped, outside, glare, dirt});
  const auto say = [&](const std::string& wrong, const std::string& remedy) {
    throw Problem(ProblemKind::input, file.string(), wrong, remedy);
  };
  if (outside == most)
    say(fmt::format("{:.0f} % of {} lies outside the photo", outside, name),
        "take a photo of the whole card");
  if (clipped == most)
    say(fmt::format("{:.0f} % of {} is clipped", clipped, name),
        "expose less, and turn the card or the lamp so that no light glares on it");
  if (glare == most)
    say(fmt::format("glare covers {:.0f} % of {}", glare + clipped, name),
        "turn the card or the lamp so that no light is mirrored into the camera");
  say(fmt::format("{:.0f} % of {} is of another colour than the rest", dirt, name),
      "clean the glass, and see that it lies in its place on the card");
  throw Problem(ProblemKind::other, file.string(), "a field was refused without a reason", "");
}

}  // namespace

FieldReading reading_of(const Image<FieldPiece>& pieces, const std::string& name,
                        const std::filesystem::path& file) {
  Image<Verdict> verdicts(pieces.width(), pieces.height(), Verdict::counts);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (pieces[i].outside)
      verdicts[i] = Verdict::outside;
    else if (pieces[i].clipped)
      verdicts[i] = Verdict::clipped;
  }
  // What is left out no longer hides the skirts of what is to be left out.
  constexpr int rounds = 3;
  for (int round = 0; round < rounds && count_of(verdicts, Verdict::counts) >= least_to_judge; ++round)
    reject(pieces, level_of(pieces, verdicts), verdicts);
  const std::size_t counted = count_of(verdicts, Verdict::counts);
  if (counted == 0 || 2 * counted < pieces.size())
    refuse(verdicts, name, file);
  FieldReading reading;
  const double each = 1.0 / static_cast<double>(counted);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (verdicts[i] == Verdict::counts)
      reading.colour = reading.colour + pieces[i].colour * each;
  }
  reading.used = static_cast<double>(counted) / static_cast<double>(pieces.size());
  double squares = 0;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (verdicts[i] != Verdict::counts)
      continue;
    const double off = ciede2000(to_lab(reading.colour), to_lab(pieces[i].colour));
    squares += off * off * each;
  }
  reading.unevenness = std::sqrt(squares);
  if (reading.unevenness > most_unevenness ||
      (reading.unevenness > most_slope && share_of_slope(pieces, verdicts) > 0.7))
    throw Problem(
        ProblemKind::input, file.string(),
        fmt::format("{} is not one colour: its parts differ by CIEDE2000 {:.1f}", name, reading.unevenness),
        "look for glare or a shadow on it, for powder that was laid unevenly, and whether the glass lies "
        "in its place");
  return reading;
}

}  // namespace powderplan
