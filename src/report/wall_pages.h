// The pages of worksheet.pdf, planned before any is drawn: text is measured, and how many there are is known.
// What they have in common is here; how a page is arranged is wall_arrangement.h, and what goes on over
// several, wall_flow.h.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/page_paragraphs.h"
#include "report/page_table.h"
#include "report/pdf_document.h"
#include "report/worksheet_parts.h"
#include "report/worksheet_pictures.h"

namespace powderplan {

// All that pages are made from. `pdf` measures text while pages are planned.
struct WallPlan {
  const PlanRecord& record;
  const WorksheetPictures& drawn;
  const PageData& data;  // the keys of the worksheet's parts
  PdfDocument& pdf;
  double unit = 1;  // mm on A4 and Letter; larger on larger paper
};

struct WallPage {
  std::string bookmark;  // none on pages that go on with the one before
  std::string where;     // at the top right
  // Steps and firings that are at hand are full in the band at the head.
  std::optional<std::size_t> step, firing;
  std::vector<std::string> cautions;  // at the foot
  // Within the room between head and foot.
  std::function<void(const BoxMm& room)> draw;
};

// The room of a page with these cautions.
BoxMm room_of(const WallPlan& plan, const std::vector<std::string>& cautions);
// `page` counts from 1. Head, foot, and what is between.
void draw_page(const WallPlan& plan, const WallPage& page, std::size_t number, std::size_t count);

// Values of a part's data. A key that is not there is a mistake in this program.
std::string text_of(const PageData& data, const char* key);
bool holds(const PageData& data, const char* key);
const std::vector<PageData>& list_of(const PageData& data, const char* key);
const PageData& part_of(const PageData& data, const char* key);
ChipColours chip_of(const PageData& data);

// A part filled in, as paragraphs.
std::vector<PageParagraph> part_paragraphs(std::string_view name, PageData data);
// The words of a part that is one paragraph, or words for within a line.
Markup part_words(std::string_view name, const PageData& data);

// Letters get smaller by these steps until a page holds all; the largest first.
std::vector<double> type_scales();
// The size, at most the style's own, at which a text is no wider.
double size_within(PdfDocument& pdf, const std::string& text, double width, const PageText& style);

// Words with a line to write on after each; `at` is on their baseline.
void draw_blanks(PdfDocument& pdf, PointMm at, double width, double size,
                 const std::vector<std::string>& labels);

void add_opening(std::vector<WallPage>& pages, const WallPlan& plan);
void add_before(std::vector<WallPage>& pages, const WallPlan& plan);
void add_panels(std::vector<WallPage>& pages, const WallPlan& plan);
void add_cutting(std::vector<WallPage>& pages, const WallPlan& plan);
void add_reactions(std::vector<WallPage>& pages, const WallPlan& plan);
void add_step(std::vector<WallPage>& pages, const WallPlan& plan, std::size_t firing, std::size_t layer,
              const PageData& step);
void add_firing(std::vector<WallPage>& pages, const WallPlan& plan, std::size_t firing, const PageData& data);
void add_regions(std::vector<WallPage>& pages, const WallPlan& plan);

}  // namespace powderplan
