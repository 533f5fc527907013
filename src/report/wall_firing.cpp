#include <fmt/format.h>

#include <algorithm>

#include "report/cautions.h"
#include "report/firing_line.h"
#include "report/schedule_plot.h"
#include "report/wall_arrangement.h"

namespace powderplan {
namespace {

// All of a firing's page at one size of letters.
class FiringPage {
 public:
  FiringPage(const WallPlan& plan, std::size_t firing, const PageData& data, double scale)
      : plan_(plan),
        pdf_(plan.pdf),
        firing_(firing),
        data_(data),
        scale_(scale),
        size_(4.5 * plan.unit * scale),
        legs_({{.heading = "leg", .share = 0},
               {"\u00b0C per hour", true},
               {"to \u00b0C", true},
               {"hold", true},
               {"\u00b0F per hour", true},
               {"to \u00b0F", true}},
              size_) {
    for (const PageData& leg : list_of(data, "legs")) {
      const auto cell = [&](const char* key, Weight weight, double larger) {
        return TableCell{.words = marked(text_of(leg, key)), .weight = weight, .larger = larger};
      };
      legs_.add({{.words = marked(text_of(leg, "number") + " " + text_of(leg, "way"))},
                 cell("rate", Weight::normal, 1.35),
                 cell("to", Weight::bold, 1.5),
                 cell("hold", Weight::bold, 1.35),
                 cell("rate_f", Weight::normal, 0.9),
                 cell("to_f", Weight::normal, 0.9)});
    }
    if (holds(data, "any_why")) {
      constexpr std::size_t most_lines = 10;
      const double width = plan.record.paper.width.value() * 0.85;
      why_ = {"<b>Why this firing.</b> " +
              marked(within_lines(pdf_, text_of(data, "why"), width, why_style(), most_lines)).text};
    }
    parts_.first.heading("Before you close the kiln", size_);
    parts_.first.add(part_paragraphs("kiln_before.html", data), size_);
    parts_.second.heading("Afterwards", size_);
    parts_.second.add(part_paragraphs("kiln_after.html", data), size_);
    parts_.caption = part_words("kiln_caption.html", data);
    parts_.caption_size = 0.74 * size_;
  }

  [[nodiscard]] std::optional<WordsPlaced> placed(const BoxMm& room) {
    const double width = room.right - room.left;
    legs_.measure(pdf_, width);
    if (!legs_.has_room())
      return std::nullopt;
    BoxMm rest = room;
    rest.top += who_height(width) + why_height(width) + plot_height(width) + legs_.height(pdf_) + 2.2 * size_;
    rest.bottom -= real_height();
    return place_words(plan_, parts_, rest);
  }

  void draw(const BoxMm& room, const WordsPlaced& placed) {
    const double width = room.right - room.left;
    double y = room.top;
    draw_who({room.left, y}, width);
    y += who_height(width);
    if (!why_.text.empty())
      paragraph_below(pdf_, {room.left, y}, width, why_, why_style());
    y += why_height(width) + 0.6 * size_;
    const Schedule& schedule = plan_.record.firing_plan.firings[firing_].segments;
    if (!schedule.empty()) {
      const double wide = plot_height(width) / plot_height_of_width;
      draw_schedule_plot(pdf_, {room.left + (width - wide) / 2, y}, wide, schedule,
                         plan_.record.palette.glass);
    }
    y += plot_height(width) + 0.4 * size_;
    legs_.draw(pdf_, {room.left, y});
    draw_piece(pdf_, plan_.record, plan_.drawn.fired[firing_].in(plan_.record.view), PictureCoding::photo,
               placed.picture);
    draw_words(plan_, parts_, placed);
    draw_blanks(pdf_, {room.left, room.bottom - 0.25 * real_height()}, width, 3.9 * plan_.unit,
                {"Real firing: hottest", "held", "date"});
  }

 private:
  [[nodiscard]] double sign_side() const { return std::max(18 * plan_.unit, 5.2 * size_); }
  [[nodiscard]] PageText title_style() const {
    return {.size = 2.3 * size_, .weight = Weight::bold, .line_pitch = 1.15};
  }
  [[nodiscard]] PageText facts_style() const { return {.size = 1.1 * size_, .line_pitch = 1.25}; }
  [[nodiscard]] Markup facts() const { return part_words("kiln_facts.html", data_); }
  [[nodiscard]] double words_left() const { return sign_side() + size_; }
  [[nodiscard]] double who_height(double width) const {
    return std::max(sign_side(), title_style().size * title_style().line_pitch +
                                     pdf_.paragraph_height(width - words_left(), facts(), facts_style())) +
           0.7 * size_;
  }
  void draw_who(PointMm top, double width) {
    const double side = sign_side(), x = top.x + words_left();
    draw_firing_sign(pdf_, {top.x + side / 2, top.y + side / 2}, side, firing_ + 1, SignInk::full);
    PageText title = title_style();
    const std::string words = fmt::format("Firing {}: {}", firing_ + 1, text_of(data_, "finish"));
    title.size = size_within(pdf_, words, width - words_left(), title);
    pdf_.text({x, top.y + first_baseline(title_style())}, words, title);
    paragraph_below(pdf_, {x, top.y + title_style().size * title_style().line_pitch}, width - words_left(),
                    facts(), facts_style());
  }

  [[nodiscard]] PageText why_style() const { return {.size = 0.86 * size_}; }
  [[nodiscard]] double why_height(double width) const {
    return why_.text.empty() ? 0 : pdf_.paragraph_height(width, why_, why_style());
  }
  [[nodiscard]] double plot_height(double width) const {
    if (plan_.record.firing_plan.firings[firing_].segments.empty())
      return 0;
    return std::min(width * plot_height_of_width, std::max(0.72, scale_) * 62 * plan_.unit);
  }
  [[nodiscard]] double real_height() const { return 11 * plan_.unit; }

  const WallPlan& plan_;
  PdfDocument& pdf_;
  std::size_t firing_;
  const PageData& data_;
  double scale_, size_;
  Markup why_;
  PageTable legs_;
  PictureWithWords parts_;
};

}  // namespace

void add_firing(std::vector<WallPage>& pages, const WallPlan& plan, std::size_t firing,
                const PageData& data) {
  WallPage page;
  page.bookmark = fmt::format("Firing {}: {}", firing + 1, text_of(data, "finish"));
  page.where = fmt::format("firing {} of {}", firing + 1, plan.record.firing_plan.firings.size());
  page.firing = firing;
  page.cautions = {kiln_reminder()};
  page.draw = largest_type<FiringPage>(
      page.bookmark, [&](double scale) { return std::make_shared<FiringPage>(plan, firing, data, scale); },
      [&](const WordsPlaced& placed, double) { return large_enough(plan, placed.picture, least_diagonal); },
      room_of(plan, page.cautions));
  pages.push_back(std::move(page));
}

}  // namespace powderplan
