#include "photo/photo_judge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "problem.h"

namespace powderplan {
namespace {

// 10 to 90 % of an edge blurred by a normal distribution.
constexpr double edge_of_blur = 2.563;

[[noreturn]] void refuse(const std::filesystem::path& file, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::input, file.string(), std::move(wrong), std::move(remedy));
}

double luminance(const LinearRgb& c) {
  return 0.2126 * c.r + 0.7152 * c.g + 0.0722 * c.b;  // IEC 61966-2-1
}

double quantile(std::vector<double> values, double share) {
  const auto at =
      values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

}  // namespace

double edge_width_mm(const FoundMarks& marks) {
  double blur = 0;
  for (const RingFit& fit : marks.rings)
    blur = std::max(blur, fit.blur_mm);
  return edge_of_blur * blur;
}

void judge_view(const FoundMarks& marks, const CardLayout& card, const std::filesystem::path& file,
                std::vector<std::string>& notes) {
  double finest = 1e9;
  PointMm middle;
  for (const PointMm& mark : card.marks) {
    finest = std::min(finest, pixels_per_mm(marks.view.slope_at(mark))[1]);
    middle = {middle.x + mark.x / 4, middle.y + mark.y / 4};
  }
  const double off = degrees_off_square(marks.view.slope_at(middle));
  // Written so that places that are not numbers are refused.
  if (!(off <= most_degrees_off))
    refuse(file, fmt::format("the card is seen from {:.0f} degrees off square", off),
           fmt::format("hold the camera straight above the card, at the most {:.0f} degrees off",
                       most_degrees_off));
  if (!(finest >= least_px_per_mm))
    refuse(file, fmt::format("the card is seen at only {:.1f} pixels a millimetre", finest),
           fmt::format("go nearer or take a larger photo: {:.0f} are needed, 5 are good", least_px_per_mm));
  const double edge = edge_width_mm(marks);
  if (edge > most_edge_mm)
    refuse(file,
           fmt::format("the photo is blurred: edges of the marks are {:.1f} mm ({:.0f} pixels) wide", edge,
                       edge * finest),
           fmt::format("focus on the card and hold the camera still; up to {:.1f} mm will do", most_edge_mm));
  notes.push_back(fmt::format(
      "seen from {:.0f} degrees off square at {:.1f} pixels a millimetre; edges are {:.1f} mm wide", off,
      finest, edge));
}

void judge_exposure(const PaperSeen& paper, const std::filesystem::path& file,
                    std::vector<std::string>& notes) {
  if (paper.clipped > most_paper_clipped)
    refuse(file, fmt::format("{:.0f} % of the white paper is clipped", 100 * paper.clipped),
           "expose less, so that the paper is light grey in the photo, or keep glare off it");
  if (paper.outside > 0.3)
    refuse(file,
           fmt::format("{:.0f} % of the card's white paper lies outside the photo", 100 * paper.outside),
           "take a photo of the whole card");
  constexpr std::size_t least_pieces = 12;
  if (paper.pieces.size() < least_pieces)
    refuse(file, "no white paper is seen where the card should have it",
           "see that nothing covers the card's bare paper and that it is the card of this plan");
  std::vector<double> lights;
  for (const PaperPiece& piece : paper.pieces)
    lights.push_back(luminance(piece.light));
  const double level = quantile(lights, 0.5);
  if (level < darkest_paper)
    refuse(file, fmt::format("the photo is too dark: the white paper is at {:.1f} % of full", 100 * level),
           fmt::format("expose longer, by about {:.1f} stops", std::log2(0.6 / level)));
  if (level < 2 * darkest_paper)
    notes.push_back(fmt::format("the photo is dark: the white paper is at {:.0f} % of full", 100 * level));
  if (paper.clipped > 0.01)
    notes.push_back(
        fmt::format("{:.0f} % of the white paper is clipped and did not count", 100 * paper.clipped));
}

void judge_light(const LightField& light, const PaperSeen& paper, const FoundMarks& marks,
                 const std::filesystem::path& file, std::vector<std::string>& notes) {
  if (light.uneven() > most_paper_uneven)
    refuse(
        file,
        fmt::format(
            "the places of white paper do not look like paper in smooth light: they are uneven by {:.1f} %",
            100 * light.uneven()),
        "keep shadows and patterns of light off the card, lay it flat, and see that its marks are the right "
        "ones");
  if (light.off() > most_paper_off)
    refuse(file,
           fmt::format("{:.0f} % of the white paper is lighter or darker than smooth light would make it",
                       100 * light.off()),
           "keep shadows, glare and things off the card's bare paper");
  double least = 1e9, most = 0, red = 0, blue = 0;
  for (const PaperPiece& piece : paper.pieces) {
    const LinearRgb at = light.at(piece.place);
    least = std::min(least, at.g);
    most = std::max(most, at.g);
    red += at.r / at.g;
    blue += at.b / at.g;
    const double colour_off = std::max({at.r / at.g, at.g / at.r, at.b / at.g, at.g / at.b});
    if (!(colour_off < 2.5))
      refuse(file, "the places of white paper are not white",
             "use even white light and the camera's automatic white balance, and see that the marks are the "
             "right ones");
  }
  // Whoever has seen the rings knows what is white beside them.
  for (const RingFit& fit : marks.rings) {
    if (fit.match > 0 && !(fit.black < 0.6 * fit.white))
      refuse(file, "the marks are hardly darker than the paper", "keep glare and haze off the card");
  }
  constexpr double most_ratio = 4;
  if (!(most < most_ratio * least))
    refuse(file, fmt::format("one side of the card gets {:.1f} times the light of another", most / least),
           "light the card more evenly");
  const double count = static_cast<double>(paper.pieces.size());
  notes.push_back(fmt::format(
      "light falls off by {:.0f} % across the card; what is left after evening it out is {:.1f} %",
      100 * (1 - least / most), 100 * light.uneven()));
  notes.push_back(
      fmt::format("in the photo the paper shows {:.0f} % of red and {:.0f} % of blue for 100 % of green",
                  100 * red / count, 100 * blue / count));
  if (light.off() > 0.05)
    notes.push_back(fmt::format(
        "{:.0f} % of the white paper is in shadow, dirty or in glare and did not count", 100 * light.off()));
}

}  // namespace powderplan
