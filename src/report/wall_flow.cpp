#include "report/wall_flow.h"

#include <utility>

namespace powderplan {

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

void WallFlow::words(const Markup& words, double size) {
  PageColumn one;
  one.add({.words = words, .style = {.size = size, .line_pitch = 1.26}, .above = 0.5 * size});
  column(one);
}

void WallFlow::heading(const Markup& words, double size) {
  ColumnItem item{.words = words, .style = {.size = size, .weight = Weight::bold, .line_pitch = 1.2}};
  FlowBlock block;
  block.above = 0.8 * size;
  block.height = height_of(plan_->pdf, item, width_) + 0.25 * size;
  block.with_next = true;
  block.draw = [pdf = &plan_->pdf, item, width = width_](PointMm top) { draw_item(*pdf, item, top, width); };
  blocks_.push_back(std::move(block));
}

void WallFlow::table(const std::shared_ptr<const PageTable>& table) {
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
