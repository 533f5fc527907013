#include <fmt/format.h>

#include <algorithm>

#include "report/cautions.h"
#include "report/firing_line.h"
#include "report/panel_drawing.h"
#include "report/wall_arrangement.h"
#include "report/wall_flow.h"

namespace powderplan {
namespace {

PageTable totals_table(const PageData& data, double size) {
  PageTable table({{.share = 0},
                   {"Powder"},
                   {"on the glass", true},
                   {"through the sifter", true},
                   {"used up", true},
                   {"in the jar", true},
                   {"jar check", true}},
                  size);
  for (const PageData& row : list_of(data, "totals")) {
    const auto cell = [&](const char* key, Weight weight = Weight::normal) {
      return TableCell{.words = marked(text_of(row, key)), .weight = weight};
    };
    table.add({{.chip = chip_of(part_of(row, "jar"))},
               {.words = {"<b>" + marked(text_of(row, "name")).text + "</b> <small>" +
                          marked(text_of(row, "code")).text + "</small>"}},
               cell("lands"),
               cell("sift", Weight::bold),
               cell("used"),
               cell("stock"),
               cell("verdict", holds(row, "is_short") ? Weight::bold : Weight::normal)});
  }
  return table;
}

class OpeningPage {
 public:
  OpeningPage(const WallPlan& plan, double scale, bool with_totals)
      : plan_(plan),
        pdf_(plan.pdf),
        size_(4.4 * plan.unit * scale),
        totals_(totals_table(plan.data, 0.95 * size_)),
        with_totals_(with_totals && totals_.rows() > 0),
        stops_(firing_line(plan.record)),
        facts_(part_words("cover_facts.html", plan.data)),
        alarm_(part_words("cover_alarm.html", plan.data)),
        caption_(part_words("cover_caption.html", plan.data)),
        totals_words_(part_words("cover_under.html", plan.data)) {}

  [[nodiscard]] std::optional<PicturePlaced> placed(const BoxMm& room) {
    const double width = room.right - room.left;
    totals_.measure(pdf_, width);
    if (with_totals_ && !totals_.has_room())
      return std::nullopt;
    return place_picture(plan_, {room.left, room.top + above(width), room.right, room.bottom - below(width)});
  }

  void draw(const BoxMm& room, const PicturePlaced& placed) {
    const double width = room.right - room.left;
    PointMm at{room.left, room.top};
    at.y = paragraph_below(pdf_, at, width, marked("Worksheet for glass powder"), {.size = 0.9 * size_});
    at.y = paragraph_below(pdf_, at, width, title(), title_style(width)) + 0.2 * size_;
    at.y = paragraph_below(pdf_, at, width, facts_, facts_style());
    if (holds(plan_.data, "any_short"))
      draw_alarm({at.x, at.y + 0.5 * size_}, width);
    draw_piece(pdf_, plan_.record, plan_.drawn.final, PictureCoding::photo, placed.picture);
    draw_panel_lines(pdf_, plan_.record, PanelNames::with_sizes, size_, placed.picture);
    at.y = bottom_of(placed.picture) + 0.3 * size_;
    at.y = paragraph_below(pdf_, at, width, caption_, under_style());
    // What is left over stands over the tables.
    at.y = room.bottom - below(width) + caption_height();
    if (with_totals_) {
      at.y = totals_.draw(pdf_, {at.x, at.y + 0.5 * size_}) + 0.25 * size_;
      at.y = paragraph_below(pdf_, at, width, totals_words_, under_style());
    }
    if (!stops_.empty()) {
      draw_firing_line(pdf_, stops_, {at.x, at.y + line_gap()}, width, line_size());
      at.y += line_gap() + firing_line_height(stops_, width, line_size());
      paragraph_below(pdf_, {at.x, at.y + 0.2 * size_}, width, line_words(), under_style());
    }
  }

 private:
  // Long titles in smaller letters.
  [[nodiscard]] PageText title_style(double width) const {
    return in_lines(pdf_, text_of(plan_.data, "title"), width,
                    {.size = 2.7 * size_, .weight = Weight::bold, .line_pitch = 1.12}, 2);
  }
  [[nodiscard]] Markup title() const { return marked(text_of(plan_.data, "title")); }
  [[nodiscard]] PageText facts_style() const { return {.size = size_, .line_pitch = 1.3}; }
  [[nodiscard]] PageText under_style() const { return {.size = 0.72 * size_, .line_pitch = 1.24}; }
  [[nodiscard]] double caption_height() const { return under_style().size * 1.24 + 0.3 * size_; }
  [[nodiscard]] double line_size() const { return 0.82 * size_; }
  [[nodiscard]] double line_gap() const { return 0.7 * size_; }
  [[nodiscard]] Markup line_words() const {
    std::string words =
        "Squares are steps, discs are firings. Days at the earliest: what goes into the kiln in the evening "
        "is "
        "cold when its hours are over.";
    if (holds(plan_.data, "in_panels"))
      words += " They are those of one panel.";
    return marked(words);
  }

  [[nodiscard]] double alarm_height(double width) const {
    return pdf_.paragraph_height(width - 2 * size_, alarm_, alarm_style()) + 0.7 * size_;
  }
  [[nodiscard]] PageText alarm_style() const {
    return {.size = size_, .weight = Weight::bold, .line_pitch = 1.25};
  }
  void draw_alarm(PointMm top, double width) {
    const double bottom = top.y + alarm_height(width);
    pdf_.shape({top, {top.x + width, top.y}, {top.x + width, bottom}, {top.x, bottom}},
               {.width = 0.16 * size_});
    paragraph_below(pdf_, {top.x + size_, top.y + 0.35 * size_}, width - 2 * size_, alarm_, alarm_style());
  }

  [[nodiscard]] double above(double width) const {
    return 0.9 * size_ * 1.32 + pdf_.paragraph_height(width, title(), title_style(width)) + 0.2 * size_ +
           pdf_.paragraph_height(width, facts_, facts_style()) +
           (holds(plan_.data, "any_short") ? 0.5 * size_ + alarm_height(width) : 0) + 0.4 * size_;
  }
  [[nodiscard]] double below(double width) const {
    double height = caption_height();
    if (with_totals_)
      height +=
          0.75 * size_ + totals_.height(pdf_) + pdf_.paragraph_height(width, totals_words_, under_style());
    if (!stops_.empty())
      height += line_gap() + firing_line_height(stops_, width, line_size()) + 0.2 * size_ +
                pdf_.paragraph_height(width, line_words(), under_style());
    return height;
  }

  const WallPlan& plan_;
  PdfDocument& pdf_;
  double size_;
  PageTable totals_;
  bool with_totals_;
  std::vector<FiringStop> stops_;
  Markup facts_, alarm_, caption_, totals_words_;
};

void add_totals(std::vector<WallPage>& pages, const WallPlan& plan) {
  WallPage page;
  page.bookmark = page.where = "Powders";
  page.cautions = {dust_reminder()};
  add_flow(pages, plan, page, 0.8, [&](WallFlow& into, double scale) {
    auto table = std::make_shared<PageTable>(totals_table(plan.data, 4.2 * plan.unit * scale));
    table->measure(plan.pdf, into.width());
    into.heading(marked("Powders"), 7 * plan.unit * scale);
    into.table(table);
    PageColumn words;
    words.add({.words = part_words("cover_under.html", plan.data),
               .style = {.size = 3.4 * plan.unit * scale},
               .above = 2});
    into.column(words);
    return table->has_room();
  });
}

}  // namespace

void add_opening(std::vector<WallPage>& pages, const WallPlan& plan) {
  WallPage page;
  page.bookmark = "The piece";
  page.where = fmt::format("powderplan {}", plan.record.program_version);
  page.cautions = {dust_reminder(), kiln_reminder()};
  if (holds(plan.data, "any_stencils"))
    page.cautions.push_back(cut_reminder());
  if (holds(plan.data, "in_panels"))
    page.cautions.push_back(glass_cut_reminder());
  const BoxMm room = room_of(plan, page.cautions);
  // With smaller letters than this the table of powders has pages of its own.
  constexpr double least_with_totals = 0.62;
  bool with_totals = true;
  const auto enough = [&](const PicturePlaced& placed, double) {
    return large_enough(plan, placed.picture, least_diagonal);
  };
  for (const double scale : type_scales()) {
    if (scale < least_with_totals) {
      with_totals = false;
      break;
    }
    const auto placed = OpeningPage(plan, scale, true).placed(room);
    if (placed && enough(*placed, scale))
      break;
  }
  page.draw = largest_type<OpeningPage>(
      page.bookmark, [&](double scale) { return std::make_shared<OpeningPage>(plan, scale, with_totals); },
      enough, room);
  pages.push_back(std::move(page));
  if (!with_totals)
    add_totals(pages, plan);
}

void add_before(std::vector<WallPage>& pages, const WallPlan& plan) {
  WallPage page;
  page.bookmark = page.where = "Before the first day";
  page.cautions = {dust_reminder(), kiln_reminder()};
  constexpr std::size_t most_lines = 20;  // of a note
  add_flow(pages, plan, page, 0.74, [&](WallFlow& into, double scale) {
    const double size = 4.4 * plan.unit * scale;
    const auto add = [&](const Markup& words, bool bullet) {
      PageColumn column;
      column.add({.words = words, .style = {.size = size}, .above = 0.45 * size, .bullet = bullet});
      into.column(column);
    };
    into.heading(marked("Before the first day"), 1.7 * size);
    for (const PageData& caution : list_of(plan.data, "cautions"))
      add({"<b>" + marked(text_of(caution, "heading")).text + ".</b> " +
           marked(text_of(caution, "words")).text},
          true);
    into.heading(marked("Get ready"), 1.25 * size);
    PageColumn ready;
    ready.add(part_paragraphs("get_ready.html", plan.data), size);
    into.column(ready);
    into.heading(marked("How close it will come"), 1.25 * size);
    for (const PageData& line : list_of(plan.data, "accuracy"))
      add(marked(text_of(line, "line")), false);
    if (holds(plan.data, "any_notes")) {
      into.heading(marked("Good to know about this plan"), 1.25 * size);
      for (const PageData& note : list_of(plan.data, "notes"))
        add(marked(within_lines(plan.pdf, text_of(note, "note"), into.width() - 2 * size, {.size = size},
                                most_lines)),
            true);
    }
    return true;
  });
}

}  // namespace powderplan
