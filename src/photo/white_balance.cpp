#include "photo/white_balance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "median.h"
#include "problem.h"

namespace powderplan {
namespace {

constexpr double piece_size = 1.5;    // mm
constexpr double most_uneven = 0.04;  // of the grey, as a share
constexpr double most_tint = 0.2;     // between channels, as a share
// What paper reflects, seen by a camera whose tones are not quite true.
constexpr double least_paper = 0.55, most_paper = 1.2;

Balance by_factors(double r, double g, double b) {
  Balance balance;
  balance.matrix = {{{r, 0, 0}, {0, g, 0}, {0, 0, b}}};
  return balance;
}

[[noreturn]] void refuse(const BalanceTask& task, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::input, task.file.string(), std::move(wrong), std::move(remedy));
}

}  // namespace

Xyz Balance::operator()(const LinearRgb& share) const {
  const auto toned = [&](double v) { return exponent == 1 ? v : std::pow(std::max(v, 0.0), exponent); };
  const double r = toned(share.r), g = toned(share.g), b = toned(share.b);
  const auto row = [&](std::size_t i) { return matrix[i][0] * r + matrix[i][1] * g + matrix[i][2] * b; };
  return to_xyz(LinearRgb{row(0), row(1), row(2)});
}

Balance balance_by(const PaperReference& paper) {
  return by_factors(paper.reflects, paper.reflects, paper.reflects);
}

Balance balance_by(const NeutralReference& neutral, const BalanceTask& task) {
  const BoxMm& place = *task.card.reference;
  const double width = place.right - place.left - 2 * task.border_mm;
  const double height = place.bottom - place.top - 2 * task.border_mm;
  const int across = std::max(2, static_cast<int>(width / piece_size));
  const int down = std::max(2, static_cast<int>(height / piece_size));
  std::vector<double> r, g, b;
  for (int j = 0; j < down; ++j) {
    for (int i = 0; i < across; ++i) {
      const double left = place.left + task.border_mm, top = place.top + task.border_mm;
      const BalancePiece piece = task.read({left + width * i / across, top + height * j / down,
                                            left + width * (i + 1) / across, top + height * (j + 1) / down});
      if (!piece.good)
        continue;
      r.push_back(piece.light.r);
      g.push_back(piece.light.g);
      b.push_back(piece.light.b);
    }
  }
  const std::string again =
      "lay the neutral card so that it fills its place, without glare, or go by the paper";
  if (2 * g.size() < static_cast<std::size_t>(across) * static_cast<std::size_t>(down))
    refuse(task, "more than half of the neutral card's place is clipped, black or outside the photo", again);
  const double red = median(r), green = median(g), blue = median(b);
  std::vector<double> off;
  off.reserve(g.size());
  for (const double v : g)
    off.push_back(std::abs(v / green - 1));
  const double uneven = 1.4826 * median(off);
  // A quarter in shadow, glare or beside the card must not pass either.
  const auto far = std::count_if(off.begin(), off.end(), [](double v) { return v > 3 * most_uneven; });
  if (uneven > most_uneven || 4 * far > static_cast<std::ptrdiff_t>(off.size()))
    refuse(task, "the neutral card's place is not one even grey", again);
  const double light = 0.2126 * red + 0.7152 * green + 0.0722 * blue;  // IEC 61966-2-1
  const double paper = neutral.reflects / light;
  const bool like_paper = std::abs(light - 1) < 0.12;
  if (like_paper && !(paper >= least_paper && paper <= most_paper))
    refuse(task, "the neutral card is not in its place: nothing but white paper is seen there", again);
  if (!(paper >= least_paper && paper <= most_paper))
    refuse(task,
           fmt::format("the neutral card's place shows {:.0f} % of the light of the white paper, but a card "
                       "that reflects "
                       "{:.0f} % would show {:.0f} to {:.0f} %",
                       100 * light, 100 * neutral.reflects, 100 * neutral.reflects / most_paper,
                       100 * neutral.reflects / least_paper),
           "see that the neutral card lies in its place and that what it reflects is stated rightly");
  const double tint = std::max({red, green, blue}) / std::min({red, green, blue}) - 1;
  if (tint > most_tint)
    refuse(task,
           fmt::format("what lies in the neutral card's place is not grey: its channels differ by {:.0f} %",
                       100 * tint),
           again);
  task.notes.push_back(fmt::format("by the neutral card the paper reflects {:.0f} %", 100 * paper));
  if (tint > 0.03)
    task.notes.push_back(fmt::format(
        "against the neutral card the paper is off grey by {:.0f} %, which was corrected", 100 * tint));
  return by_factors(neutral.reflects / red, neutral.reflects / green, neutral.reflects / blue);
}

}  // namespace powderplan
