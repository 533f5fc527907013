#include "photo/find_marks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "photo/mark_candidates.h"
#include "problem.h"
#include "spoken.h"

namespace powderplan {
namespace {

constexpr std::string_view give_places =
    "or give the places of their centres in pixels with --marks X,Y,X,Y,X,Y,X,Y: first the mark with the "
    "white "
    "eye, then on clockwise";

// The first mark's template must fit better with its eye, the others without.
constexpr double least_eye_lead = 0.0;
constexpr int most_rounds = 6;
constexpr double settled = 0.01;  // mm

using Centres = std::array<PhotoPoint, 4>;

[[noreturn]] void refuse(const std::filesystem::path& file, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::input, file.string(), std::move(wrong), std::move(remedy));
}

double turn_of(const auto& a, const auto& b, const auto& c) {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}
// +1 or -1 when all corners turn the same way, 0 for a shape that is not convex.
int sense_of(const auto& corners) {
  int left = 0, right = 0;
  for (std::size_t i = 0; i < 4; ++i)
    (turn_of(corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]) > 0 ? left : right) += 1;
  return right == 0 ? 1 : left == 0 ? -1 : 0;
}

// Whether the circle seen at a candidate is the one that the view makes there. Both are ellipses, M M^T of
// their slopes; the eigenvalues of one in terms of the other are squared ratios of their axes.
bool same_ellipse(const Slope& seen, const Slope& expected, double pixels) {
  const auto square = [](const Slope& s) {
    return std::array<double, 3>{s[0][0] * s[0][0] + s[0][1] * s[0][1], s[0][0] * s[1][0] + s[0][1] * s[1][1],
                                 s[1][0] * s[1][0] + s[1][1] * s[1][1]};
  };
  const auto [a, b, c] = square(seen);
  const auto [p, q, r] = square(expected);
  const double det = a * c - b * b;
  const double trace = (c * p - 2 * b * q + a * r) / det, product = (p * r - q * q) / det;
  const double gap = std::sqrt(std::max(0.0, trace * trace / 4 - product));
  const double most = std::sqrt(trace / 2 + gap), least = std::sqrt(std::max(0.0, trace / 2 - gap));
  const double slack = 1.13 + 1.2 / pixels;
  return most < slack && least > 1 / slack;
}

bool could_be_card(const std::array<MarkCandidate, 4>& chosen, const CardLayout& card, const FlatView& view) {
  for (std::size_t i = 0; i < 4; ++i) {
    const double radius = pixels_per_mm(chosen[i].slope)[1] * mark_radii[0];
    if (!same_ellipse(chosen[i].slope, view.slope_at(card.marks[i]), radius))
      return false;
  }
  return true;
}

// Moves the centres until the rings, brought flat, lie where they should.
std::array<RingFit, 4> settle(const Image<float>& luminance, const CardLayout& card, Centres& centres,
                              double least_match) {
  std::array<RingFit, 4> rings;
  for (int round = 0; round < most_rounds; ++round) {
    const FlatView view(card.marks, centres);
    double furthest = 0;
    for (std::size_t i = 0; i < 4; ++i) {
      rings[i] = fit_rings(luminance, view, card.marks[i]);
      if (rings[i].match < least_match)
        continue;
      const PointMm shift = rings[i].shift;
      centres[i] = view.at({card.marks[i].x + shift.x, card.marks[i].y + shift.y});
      furthest = std::max(furthest, std::hypot(shift.x, shift.y));
    }
    if (furthest < settled)
      break;
  }
  return rings;
}

struct Arrangement {
  FoundMarks marks;
  double worst = 0;  // match
};

std::optional<Arrangement> verified(const Image<float>& luminance, const CardLayout& card, Centres centres) {
  const std::array<RingFit, 4> rings = settle(luminance, card, centres, 0.5);
  double worst = 1;
  for (std::size_t i = 0; i < 4; ++i) {
    worst = std::min(worst, rings[i].match);
    if (i == 0 ? rings[i].eye_lead <= least_eye_lead : rings[i].eye_lead >= -least_eye_lead)
      return std::nullopt;
  }
  if (worst < least_ring_match)
    return std::nullopt;
  return Arrangement{{centres, rings, FlatView(card.marks, centres)}, worst};
}

double distance(const PhotoPoint& a, const PhotoPoint& b) {
  return std::hypot(a.x - b.x, a.y - b.y);
}
bool same_places(const FoundMarks& one, const FoundMarks& two) {
  for (std::size_t i = 0; i < 4; ++i) {
    const double near = pixels_per_mm(one.view.slope_at({}))[0] * mark_radii[3];
    if (distance(one.centres[i], two.centres[i]) > near)
      return false;
  }
  return true;
}

// All ways to take four of the candidates that could be this card, one with the eye first.
void for_each_arrangement(const std::vector<MarkCandidate>& candidates, const auto& look_at) {
  const std::size_t n = candidates.size();
  for (std::size_t first = 0; first < n; ++first) {
    if (!candidates[first].has_eye)
      continue;
    for (std::size_t a = 0; a < n; ++a) {
      for (std::size_t b = 0; b < n; ++b) {
        for (std::size_t c = 0; c < n; ++c) {
          if (a == b || a == c || b == c || a == first || b == first || c == first || candidates[a].has_eye ||
              candidates[b].has_eye || candidates[c].has_eye)
            continue;
          look_at(
              std::array<MarkCandidate, 4>{candidates[first], candidates[a], candidates[b], candidates[c]});
        }
      }
    }
  }
}

struct Outcome {
  std::vector<Arrangement> good;
  bool mirrored = false;  // some four lie as on the card seen in a mirror
};
Outcome arrange(const Image<float>& luminance, const CardLayout& card,
                const std::vector<MarkCandidate>& candidates) {
  Outcome outcome;
  const int sense = sense_of(card.marks);
  for_each_arrangement(candidates, [&](const std::array<MarkCandidate, 4>& chosen) {
    const Centres centres{chosen[0].centre, chosen[1].centre, chosen[2].centre, chosen[3].centre};
    const int seen = sense_of(centres);
    // Two are too many; a poster full of rings would have thousands.
    if (outcome.good.size() > 1 || seen == 0 || !could_be_card(chosen, card, FlatView(card.marks, centres)))
      return;
    if (seen != sense) {
      outcome.mirrored = true;
      return;
    }
    const auto found = verified(luminance, card, centres);
    if (found && std::none_of(outcome.good.begin(), outcome.good.end(),
                              [&](const Arrangement& g) { return same_places(g.marks, found->marks); }))
      outcome.good.push_back(*found);
  });
  return outcome;
}

// A reason for marks not to be seen that shows in the whole photo.
void refuse_exposure(const Image<float>& luminance, const std::filesystem::path& file) {
  std::size_t full = 0, some = 0;
  for (std::size_t i = 0; i < luminance.size(); ++i) {
    full += luminance[i] > 0.98f ? 1 : 0;
    some += luminance[i] > 0.02f ? 1 : 0;
  }
  const double share = static_cast<double>(full) / static_cast<double>(luminance.size());
  if (share > 0.25)
    refuse(file, fmt::format("the marks were not found, and {:.0f} % of the photo is clipped", 100 * share),
           "expose less, so that white paper is light grey in the photo");
  if (static_cast<double>(some) < 0.05 * static_cast<double>(luminance.size()))
    refuse(file, "the marks were not found, and the photo is nearly black", "expose longer");
}

void refuse_too_few(const std::vector<MarkCandidate>& candidates, const Image<float>& luminance,
                    const std::filesystem::path& file) {
  if (candidates.size() < 4)
    refuse_exposure(luminance, file);
  if (candidates.empty())
    refuse(
        file, "no mark of the card was found",
        fmt::format("take a sharp photo of the whole card with all four ring marks on it, {}", give_places));
  if (candidates.size() < 4)
    refuse(file,
           fmt::format("only {} of the 4 marks {} found", candidates.size(),
                       candidates.size() == 1 ? "was" : "were"),
           fmt::format("see that none is covered, in glare or cut off by the edge of the photo, {}",
                       give_places));
}

[[noreturn]] void refuse_arrangement(const Outcome& outcome, const std::vector<MarkCandidate>& candidates,
                                     const std::filesystem::path& file) {
  if (outcome.good.size() > 1)
    refuse(file, "the marks were found in more than one way, as of several cards",
           fmt::format("photograph one card alone, {}", give_places));
  if (outcome.mirrored)
    refuse(file, "the card is seen as in a mirror",
           "take the photo straight, not by a mirror, and turn off the mirroring of the camera");
  if (std::none_of(candidates.begin(), candidates.end(), [](const MarkCandidate& c) { return c.has_eye; }))
    refuse(file,
           fmt::format("{} ring marks were found, but none with the white eye that tells the top left",
                       candidates.size()),
           fmt::format("see that the first mark is clean and not in glare, {}", give_places));
  refuse(file, fmt::format("{} ring marks were found, but no 4 that lie as on this card", candidates.size()),
         fmt::format(
             "see that it is the card of this plan, that it lies flat and that all its marks are seen, {}",
             give_places));
}

}  // namespace

FoundMarks find_marks(const Image<float>& luminance, const CardLayout& card,
                      const std::filesystem::path& file) {
  const std::vector<MarkCandidate> candidates = mark_candidates(luminance);
  refuse_too_few(candidates, luminance, file);
  const Outcome outcome = arrange(luminance, card, candidates);
  if (outcome.good.size() != 1)
    refuse_arrangement(outcome, candidates, file);
  return outcome.good.front().marks;
}

namespace {

// The centre of the rings near a place, sought on a net about it.
PointMm nearest_rings(const Image<float>& luminance, const FlatView& view, PointMm about) {
  constexpr double reach = 4, net = 2;  // mm
  PointMm best;
  double match = 0;
  constexpr int steps = static_cast<int>(reach / net);
  for (int j = -steps; j <= steps; ++j) {
    for (int i = -steps; i <= steps; ++i) {
      const double x = i * net, y = j * net;
      const RingFit fit = fit_rings(luminance, view, {about.x + x, about.y + y}, 0.5);
      const PointMm shift{x + fit.shift.x, y + fit.shift.y};
      if (fit.match > match && std::hypot(shift.x, shift.y) < reach * 1.5) {
        match = fit.match;
        best = shift;
      }
    }
  }
  return match >= 0.6 ? best : PointMm{};
}

}  // namespace

FoundMarks marks_as_given(const Image<float>& luminance, const CardLayout& card,
                          const std::array<PhotoPoint, 4>& given, const std::filesystem::path& file) {
  for (std::size_t i = 0; i < 4; ++i) {
    const auto [x, y] = given[i];
    if (!(x >= 0 && y >= 0 && x <= luminance.width() && y <= luminance.height()))
      refuse(file,
             fmt::format("the place {},{} given for mark {} lies outside the photo of {} by {} pixels", x, y,
                         i + 1, luminance.width(), luminance.height()),
             "give places inside it");
  }
  if (sense_of(given) != sense_of(card.marks))
    refuse(
        file, "the places given for the marks do not go round the card clockwise",
        "give first the mark with the white eye, then top right, bottom right and bottom left as seen with "
        "the eye at the top left");
  Centres centres = given;
  const FlatView rough(card.marks, centres);
  for (std::size_t i = 0; i < 4; ++i) {
    const PointMm shift = nearest_rings(luminance, rough, card.marks[i]);
    centres[i] = rough.at({card.marks[i].x + shift.x, card.marks[i].y + shift.y});
  }
  std::array<RingFit, 4> rings = settle(luminance, card, centres, least_ring_match);
  for (std::size_t i = 0; i < 4; ++i) {
    if (rings[i].match < least_ring_match) {
      rings[i] = {};
      // What was not seen is where the user says.
      centres[i] = given[i];
    } else if (rings[i].has_eye != (i == 0)) {
      refuse(file,
             i == 0 ? "the first place given is a mark without the white eye"
                    : fmt::format("the mark with the white eye is number {} of the places given", i + 1),
             "give the mark with the white eye first, then on clockwise");
    }
  }
  return {centres, rings, FlatView(card.marks, centres)};
}

}  // namespace powderplan
