#include "report/wall_pages.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "problem.h"
#include "report/firing_line.h"
#include "report/stage.h"
#include "report/step_picture.h"

namespace powderplan {
namespace {

constexpr double margin = 12, top_margin = 9, bottom_margin = 9;
constexpr double head_height = 16.5, foot_gap = 3;

double foot_size(const WallPlan& plan) {
  return 4.1 * plan.unit;
}

double number_width(const WallPlan& plan) {
  return 22 * plan.unit;
}

PageText caution_style(const WallPlan& plan) {
  return {.size = foot_size(plan), .weight = Weight::bold, .line_pitch = 1.22};
}

double foot_height(const WallPlan& plan, const std::vector<std::string>& cautions) {
  const double width = plan.record.paper.width.value() - 2 * margin - number_width(plan);
  double height = 0;
  for (const std::string& caution : cautions)
    height += plan.pdf.paragraph_height(width, caution, caution_style(plan));
  return std::max(height, foot_size(plan) * 1.3) + foot_gap;
}

// All steps in squares and firings in discs, in the order of the bench.
void draw_band(const WallPlan& plan, const WallPage& page, PointMm at, double width) {
  const PlanRecord& record = plan.record;
  std::size_t count = 0;
  for (const Firing& firing : record.firing_plan.firings)
    count += firing.layers.size() + 1;
  const double pitch =
      std::min(9.0 * plan.unit, width / static_cast<double>(std::max<std::size_t>(1, count)));
  const double side = 0.82 * pitch;
  double x = at.x + side / 2;
  bool past = page.step || page.firing;
  const auto ink = [&](bool here, bool lies) {
    past = past && !here;
    return here ? SignInk::full : past || lies ? SignInk::pale : SignInk::open;
  };
  for (std::size_t k = 0; k < record.firing_plan.firings.size(); ++k) {
    const bool done = k < record.firings_done;
    for (const std::size_t layer : record.firing_plan.firings[k].layers) {
      draw_step_sign(plan.pdf, {x, at.y + side / 2}, side, layer + 1, ink(page.step == layer, done));
      x += pitch;
    }
    draw_firing_sign(plan.pdf, {x, at.y + side / 2}, side, k + 1, ink(page.firing == k, done));
    x += pitch;
  }
}

}  // namespace

BoxMm room_of(const WallPlan& plan, const std::vector<std::string>& cautions) {
  const Paper& paper = plan.record.paper;
  return {margin, top_margin + head_height * plan.unit, paper.width.value() - margin,
          paper.height.value() - bottom_margin - foot_height(plan, cautions)};
}

void draw_page(const WallPlan& plan, const WallPage& page, std::size_t number, std::size_t count) {
  PdfDocument& pdf = plan.pdf;
  const Paper& paper = plan.record.paper;
  const double left = margin, right = paper.width.value() - margin, unit = plan.unit;
  pdf.page(paper.width, paper.height);
  if (!page.bookmark.empty())
    pdf.bookmark(page.bookmark);
  const double baseline = top_margin + 4 * unit;
  const PageText where{.size = 4.1 * unit, .weight = Weight::bold, .align = Align::right};
  pdf.text({right, baseline}, page.where, where);
  pdf.text_within({left, baseline}, right - left - pdf.text_width(page.where, where) - 6, plan.record.title,
                  {.size = 3.5 * unit});
  draw_band(plan, page, {left, top_margin + 5.8 * unit}, right - left);

  const double bottom = paper.height.value() - bottom_margin;
  double y = bottom - foot_height(plan, page.cautions);
  pdf.line({left, y + foot_gap / 2}, {right, y + foot_gap / 2}, {.width = 0.5 * unit});
  y += foot_gap;
  pdf.text({right, bottom - 0.7 * unit}, fmt::format("{} / {}", number, count),
           {.size = 4.4 * unit, .weight = Weight::bold, .align = Align::right});
  for (const std::string& caution : page.cautions)
    y = paragraph_below(pdf, {left, y}, right - left - number_width(plan), marked(caution),
                        caution_style(plan));
  page.draw(room_of(plan, page.cautions));
}

const PageData& part_of(const PageData& data, const char* key) {
  const PageData* part = data.get(key);
  if (part == nullptr)
    throw Problem(ProblemKind::other, "worksheet.pdf", fmt::format("nothing is known of \"{}\"", key),
                  "build powderplan anew");
  return *part;
}

std::string text_of(const PageData& data, const char* key) {
  return part_of(data, key).string_value();
}

bool holds(const PageData& data, const char* key) {
  const PageData* part = data.get(key);
  return part != nullptr && !part->is_false() && !part->is_empty_list();
}

const std::vector<PageData>& list_of(const PageData& data, const char* key) {
  return part_of(data, key).list_value();
}

ChipColours chip_of(const PageData& data) {
  ChipColours chip{};
  if (!parse_hex(text_of(data, "loose"), chip.loose) || !parse_hex(text_of(data, "fired"), chip.fired))
    throw Problem(ProblemKind::other, "worksheet.pdf", "a powder has no colours", "build powderplan anew");
  return chip;
}

std::vector<PageParagraph> part_paragraphs(std::string_view name, PageData data) {
  data.set("fade_how", partial("fade_how.html"));
  data.set("lines_by_hand", partial("lines.html"));
  data.set("scratch_by_hand", partial("scratch.html"));
  return paragraphs_of(rendered(name, data), name);
}

std::vector<double> type_scales() {
  constexpr double smallest = 0.28, step = 0.95;
  std::vector<double> scales;
  for (double scale = 1; scale > smallest; scale *= step)
    scales.push_back(scale);
  return scales;
}

double size_within(PdfDocument& pdf, const std::string& text, double width, const PageText& style) {
  const double wide = pdf.text_width(text, style);
  return wide <= width ? style.size : style.size * width / wide;
}

void draw_blanks(PdfDocument& pdf, PointMm at, double width, double size,
                 const std::vector<std::string>& labels) {
  double words = 0;
  for (const std::string& label : labels)
    words += pdf.text_width(label, {.size = size}) + 1.5 * size;
  const double blank = (width - words) / static_cast<double>(labels.size());
  for (const std::string& label : labels) {
    pdf.text(at, label, {.size = size});
    at.x += pdf.text_width(label, {.size = size}) + 0.6 * size;
    pdf.line({at.x, at.y + 0.15 * size}, {at.x + blank, at.y + 0.15 * size}, {.width = 0.3});
    at.x += blank + 0.9 * size;
  }
}

bool large_enough(const WallPlan& plan, const PiecePlace& place, double scale) {
  const BoxMm& box = place.picture;
  const double diagonal = std::hypot(box.right - box.left, box.bottom - box.top);
  const double wanted = scale > 0.88 ? 120 : scale > 0.72 ? 105 : 70;
  // A small piece need not be enlarged further for the sake of this.
  return place.zoom >= most_enlarged || diagonal >= wanted * plan.unit;
}

namespace {

constexpr double gap = 6;  // between picture, panel and words

double key_width(double size) {
  return 1.9 * size;
}

PageText caption_style(const PictureWithWords& parts) {
  return {.size = parts.caption_size, .line_pitch = 1.25};
}

double caption_height(const WallPlan& plan, const PictureWithWords& parts, double width) {
  return 0.5 * parts.caption_size +
         plan.pdf.paragraph_height(width - (parts.caption_has_key ? key_width(parts.caption_size) : 0),
                                   parts.caption, caption_style(parts));
}

class Arranger {
 public:
  Arranger(const WallPlan& plan, const PictureWithWords& parts, const BoxMm& room)
      : plan_(plan),
        parts_(parts),
        room_(room),
        width_(room.right - room.left),
        height_(room.bottom - room.top) {}

  std::optional<WordsPlaced> best() {
    for (const double share : {0.5, 0.58, 0.42})
      words_below(share);
    for (const double share : {0.66, 0.6, 0.54, 0.48, 0.42})
      words_beside(share);
    return best_;
  }

 private:
  // Picture over the whole width, or beside its panel; below them the words, side by side.
  void words_below(double share) {
    const double apart = gap * plan_.unit;
    const double first = (width_ - apart) * share, second = width_ - apart - first;
    const double words =
        std::max(parts_.first.height(plan_.pdf, first), parts_.second.height(plan_.pdf, second));
    const double rest = height_ - words - apart / 2;
    const double panel = parts_.panel ? parts_.panel->width + apart : 0;
    const double caption = caption_height(plan_, parts_, width_ - panel);
    if (parts_.panel && parts_.panel->height > rest)
      return;
    WordsPlaced placed;
    placed.picture =
        piece_place(plan_.record, {room_.left, room_.top, room_.right - panel, room_.top + rest - caption});
    placed.caption_width = width_ - panel;
    placed.caption = {room_.left, bottom_of(placed.picture)};
    placed.panel_width = parts_.panel ? parts_.panel->width : 0;
    placed.panel = {room_.right - placed.panel_width, room_.top};
    // The words follow the picture; what is left over stays free at the foot.
    const double above =
        std::max(placed.caption.y + caption, room_.top + (parts_.panel ? parts_.panel->height : 0)) +
        apart / 2;
    placed.first = {room_.left, above};
    placed.second = {room_.left + first + apart, above};
    placed.first_width = first;
    placed.second_width = second;
    take(placed);
  }

  // Picture at the left, its panel below it; the words at the right, one below the other.
  void words_beside(double share) {
    const double apart = gap * plan_.unit;
    const double left = (width_ - apart) * share, right = width_ - apart - left;
    const double first = parts_.first.height(plan_.pdf, right),
                 second = parts_.second.height(plan_.pdf, right);
    const double caption = caption_height(plan_, parts_, left);
    const double panel = parts_.panel ? parts_.panel->height + apart / 2 : 0;
    if (first + apart / 2 + second > height_ || (parts_.panel && parts_.panel->width > left))
      return;
    WordsPlaced placed;
    placed.picture =
        piece_place(plan_.record, {room_.left, room_.top, room_.left + left, room_.bottom - caption - panel});
    placed.caption = {room_.left, bottom_of(placed.picture)};
    placed.caption_width = left;
    placed.panel = {room_.left, placed.caption.y + caption + apart / 2};
    placed.panel_width = left;
    placed.first = {room_.left + left + apart, room_.top};
    placed.second = {placed.first.x, room_.top + first + apart / 2};
    placed.first_width = placed.second_width = right;
    take(placed);
  }

  void take(const WordsPlaced& placed) {
    if (placed.picture.zoom > 0 && (!best_ || placed.picture.zoom > best_->picture.zoom))
      best_ = placed;
  }

  const WallPlan& plan_;
  const PictureWithWords& parts_;
  BoxMm room_;
  double width_, height_;
  std::optional<WordsPlaced> best_;
};

}  // namespace

std::optional<WordsPlaced> place_words(const WallPlan& plan, const PictureWithWords& parts,
                                       const BoxMm& room) {
  return Arranger(plan, parts, room).best();
}

void draw_words(const WallPlan& plan, const PictureWithWords& parts, const WordsPlaced& placed) {
  const double size = parts.caption_size, key = parts.caption_has_key ? key_width(size) : 0;
  const double x = placed.caption.x, y = placed.caption.y + 0.5 * size;
  if (parts.caption_has_key) {
    const PolygonMm box{{x, y + 0.15 * size},
                        {x + 1.45 * size, y + 0.15 * size},
                        {x + 1.45 * size, y + 1.1 * size},
                        {x, y + 1.1 * size}};
    plan.pdf.fill(box, mark_colour);
    plan.pdf.shape(box, {.width = 0.12 * size});
  }
  paragraph_below(plan.pdf, {x + key, y}, placed.caption_width - key, parts.caption, caption_style(parts));
  parts.first.draw(plan.pdf, placed.first, placed.first_width);
  parts.second.draw(plan.pdf, placed.second, placed.second_width);
  if (parts.panel)
    parts.panel->draw(placed.panel, placed.panel_width);
}

void WallFlow::column(const PageColumn& column) {
  for (const ColumnItem& item : column.items()) {
    FlowBlock block;
    block.above = item.above;
    block.height = height_of(plan_->pdf, item, width_);
    block.draw = [this_pdf = &plan_->pdf, item, width = width_](PointMm top) {
      draw_item(*this_pdf, item, top, width);
    };
    blocks_.push_back(std::move(block));
  }
}

void WallFlow::heading(const std::string& text, double size) {
  ColumnItem item{.words = marked(text), .style = {.size = size, .weight = Weight::bold, .line_pitch = 1.2}};
  FlowBlock block;
  block.above = 0.8 * size;
  block.height = height_of(plan_->pdf, item, width_) + 0.25 * size;
  block.with_next = true;
  block.draw = [pdf = &plan_->pdf, item, width = width_](PointMm top) { draw_item(*pdf, item, top, width); };
  blocks_.push_back(std::move(block));
}

void WallFlow::table(std::shared_ptr<const PageTable> table) {
  for (std::size_t row = 0; row < table->rows(); ++row) {
    FlowBlock block;
    block.height = table->row_height(plan_->pdf, row);
    block.draw = [pdf = &plan_->pdf, table, row](PointMm top) { table->draw_row(*pdf, row, top); };
    block.head_height = table->head_height(plan_->pdf);
    block.draw_head = [pdf = &plan_->pdf, table](PointMm top) { table->draw_head(*pdf, top); };
    if (row == 0) {
      FlowBlock head;
      head.height = block.head_height;
      head.with_next = true;
      head.draw = block.draw_head;
      blocks_.push_back(std::move(head));
    }
    blocks_.push_back(std::move(block));
  }
}

std::vector<std::vector<WallFlow::Placed>> WallFlow::placed(double height) const {
  std::vector<std::vector<Placed>> pages(1);
  double y = 0;
  for (std::size_t i = 0; i < blocks_.size(); ++i) {
    // What must stand together with the block.
    double needed = 0;
    for (std::size_t j = i; j < blocks_.size(); ++j) {
      needed += (j > i || y > 0 ? blocks_[j].above : 0) + blocks_[j].height;
      if (!blocks_[j].with_next)
        break;
    }
    const bool begins = y > 0 && y + needed > height;
    if (begins) {
      pages.emplace_back();
      y = 0;
    }
    const bool first = pages.back().empty();
    const bool headed = begins && blocks_[i].draw_head != nullptr;
    y += first ? 0 : blocks_[i].above;
    pages.back().push_back({i, y, headed});
    y += blocks_[i].height + (headed ? blocks_[i].head_height : 0);
  }
  return pages;
}

std::size_t WallFlow::count(const BoxMm& room) const {
  return placed(room.bottom - room.top).size();
}

std::vector<WallPage> WallFlow::pages(const WallPage& like) const {
  const BoxMm room = room_of(*plan_, like.cautions);
  std::vector<WallPage> pages;
  for (const std::vector<Placed>& blocks : placed(room.bottom - room.top)) {
    WallPage page = like;
    if (!pages.empty())
      page.bookmark.clear();
    std::vector<std::pair<FlowBlock, Placed>> drawn;
    for (const Placed& at : blocks)
      drawn.emplace_back(blocks_[at.block], at);
    page.draw = [drawn](const BoxMm& place) {
      for (const auto& [block, at] : drawn) {
        const double y = place.top + at.y;
        if (at.headed)
          block.draw_head({place.left, y});
        block.draw({place.left, y + (at.headed ? block.head_height : 0)});
      }
    };
    pages.push_back(std::move(page));
  }
  return pages;
}

}  // namespace powderplan
