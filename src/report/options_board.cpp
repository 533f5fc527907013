#include "report/options_board.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "report/bench_numbers.h"
#include "report/canvas.h"
#include "report/preview.h"
#include "spoken.h"

namespace powderplan {
namespace {

constexpr Rgb8 grey{95, 95, 95}, bar_grey{120, 120, 120}, line_grey{205, 205, 205};

// Pixels of the board.
constexpr int board_width = 1800, margin = 60, gap = 44;
constexpr int head_height = 190, card_head = 62, row_height = 33, words_height = 30, card_foot = 46;
constexpr double letters = 21;

// A figure by which plans are compared: less is better.
struct Figure {
  std::string_view name;
  double (*value)(const PlanGlance& plan);
  std::string (*shown)(const PlanGlance& plan);
};

constexpr std::array<Figure, 6> figures{{
    {"off the picture", [](const PlanGlance& p) { return p.fidelity.mean_de00; },
     [](const PlanGlance& p) { return shown_difference(p.fidelity.mean_de00); }},
    {"from afar", [](const PlanGlance& p) { return p.fidelity.seen_mean_de00; },
     [](const PlanGlance& p) { return shown_difference(p.fidelity.seen_mean_de00); }},
    {"firings", [](const PlanGlance& p) { return static_cast<double>(p.firings); },
     [](const PlanGlance& p) { return std::to_string(p.firings); }},
    {"layers to lay", [](const PlanGlance& p) { return static_cast<double>(p.layers); },
     [](const PlanGlance& p) { return fmt::format("{} with {}", p.layers, counted(p.powders, "powder")); }},
    {"cutting by knife", [](const PlanGlance& p) { return p.effort.cut_minutes; },
     [](const PlanGlance& p) {
       return p.effort.stencils == 0 ? std::string("nothing")
                                     : shown_minutes(std::max(1.0, p.effort.cut_minutes));
     }},
    {"powder on the glass", [](const PlanGlance& p) { return p.lands.value(); },
     [](const PlanGlance& p) { return shown(p.lands); }},
}};

int columns_for(std::size_t cards) {
  if (cards <= 3)
    return static_cast<int>(cards);
  return cards == 4 ? 2 : cards <= 9 ? 3 : 4;
}

// Below its figures.
std::vector<std::string> words_of(const PlanGlance& plan) {
  std::vector<std::string> words{fmt::format("On {}, {:g} mm, {}", plan.base.name,
                                             plan.base.thickness.value(),
                                             plan.view == View::wall ? "on a wall" : "in a window")};
  std::string work = counted(plan.effort.stencils, "stencil");
  if (plan.effort.raised > 0)
    work += fmt::format(" ({} on spacers)", plan.effort.raised);
  if (plan.effort.fades > 0)
    work += fmt::format(", {}", counted(plan.effort.fades, "fade"));
  if (plan.effort.lines > 0)
    work += fmt::format(", {}", counted(plan.effort.lines, "line"));
  words.push_back(fmt::format("{}; {} finish", work, name_of(plan.finish)));
  return words;
}

std::string short_words(const PlanGlance& plan) {
  std::vector<std::string> list;
  for (const auto& [name, weight] : plan.short_of)
    list.push_back(fmt::format("{} of {}", shown(weight), name));
  return list.empty() ? std::string() : "The jar lacks " + spoken(list);
}

class Board {
 public:
  explicit Board(const std::vector<PlanOption>& options)
      : options_(options),
        columns_(columns_for(options.size() + 1)),
        card_width_((board_width - 2 * margin - (columns_ - 1) * gap) / columns_),
        picture_height_(tallest()),
        canvas_(board_width, head_height + rows() * card_height() + margin / 2) {}

  Image<Rgb8> draw() {
    head();
    target_card();
    for (std::size_t i = 0; i < options_.size(); ++i)
      option_card(i);
    return canvas_.image();
  }

 private:
  [[nodiscard]] int rows() const { return (static_cast<int>(options_.size()) + columns_) / columns_; }
  [[nodiscard]] int card_height() const {
    return card_head + picture_height_ + 16 + static_cast<int>(figures.size()) * row_height +
           3 * words_height + card_foot;
  }
  [[nodiscard]] const PlanGlance* first_plan() const {
    for (const PlanOption& option : options_)
      if (option.plan)
        return &*option.plan;
    return nullptr;
  }
  // Pixels of the board for a millimetre of the piece: the widest fills its card.
  [[nodiscard]] double scale() const {
    double widest = 0;
    for (const PlanOption& option : options_)
      if (option.plan)
        widest = std::max(widest, option.plan->width.value());
    return widest > 0 ? card_width_ / widest : 1;
  }
  [[nodiscard]] int tallest() const {
    double tallest = 0;
    for (const PlanOption& option : options_)
      if (option.plan)
        tallest = std::max(tallest, option.plan->height.value());
    return std::max(2 * words_height, static_cast<int>(std::ceil(tallest * scale())));
  }

  void head() {
    const PlanGlance* plan = first_plan();
    canvas_.text_within(margin, 84, board_width - 2 * margin, plan != nullptr ? plan->title : "No plan",
                        {.size = 44, .weight = Weight::bold});
    if (plan == nullptr)
      return;
    canvas_.text_within(
        margin, 124, board_width - 2 * margin,
        fmt::format("{:.0f} \u00d7 {:.0f} mm. Planned on a grid of {:g} mm to compare: the plan itself comes "
                    "out a little different.",
                    plan->width.value(), plan->height.value(), plan->pitch.value()),
        {.size = 23});
    canvas_.text_within(
        margin, 156, board_width - 2 * margin,
        fmt::format(
            "Off the picture: mean colour difference (CIEDE2000); 1 can just be told apart, 3 is hard to "
            "see within a picture, 10 is plainly another colour. From afar: from {:.2g} m.",
            plan->fidelity.seen_from_mm / 1000),
        {.size = 20, .colour = grey});
  }

  // Left and top edge of a card, pixels.
  [[nodiscard]] std::pair<int, int> place(std::size_t card) const {
    const int at = static_cast<int>(card);
    return {margin + (at % columns_) * (card_width_ + gap), head_height + (at / columns_) * card_height()};
  }
  void heading(int x, int y, const std::string& text) {
    canvas_.line(x, y + 4, x + card_width_, y + 4, 3, {0, 0, 0});
    canvas_.text_within(x, y + 44, card_width_, text, {.size = 27, .weight = Weight::bold});
  }
  void picture(int x, int y, const PlanGlance& plan, const Image<Rgb8>& points) {
    const int width = std::max(1, static_cast<int>(std::lround(plan.width.value() * scale())));
    const Image<Rgb8> drawn = at_width(points, width);
    canvas_.picture(x, y + card_head, drawn);
    canvas_.frame(x, y + card_head, drawn.width(), drawn.height(), 1, line_grey);
  }

  void target_card() {
    const auto [x, y] = place(0);
    heading(x, y, "The picture");
    const PlanGlance* plan = first_plan();
    if (plan == nullptr)
      return;
    picture(x, y, *plan, plan->target);
    canvas_.paragraph(x, y + card_head + picture_height_ + 16 + letters, card_width_, "What they all aim at.",
                      {.size = letters, .colour = grey});
  }

  void option_card(std::size_t i) {
    const PlanOption& option = options_[i];
    const auto [x, y] = place(i + 1);
    heading(x, y, fmt::format("{}   {}", i + 1, heading_of(option)));
    if (!option.plan) {
      canvas_.paragraph(x, y + card_head + letters, card_width_, "Cannot be made. " + option.refused,
                        {.size = letters});
      return;
    }
    picture(x, y, *option.plan, option.plan->finished);
    double at = y + card_head + picture_height_ + 16;
    for (const Figure& figure : figures) {
      row(x, at, figure, *option.plan);
      at += row_height;
    }
    for (const std::string& words : words_of(*option.plan)) {
      canvas_.text_within(x, at + letters, card_width_, words, {.size = 19, .colour = grey});
      at += words_height;
    }
    canvas_.text_within(x, at + letters, card_width_, short_words(*option.plan),
                        {.size = 19, .weight = Weight::bold});
  }

  void row(double x, double y, const Figure& figure, const PlanGlance& plan) {
    double most = 0, least = std::numeric_limits<double>::infinity();
    for (const PlanOption& option : options_) {
      if (!option.plan)
        continue;
      most = std::max(most, figure.value(*option.plan));
      least = std::min(least, figure.value(*option.plan));
    }
    const double value = figure.value(plan), name_width = 0.40 * card_width_, bar = 0.24 * card_width_;
    canvas_.text_within(x, y + letters, name_width - 8, std::string(figure.name), {.size = letters - 2});
    if (most > 0)
      canvas_.fill(std::round(x + name_width), std::round(y + 7), std::round(bar * value / most), 15,
                   bar_grey);
    const bool best = value <= least && least < most;
    canvas_.text_within(x + name_width + bar + 10, y + letters, card_width_ - name_width - bar - 10,
                        figure.shown(plan),
                        {.size = letters - 1, .weight = best ? Weight::bold : Weight::normal});
  }

  const std::vector<PlanOption>& options_;
  int columns_, card_width_, picture_height_;
  Canvas canvas_;
};

}  // namespace

std::string heading_of(const PlanOption& option) {
  std::vector<std::string> words;
  for (const SettingText& setting : option.changed) {
    const std::string name = setting.flag.substr(2);
    const bool counts = name == "layers" || name == "firings" || name == "powders";
    words.push_back(counts && setting.value == "1" ? "1 " + name.substr(0, name.size() - 1)
                    : counts                       ? setting.value + " " + name
                                                   : name + " " + setting.value);
  }
  return fmt::format("{}", fmt::join(words, ", "));
}

Image<Rgb8> options_board(const std::vector<PlanOption>& options) {
  return Board(options).draw();
}

}  // namespace powderplan
