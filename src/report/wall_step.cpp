#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "report/bench_numbers.h"
#include "report/cautions.h"
#include "report/fade_words.h"
#include "report/firing_line.h"
#include "report/panel_drawing.h"
#include "report/stage.h"
#include "report/wall_arrangement.h"

namespace powderplan {
namespace {

struct Weighed {
  Markup label;
  std::string grams;
  Markup note;
};

// All of a step's page at one size of letters.
class StepPage {
 public:
  StepPage(const WallPlan& plan, std::size_t layer, const PageData& step, double scale)
      : plan_(plan), pdf_(plan.pdf), layer_(layer), step_(step), size_(4.7 * plan.unit * scale) {
    std::vector<PageParagraph> how = part_paragraphs("step_how.html", step);
    // With which tool stands large over the page.
    if (!how.empty() && how.front().look == "tool") {
      tool_ = how.front().words;
      how.erase(how.begin());
    }
    parts_.first.heading("How", size_);
    parts_.first.add(how, size_);
    parts_.second.heading("Check before you go on", size_);
    for (const PageData& check : list_of(step, "checks"))
      parts_.second.add({.words = marked(text_of(check, "check")),
                         .style = {.size = size_},
                         .above = 0.45 * size_,
                         .to_tick = true});
    if (const PageData* fade = step.get("fade"))
      add_fade(*fade);
    parts_.second.add({.words = why(plan.record.paper.width.value() / 3),
                       .style = {.size = 0.86 * size_},
                       .above = 0.8 * size_});
    parts_.caption = part_words("step_caption.html", step);
    parts_.caption_size = 0.74 * size_;
    parts_.caption_has_key = true;
  }

  [[nodiscard]] std::optional<WordsPlaced> placed(const BoxMm& room) {
    const double width = room.right - room.left;
    const double above = who_height(width) + tool_height(width) + weights_height(width) + 5 * plan_.unit;
    return place_words(plan_, parts_, {room.left, room.top + above, room.right, room.bottom - real_height()});
  }

  void draw(const BoxMm& room, const WordsPlaced& placed) {
    const double width = room.right - room.left;
    double y = room.top;
    draw_who({room.left, y}, width);
    y += who_height(width);
    if (!tool_.text.empty())
      paragraph_below(pdf_, {room.left, y + 0.4 * size_}, width, tool_, tool_style());
    y += tool_height(width);
    draw_weights({room.left, y}, width);
    draw_piece(pdf_, plan_.record, plan_.drawn.steps[layer_], PictureCoding::photo, placed.picture);
    draw_panel_lines(pdf_, plan_.record, PanelNames::in_corners, 0.6 * size_, placed.picture);
    if (const std::optional<FadeBench> bench = bench_of_fade(plan_.record, layer_))
      draw_fade(pdf_, plan_.record, layer_, *bench, placed.picture);
    draw_words(plan_, parts_, placed);
    draw_real({room.left, room.bottom - real_height()}, width);
  }

 private:
  [[nodiscard]] Markup why(double width) const {
    constexpr std::size_t most_lines = 16;
    const std::string words =
        within_lines(pdf_, text_of(step_, "why"), width, {.size = 0.86 * size_}, most_lines);
    return {"<b>Why now.</b> " + marked(words).text};
  }

  void add_fade(const PageData& fade) {
    const std::vector<PageParagraph> on_paper = part_paragraphs("fade_try.html", fade);
    parts_.second.add(on_paper, size_);
    auto table = std::make_shared<PageTable>(
        std::vector<TableColumn>{
            {.heading = "Share", .share = 0}, {"area", true}, {"lands", true}, {"height", true}},
        0.86 * size_);
    for (const PageData& band : list_of(fade, "bands"))
      table->add({{.words = marked(text_of(band, "between")), .weight = Weight::bold},
                  {.words = marked(text_of(band, "area"))},
                  {.words = marked(text_of(band, "grams")), .weight = Weight::bold},
                  {.words = marked(text_of(band, "height"))}});
    table->measure(pdf_, std::max(62 * plan_.unit, 15.5 * size_));
    const double width = table->width();
    // Loose above, fired below it.
    const double each = width / static_cast<double>(list_of(fade, "swatches").size()), disc = 0.82 * each;
    const PageText share{.size = 1.05 * size_, .weight = Weight::bold, .align = Align::centre};
    const PageText grams{.size = 0.7 * size_, .align = Align::centre};
    const PageText under{.size = 0.7 * size_, .line_pitch = 1.22};
    const Markup words = part_words("fade_swatches.html", fade);
    const double row = share.size * 1.32 + 1.84 * disc + grams.size * 1.5;
    PanelDrawing panel;
    panel.width = width;
    panel.height = table->height(pdf_) + 0.6 * size_ + row + pdf_.paragraph_height(width, words, under);
    panel.draw = [this, &fade, table, width, each, disc, share, grams, under, words, row](PointMm top,
                                                                                          double) {
      double y = table->draw(pdf_, top) + 0.6 * size_, x = top.x + each / 2;
      for (const PageData& swatch : list_of(fade, "swatches")) {
        pdf_.text({x, y + first_baseline(share)}, text_of(swatch, "share"), share);
        draw_swatch({x, y + share.size * 1.32}, disc, chip_of(swatch));
        PageText fitted = grams;
        fitted.size = size_within(pdf_, text_of(swatch, "grams"), 0.96 * each, grams);
        pdf_.text({x, y + share.size * 1.32 + 1.84 * disc + first_baseline(grams)}, text_of(swatch, "grams"),
                  fitted);
        x += each;
      }
      paragraph_below(pdf_, {top.x, y + row}, width, words, under);
    };
    parts_.panel = std::move(panel);
  }

  // Two discs, the lower one over the upper one's edge; `top` is in the middle.
  void draw_swatch(PointMm top, double disc, const ChipColours& colours) {
    const PointMm loose{top.x, top.y + disc / 2}, fired{top.x, top.y + 1.25 * disc};
    pdf_.disc(loose, disc / 2, colours.loose);
    pdf_.circle(loose, disc / 2, {.width = 0.03 * disc, .dash = 0.05 * disc});
    pdf_.disc(fired, disc / 2, colours.fired);
    pdf_.circle(fired, disc / 2, {.width = 0.05 * disc});
  }

  // Number, powder, and its two colours.
  [[nodiscard]] double sign_side() const { return std::max(18 * plan_.unit, 5.7 * size_); }
  [[nodiscard]] double chip_height() const { return 3.2 * size_; }
  [[nodiscard]] double chip_room() const { return chip_height() * 46 / 28 + size_; }
  // Long names in smaller letters.
  [[nodiscard]] PageText name_style(double width) const {
    return in_lines(pdf_, text_of(step_, "name"), words_width(width),
                    {.size = 2.3 * size_, .weight = Weight::bold, .line_pitch = 1.12}, 2);
  }
  [[nodiscard]] PageText facts_style() const { return {.size = 0.86 * size_, .line_pitch = 1.25}; }
  [[nodiscard]] double words_width(double width) const { return width - sign_side() - size_ - chip_room(); }
  [[nodiscard]] Markup name() const { return marked(text_of(step_, "name")); }
  [[nodiscard]] Markup facts() const {
    return {marked(text_of(step_, "code")).text + " \u00b7 " + part_words("step_powder.html", step_).text};
  }
  [[nodiscard]] double name_height(double width) const {
    return pdf_.paragraph_height(words_width(width), name(), name_style(width));
  }
  [[nodiscard]] double who_height(double width) const {
    return std::max({sign_side(),
                     name_height(width) + pdf_.paragraph_height(words_width(width), facts(), facts_style()),
                     chip_height() + 1.2 * size_});
  }
  void draw_who(PointMm top, double width) {
    const double side = sign_side();
    draw_step_sign(pdf_, {top.x + side / 2, top.y + side / 2}, side, layer_ + 1, SignInk::full);
    const double x = top.x + side + size_;
    const double y = paragraph_below(pdf_, {x, top.y}, words_width(width), name(), name_style(width));
    paragraph_below(pdf_, {x, y}, words_width(width), facts(), facts_style());
    const double chip_x = top.x + width - chip_room() + size_;
    draw_chip(pdf_, {chip_x, top.y}, chip_height(), chip_of(part_of(step_, "jar")));
    pdf_.text({chip_x + chip_height() * 46 / 56, top.y + chip_height() + 0.95 * size_}, "loose \u00b7 fired",
              {.size = 0.74 * size_, .align = Align::centre});
  }

  [[nodiscard]] PageText tool_style() const { return {.size = 1.5 * size_, .line_pitch = 1.2}; }
  [[nodiscard]] double tool_height(double width) const {
    return tool_.text.empty() ? 0 : 0.4 * size_ + pdf_.paragraph_height(width, tool_, tool_style());
  }

  [[nodiscard]] std::vector<Weighed> weights() const {
    const bool all_lands = text_of(step_, "overspill") == shown(Grams(0));
    return {{part_words("step_load.html", step_), text_of(step_, "sift"), {}},
            {marked("stays on the glass"), text_of(step_, "lands"), {}},
            {marked("left over"), text_of(step_, "overspill"),
             all_lands ? Markup{} : part_words("step_comes_back.html", step_)},
            {part_words("step_coat.html", step_), text_of(step_, "height"), marked(text_of(step_, "load"))}};
  }
  [[nodiscard]] PageText label_style(bool main) const {
    return {.size = (main ? 0.95 : 0.8) * size_, .line_pitch = 1.2};
  }
  [[nodiscard]] PageText grams_style(bool main) const {
    return {.size = (main ? 4.3 : 2.1) * size_, .weight = Weight::bold, .line_pitch = 1.1};
  }
  [[nodiscard]] PageText note_style() const { return {.size = 0.72 * size_, .line_pitch = 1.2}; }
  [[nodiscard]] double column_width(double width, std::size_t i) const {
    constexpr double shares[] = {0.4, 0.2, 0.22, 0.18};
    return (width - 3 * size_) * shares[i];
  }
  [[nodiscard]] double weights_height(double width) const {
    double height = 0;
    const std::vector<Weighed> all = weights();
    for (std::size_t i = 0; i < all.size(); ++i) {
      const PageText grams = grams_style(i == 0);
      height = std::max(height,
                        pdf_.paragraph_height(column_width(width, i), all[i].label, label_style(i == 0)) +
                            grams.size * grams.line_pitch +
                            (all[i].note.text.empty()
                                 ? 0
                                 : pdf_.paragraph_height(column_width(width, i), all[i].note, note_style())));
    }
    return height + 1.2 * size_;
  }
  void draw_weights(PointMm top, double width) {
    const std::vector<Weighed> all = weights();
    double x = top.x;
    for (std::size_t i = 0; i < all.size(); ++i) {
      const double wide = column_width(width, i);
      double y = top.y + 0.6 * size_;
      const double rule = (i == 0 ? 0.34 : 0.14) * size_;
      pdf_.fill({{x, y}, {x + wide, y}, {x + wide, y + rule}, {x, y + rule}}, 0);
      y += 0.5 * size_;
      y = paragraph_below(pdf_, {x, y}, wide, all[i].label, label_style(i == 0));
      PageText grams = grams_style(i == 0);
      const double pitch = grams.size * grams.line_pitch, baseline = first_baseline(grams);
      grams.size = size_within(pdf_, all[i].grams, wide, grams);
      pdf_.text({x, y + baseline}, all[i].grams, grams);
      y += pitch;
      if (!all[i].note.text.empty())
        paragraph_below(pdf_, {x, y}, wide, all[i].note, note_style());
      x += wide + size_;
    }
  }

  // A line to write on.
  [[nodiscard]] double real_height() const { return 11 * plan_.unit; }
  void draw_real(PointMm top, double width) {
    draw_blanks(pdf_, {top.x, top.y + 0.75 * real_height()}, width, 3.5 * plan_.unit,
                {"Real grams: loaded", "left over", "on the glass", "date"});
  }

  const WallPlan& plan_;
  PdfDocument& pdf_;
  std::size_t layer_;
  const PageData& step_;
  double size_;
  Markup tool_;
  PictureWithWords parts_;
};

}  // namespace

void add_step(std::vector<WallPage>& pages, const WallPlan& plan, std::size_t firing, std::size_t layer,
              const PageData& step) {
  WallPage page;
  page.bookmark = fmt::format("Step {}: {}", layer + 1, text_of(step, "name"));
  page.where = fmt::format("step {} of {}, firing {}", layer + 1, plan.record.layers.size(), firing + 1);
  page.step = layer;
  page.cautions = {dust_reminder()};
  const BoxMm room = room_of(plan, page.cautions);
  page.draw = largest_type<StepPage>(
      page.bookmark, [&](double scale) { return std::make_shared<StepPage>(plan, layer, step, scale); },
      [&](const WordsPlaced& placed, double scale) {
        return large_enough(plan, placed.picture, wanted_diagonal(scale));
      },
      room);
  pages.push_back(std::move(page));
}

}  // namespace powderplan
