#include "report/schedule_plot.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <sstream>

#include "raster/png.h"
#include "report/bench_numbers.h"
#include "report/canvas.h"
#include "report/cautions.h"

namespace powderplan {
namespace {

// Units of the drawing, and pixels of the PNG.
constexpr double width = 1000, height = plot_height_of_width * width;
constexpr double left = 88, right = 985, top = 54, bottom = 355;
constexpr double letter = 28;
constexpr Millimetres png_pitch{0.17};

struct Point {
  double x, y;
};

struct Box {
  double left, top, right, bottom;
  [[nodiscard]] bool meets(const Box& other) const {
    return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
  }
};

enum class Ink { black, grey, light };

struct PlotStroke {
  Point from, to;
  double thickness;
  Ink ink = Ink::black;
  double dash = 0, gap = 0;  // 0: in one piece
};

struct Words {
  Point at;  // of the baseline
  std::string text;
  Align align = Align::left;
  bool bold = false;
  bool cleared = false;  // white behind it
};

struct Drawing {
  std::vector<PlotStroke> strokes;  // under the words
  std::vector<PlotStroke> curve;    // over the white behind them
  std::vector<Words> words;
};

std::size_t letters_of(const std::string& text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

// Room that words take, measured generously: fonts differ.
Box room_of(const Words& words) {
  const double wide = static_cast<double>(letters_of(words.text)) * letter * (words.bold ? 0.65 : 0.57);
  const double begin = words.align == Align::left    ? words.at.x
                       : words.align == Align::right ? words.at.x - wide
                                                     : words.at.x - wide / 2;
  return {begin - 3, words.at.y - 0.8 * letter, begin + wide + 3, words.at.y + 0.22 * letter};
}

// Whether a straight line passes through a box, by cutting it against the four sides (Liang and Barsky 1984).
bool passes(const PlotStroke& stroke, const Box& box) {
  double enter = 0, leave = 1;
  const double dx = stroke.to.x - stroke.from.x, dy = stroke.to.y - stroke.from.y;
  const double steps[] = {-dx, dx, -dy, dy};
  const double rooms[] = {stroke.from.x - box.left, box.right - stroke.from.x, stroke.from.y - box.top,
                          box.bottom - stroke.from.y};
  for (std::size_t side = 0; side < 4; ++side) {
    if (steps[side] == 0) {
      if (rooms[side] < 0)
        return false;
    } else if (steps[side] < 0) {
      enter = std::max(enter, rooms[side] / steps[side]);
    } else {
      leave = std::min(leave, rooms[side] / steps[side]);
    }
  }
  return enter <= leave;
}

// Puts words where nothing is in their way.
class Placer {
 public:
  explicit Placer(std::vector<PlotStroke> curve) : curve_(std::move(curve)) {}

  // The best of several places, of equals the first: free of the curve, of other words and of the frame.
  Words place(const std::string& text, const std::vector<Words>& places) {
    double least = std::numeric_limits<double>::infinity();
    Words chosen;
    for (Words words : places) {
      words.text = text;
      const Box room = room_of(words);
      double harm = 0;
      if (room.left < left - 12 || room.right > right + 12 || room.top < 0 || room.bottom > bottom)
        harm += 10;
      for (const Box& other : taken_)
        harm += room.meets(other) ? 5 : 0;
      for (const PlotStroke& stroke : curve_)
        harm += passes(stroke, room) ? 1 : 0;
      if (harm < least) {
        least = harm;
        chosen = words;
      }
    }
    taken_.push_back(room_of(chosen));
    chosen.cleared = true;
    return chosen;
  }

 private:
  std::vector<PlotStroke> curve_;
  std::vector<Box> taken_;
};

double step_of(double whole, std::initializer_list<double> steps, double most) {
  for (const double step : steps) {
    if (whole / step <= most)
      return step;
  }
  return *(steps.end() - 1) * std::ceil(whole / most / *(steps.end() - 1));
}

// A hold as drawn.
struct Hold {
  Point begin, end;
  std::size_t leg;
  bool down;  // the kiln came from above
};

// Beside the hold, on the side where the curve is not; then above and below.
std::vector<Words> around(const Hold& hold) {
  constexpr double off = 14;
  std::vector<Words> places;
  const auto beside = [&](bool on_the_left) {
    for (const double lower : {0.13, -0.4, 1.0}) {
      const double x = on_the_left ? hold.begin.x - off : hold.end.x + off;
      places.push_back({{x, hold.begin.y + lower * letter}, "", on_the_left ? Align::right : Align::left});
    }
  };
  const double middle = (hold.begin.x + hold.end.x) / 2;
  beside(!hold.down);
  places.push_back({{middle, hold.begin.y - 0.4 * letter}, "", Align::centre});
  beside(hold.down);
  for (const double lower : {1.2, 2.4, 3.6})
    for (const auto& [x, align] :
         {std::pair{hold.begin.x, Align::left}, {middle, Align::centre}, {hold.end.x, Align::right}})
      places.push_back({{x, hold.begin.y + lower * letter}, "", align});
  return places;
}

Drawing drawing_of(const Schedule& schedule, const GlassConstants& glass) {
  const double hours = std::max(0.1, hours_of(schedule));
  const double hottest = std::max(top_of(schedule).value(), glass.softening.value()) * 1.06;
  const auto at = [&](double hour, double celsius) {
    return Point{left + (right - left) * hour / hours, bottom - (bottom - top) * celsius / hottest};
  };
  Drawing drawing;
  const double degrees = step_of(hottest, {100, 200, 500}, 5);
  for (int i = 0; i * degrees <= hottest; ++i) {
    const double t = i * degrees;
    const Point p = at(0, t);
    drawing.strokes.push_back({p, {right, p.y}, t == 0 ? 2.5 : 1.2, t == 0 ? Ink::black : Ink::light});
    drawing.words.push_back({{left - 10, p.y + 0.35 * letter}, fmt::format("{:.0f}", t), Align::right});
  }
  drawing.words.push_back({{left - 10, top - 24}, "\u00b0C", Align::right});
  const double every = step_of(hours, {0.5, 1, 2, 3, 6, 12, 24}, 9);
  for (int i = 0; i * every <= hours + 1e-9; ++i) {
    const double h = i * every;
    const Point p = at(h, 0);
    drawing.strokes.push_back({p, {p.x, p.y + 9}, 2.5});
    drawing.words.push_back(
        {{std::min(p.x, width - 9.0 * static_cast<double>(fmt::format("{:g}", h).size())), p.y + 40},
         fmt::format("{:g}{}", h, h == 0 ? " h" : ""),
         Align::centre});
  }

  std::vector<PlotStroke> curve;
  std::vector<Hold> holds;
  Celsius from = room_temperature;
  double hour = 0;
  const auto go_to = [&](double new_hour, Celsius to) {
    curve.push_back({at(hour, from.value()), at(new_hour, to.value()), 6});
    hour = new_hour;
    from = to;
  };
  for (std::size_t i = 0; i < schedule.size(); ++i) {
    const Segment& leg = schedule[i];
    go_to(hour + ramp_hours(leg, from), leg.to);
    if (leg.hold_min > 0) {
      const double until = hour + leg.hold_min / 60;
      holds.push_back(
          {at(hour, leg.to.value()), at(until, leg.to.value()), i, i > 0 && schedule[i - 1].to > leg.to});
      go_to(until, leg.to);
    }
  }

  Placer placer(curve);
  const Celsius hottest_leg = top_of(schedule);
  for (const Hold& hold : holds) {
    const Segment& leg = schedule[hold.leg];
    std::vector<Words> places = around(hold);
    if (leg.to == hottest_leg) {
      const double middle = (hold.begin.x + hold.end.x) / 2;
      for (Words& words : places)
        words.bold = true;
      places.insert(places.begin(), {{middle, hold.begin.y - 0.4 * letter}, "", Align::centre, true});
    }
    drawing.words.push_back(
        placer.place(fmt::format("{}\u00b0, {}", shown(leg.to), shown_minutes(leg.hold_min)), places));
  }
  // From the glass itself: each its own dash, for printers without grey.
  struct GlassPoint {
    const char* name;
    Celsius at;
    double dash, gap, off;
  };
  for (const GlassPoint& p : {GlassPoint{"softening", glass.softening, 26, 10, -9},
                              GlassPoint{"anneal", glass.annealing, 12, 8, -9},
                              GlassPoint{"strain", glass.strain, 4, 7, 0.95 * letter}}) {
    const Point a = at(0, p.at.value());
    drawing.strokes.push_back({a, {right, a.y}, 2.2, Ink::grey, p.dash, p.gap});
    std::vector<Words> places;
    for (const double share : {1.0, 0.85, 0.7, 0.55, 0.4, 0.25, 0.1, 0.0}) {
      const double x = left + 8 + share * (right - left - 8);
      const Align align = share > 0.5 ? Align::right : Align::left;
      places.push_back({{x, a.y + p.off}, "", align});
    }
    drawing.words.push_back(placer.place(fmt::format("{} {}\u00b0", p.name, shown(p.at)), places));
  }
  drawing.curve = std::move(curve);
  return drawing;
}

const char* name_of(Ink ink) {
  return ink == Ink::black ? "#000" : ink == Ink::grey ? "#444" : "#bbb";
}

Rgb8 colour_of(Ink ink) {
  return ink == Ink::black ? Rgb8{0, 0, 0} : ink == Ink::grey ? Rgb8{68, 68, 68} : Rgb8{187, 187, 187};
}

std::string svg_of(const PlotStroke& stroke) {
  const std::string dashes =
      stroke.dash > 0 ? fmt::format(" stroke-dasharray=\"{} {}\"", stroke.dash, stroke.gap) : "";
  return fmt::format(
      "<path d=\"M{:.1f} {:.1f}L{:.1f} {:.1f}\" stroke=\"{}\" stroke-width=\"{}\" "
      "stroke-linecap=\"{}\"{}/>\n",
      stroke.from.x, stroke.from.y, stroke.to.x, stroke.to.y, name_of(stroke.ink), stroke.thickness,
      stroke.dash > 0 ? "butt" : "round", dashes);
}

const char* anchor_of(Align align) {
  return align == Align::left ? "start" : align == Align::right ? "end" : "middle";
}

void draw(Canvas& canvas, const PlotStroke& stroke) {
  const double length = std::hypot(stroke.to.x - stroke.from.x, stroke.to.y - stroke.from.y);
  const double piece = stroke.dash > 0 ? stroke.dash : length, gap = stroke.dash > 0 ? stroke.gap : 1;
  const auto along = [&](double way) {
    const double share = length > 0 ? std::min(1.0, way / length) : 0;
    return Point{stroke.from.x + share * (stroke.to.x - stroke.from.x),
                 stroke.from.y + share * (stroke.to.y - stroke.from.y)};
  };
  const int pieces = static_cast<int>(std::ceil(length / (piece + gap)));
  for (int i = 0; i < pieces; ++i) {
    const double way = i * (piece + gap);
    const Point a = along(way), b = along(way + piece);
    canvas.line(a.x, a.y, b.x, b.y, stroke.thickness, colour_of(stroke.ink));
  }
}

// Broken between words, as wide as the drawing at the most.
std::vector<std::string> lines_of(const std::string& text) {
  const auto most = static_cast<std::size_t>((width - 40) / (0.57 * letter));
  std::vector<std::string> lines(1);
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    if (!lines.back().empty() && letters_of(lines.back()) + 1 + letters_of(word) > most)
      lines.emplace_back();
    lines.back() += (lines.back().empty() ? "" : " ") + word;
  }
  return lines;
}

// `attributes` of the root, with a blank before each; `below` the drawing, words in lines.
std::string svg_with(const std::string& attributes, const Schedule& schedule, const GlassConstants& glass,
                     const std::vector<std::string>& below) {
  constexpr double pitch = 1.3 * letter;
  const double whole =
      height + (below.empty() ? 0 : pitch * static_cast<double>(below.size()) + 0.5 * letter);
  const Drawing drawing = drawing_of(schedule, glass);
  std::string svg = fmt::format(
      "<svg{} viewBox=\"0 0 {} {}\" role=\"img\" "
      "aria-label=\"Temperature over {:.1f} hours, up to {} \u00b0C\" font-family=\"DejaVu Sans, Verdana, "
      "sans-serif\" font-size=\"{}\">\n<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>\n",
      attributes, width, whole, hours_of(schedule), shown(top_of(schedule)), letter, width, whole);
  for (const PlotStroke& stroke : drawing.strokes)
    svg += svg_of(stroke);
  for (const Words& words : drawing.words) {
    const Box room = room_of(words);
    if (words.cleared)
      svg +=
          fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"#fff\"/>\n",
                      room.left, room.top, room.right - room.left, room.bottom - room.top);
  }
  for (const PlotStroke& stroke : drawing.curve)
    svg += svg_of(stroke);
  for (const Words& words : drawing.words)
    svg += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\"{}>{}</text>\n", words.at.x,
                       words.at.y, anchor_of(words.align), words.bold ? " font-weight=\"bold\"" : "",
                       marked(words.text).text);
  for (std::size_t i = 0; i < below.size(); ++i)
    svg +=
        fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"start\" font-weight=\"bold\">{}</text>\n",
                    20.0, height + pitch * (static_cast<double>(i) + 0.9), marked(below[i]).text);
  return svg + "</svg>\n";
}

}  // namespace

std::string schedule_plot_svg(const Schedule& schedule, const GlassConstants& glass) {
  return svg_with(" xmlns=\"http://www.w3.org/2000/svg\"", schedule, glass, lines_of(kiln_reminder()));
}

std::string schedule_plot_element(const Schedule& schedule, const GlassConstants& glass) {
  return svg_with(" class=\"curve\"", schedule, glass, {});
}

std::vector<std::uint8_t> schedule_plot_png(const Schedule& schedule, const GlassConstants& glass) {
  const Drawing drawing = drawing_of(schedule, glass);
  Canvas canvas(static_cast<int>(width), static_cast<int>(height));
  for (const PlotStroke& stroke : drawing.strokes)
    draw(canvas, stroke);
  for (const Words& words : drawing.words) {
    const Box room = room_of(words);
    if (words.cleared)
      canvas.fill(room.left, room.top, room.right - room.left, room.bottom - room.top, {255, 255, 255});
  }
  for (const PlotStroke& stroke : drawing.curve)
    draw(canvas, stroke);
  for (const Words& words : drawing.words)
    canvas.text(words.at.x, words.at.y, words.text,
                {.size = letter, .weight = words.bold ? Weight::bold : Weight::normal, .align = words.align});
  return encode_png(canvas.image(), png_pitch);
}

void draw_schedule_plot(PdfDocument& pdf, PointMm top_left, double wide, const Schedule& schedule,
                        const GlassConstants& glass) {
  const Drawing drawing = drawing_of(schedule, glass);
  pdf.clip(top_left, wide / width, {0, 0, width, height});
  const auto draw_strokes = [&](const std::vector<PlotStroke>& strokes) {
    for (const PlotStroke& stroke : strokes)
      pdf.line({stroke.from.x, stroke.from.y}, {stroke.to.x, stroke.to.y},
               {.width = stroke.thickness,
                .grey = colour_of(stroke.ink).r / 255.0,
                .dash = stroke.dash,
                .gap = stroke.gap});
  };
  draw_strokes(drawing.strokes);
  for (const Words& words : drawing.words) {
    const Box room = room_of(words);
    if (words.cleared)
      pdf.fill({{room.left, room.top},
                {room.right, room.top},
                {room.right, room.bottom},
                {room.left, room.bottom}},
               1);
  }
  draw_strokes(drawing.curve);
  for (const Words& words : drawing.words)
    pdf.text({words.at.x, words.at.y}, words.text,
             {.size = letter, .weight = words.bold ? Weight::bold : Weight::normal, .align = words.align});
  pdf.unclip();
}

}  // namespace powderplan
