// Lists and words that go on over as many pages as they need.
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
#include "report/wall_pages.h"

namespace powderplan {

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
  void heading(const Markup& words, double size);
  // A paragraph.
  void words(const Markup& words, double size);
  void table(const std::shared_ptr<const PageTable>& table);
  void block(FlowBlock block) { blocks_.push_back(std::move(block)); }
  [[nodiscard]] double width() const { return width_; }
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

// Adds the pages of such a flow, which are like `like`.
template <class Fill>
void add_flow(std::vector<WallPage>& pages, const WallPlan& plan, const WallPage& like, double smallest,
              const Fill& fill) {
  const BoxMm room = room_of(plan, like.cautions);
  for (WallPage& page : flow_within(plan, room, smallest, fill).pages(like))
    pages.push_back(std::move(page));
}

}  // namespace powderplan
