#include "report/wall_pages.h"

#include <fmt/format.h>

#include <algorithm>

#include "problem.h"
#include "report/firing_line.h"
#include "report/page_column.h"
#include "report/stage.h"

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

Markup part_words(std::string_view name, const PageData& data) {
  std::string html = rendered(name, data);
  if (!html.starts_with("<p"))
    html = "<p>" + html + "</p>";
  std::vector<PageParagraph> paragraphs = paragraphs_of(html, name);
  if (paragraphs.size() != 1)
    throw Problem(ProblemKind::other, std::string(name), "is not one paragraph", "build powderplan anew");
  return std::move(paragraphs.front().words);
}

std::vector<double> type_scales() {
  constexpr double smallest = 0.28, step = 0.95;
  std::vector<double> scales;
  double scale = 1;
  while (scale > smallest) {
    scales.push_back(scale);
    scale *= step;
  }
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

}  // namespace powderplan
