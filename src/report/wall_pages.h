// The pages of worksheet.pdf, planned before any is drawn: text is measured, and how many there are is known.
// For worksheet_pdf.cpp only.
#pragma once

#include <algorithm>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "problem.h"
#include "report/page_column.h"
#include "report/page_table.h"
#include "report/pdf_document.h"
#include "report/piece_drawing.h"
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

// Letters get smaller by these steps until a page holds all; the largest first.
std::vector<double> type_scales();
// The size, at most the style's own, at which a text is no wider.
double size_within(PdfDocument& pdf, const std::string& text, double width, const PageText& style);

// Words with a line to write on after each; `at` is on their baseline.
void draw_blanks(PdfDocument& pdf, PointMm at, double width, double size,
                 const std::vector<std::string>& labels);

// A picture of the piece with a caption, words in two columns, and maybe a panel that belongs to the picture.
// The picture takes what the words leave.
struct PanelDrawing {
  double width = 0, height = 0;
  std::function<void(PointMm top_left, double width)> draw;
};
struct PictureWithWords {
  Markup caption;
  double caption_size = 3;
  bool caption_has_key = false;  // of the mark's colour
  PageColumn first, second;
  std::optional<PanelDrawing> panel;
};
struct WordsPlaced {
  PiecePlace picture;
  PointMm caption, first, second, panel;
  double caption_width = 0, first_width = 0, second_width = 0, panel_width = 0;
};
// The arrangement with the largest picture; nothing when the words do not fit.
std::optional<WordsPlaced> place_words(const WallPlan& plan, const PictureWithWords& parts,
                                       const BoxMm& room);
void draw_words(const WallPlan& plan, const PictureWithWords& parts, const WordsPlaced& placed);
// Whether a picture drawn so is large enough for letters at this scale: smaller letters before a smaller
// picture.
bool large_enough(const WallPlan& plan, const PiecePlace& place, double scale);

// The drawing of a page whose letters are as large as it allows: `make` gives the page at a scale, its
// `placed(room)` says where its parts lie, or nothing when they do not fit, and `draw(room, placed)` draws
// them. Throws Problem (other) when they do not even fit with the smallest letters.
template <class Page, class Make, class Enough>
std::function<void(const BoxMm&)> largest_type(const std::string& name, const Make& make,
                                               const Enough& enough, const BoxMm& room) {
  const std::vector<double> scales = type_scales();
  for (const double scale : scales) {
    const std::shared_ptr<Page> page = make(scale);
    const auto placed = page->placed(room);
    if (placed && (enough(*placed, scale) || scale == scales.back()))
      return [page, placed](const BoxMm& place) { page->draw(place, *placed); };
  }
  throw Problem(ProblemKind::other, "worksheet.pdf", "\"" + name + "\" does not fit on its page",
                "choose larger paper with --paper a3");
}

// What is set one below the other and goes on over pages; nothing is broken but between two blocks.
struct FlowBlock {
  double above = 0, height = 0;  // `above` not at the top of a page
  bool with_next = false;        // not the last on a page
  std::function<void(PointMm top_left)> draw{};
  // A table's head: again at the top of each page that goes on with it.
  double head_height = 0;
  std::function<void(PointMm top_left)> draw_head{};
};
class WallFlow {
 public:
  WallFlow(const WallPlan& plan, double width) : plan_(&plan), width_(width) {}
  void column(const PageColumn& column);
  void heading(const std::string& text, double size);
  void table(std::shared_ptr<const PageTable> table);
  void block(FlowBlock block) { blocks_.push_back(std::move(block)); }
  // Pages that differ from `like` in what they draw; only the first has its bookmark.
  [[nodiscard]] std::vector<WallPage> pages(const WallPage& like) const;
  // How many pages they would be.
  [[nodiscard]] std::size_t count(const BoxMm& room) const;

 private:
  struct Placed {
    std::size_t block;
    double y;     // below the top of the room
    bool headed;  // its table's head stands there, the block below it
  };
  [[nodiscard]] std::vector<std::vector<Placed>> placed(double height) const;
  const WallPlan* plan_;
  double width_;
  std::vector<FlowBlock> blocks_;
};

// A flow with the largest letters at which it takes one page, or, where that would make them smaller than
// `smallest` of the largest, as few pages as with those. `fill` puts in what there is at a scale, and is
// false when that has no room.
template <class Fill>
WallFlow flow_within(const WallPlan& plan, const BoxMm& room, double smallest, const Fill& fill) {
  const auto made = [&](double scale) {
    WallFlow flow(plan, room.right - room.left);
    return fill(flow, scale) ? std::optional(std::move(flow)) : std::nullopt;
  };
  std::optional<WallFlow> best;
  std::size_t fewest = 0;
  // From the smallest that is allowed to the largest; below, only where words have no room otherwise.
  std::vector<double> scales = type_scales();
  const auto below =
      std::find_if(scales.begin(), scales.end(), [&](double scale) { return scale < smallest; });
  std::reverse(scales.begin(), below);
  for (const double scale : scales) {
    if (best && scale < smallest)
      break;
    std::optional<WallFlow> flow = made(scale);
    if (!flow)
      continue;
    const std::size_t pages = flow->count(room);
    if (best && pages > std::max<std::size_t>(1, fewest))
      break;
    fewest = pages;
    best = std::move(flow);
  }
  if (!best)
    throw Problem(ProblemKind::other, "worksheet.pdf", "a list does not fit on its page",
                  "choose larger paper with --paper a3");
  return *std::move(best);
}

void add_opening(std::vector<WallPage>& pages, const WallPlan& plan);
void add_before(std::vector<WallPage>& pages, const WallPlan& plan);
void add_cutting(std::vector<WallPage>& pages, const WallPlan& plan);
void add_reactions(std::vector<WallPage>& pages, const WallPlan& plan);
void add_step(std::vector<WallPage>& pages, const WallPlan& plan, std::size_t firing, std::size_t layer,
              const PageData& step);
void add_firing(std::vector<WallPage>& pages, const WallPlan& plan, std::size_t firing, const PageData& data);
void add_regions(std::vector<WallPage>& pages, const WallPlan& plan);

}  // namespace powderplan
