// Pages of worksheet.pdf that are lists: what to cut, where glasses react, regions.
#include <fmt/format.h>

#include <algorithm>

#include "report/cautions.h"
#include "report/wall_arrangement.h"
#include "report/wall_flow.h"

namespace powderplan {
namespace {

TableCell cell(const PageData& row, const char* key, Weight weight = Weight::normal) {
  return {.words = marked(text_of(row, key)), .weight = weight};
}

TableCell boxed(const PageData& row, const char* key) {
  return {.words = marked(text_of(row, key)), .weight = Weight::bold, .boxed = true};
}

PageTable cut_table(const PageData& data, double size) {
  PageTable table({{.heading = "Step", .share = 0},
                   {"Powder"},
                   {"page of templates.pdf", true},
                   {"openings", true},
                   {"bridges", true},
                   {"to cut", true},
                   {"about", true},
                   {"Sheet"}},
                  size);
  for (const PageData& row : list_of(data, "stencils")) {
    std::string name = marked(text_of(row, "name")).text, stock = marked(text_of(row, "stock")).text;
    if (holds(row, "in_parts"))
      name += " <small>part " + text_of(row, "part") + " of 2</small>";
    if (holds(row, "limp"))
      stock += " <b>limp</b>";
    table.add({boxed(row, "number"),
               {.words = {name}},
               cell(row, "page"),
               cell(row, "opening_count"),
               cell(row, "bridge_count"),
               cell(row, "length"),
               cell(row, "minutes", Weight::bold),
               {.words = {stock}}});
  }
  return table;
}

// Places of a small template, three beside each other, counted downwards.
PageTable places_table(const PageData& repeat, double size) {
  constexpr std::size_t beside = 3;
  std::vector<TableColumn> columns;
  for (std::size_t i = 0; i < beside; ++i)
    for (const char* heading : {"place", "x", "y", "turn"})
      columns.push_back({.heading = heading, .number = true});
  PageTable table(columns, size);
  const std::vector<PageData>& places = list_of(repeat, "places");
  const std::size_t lines = (places.size() + beside - 1) / beside;
  for (std::size_t line = 0; line < lines; ++line) {
    std::vector<TableCell> row;
    for (std::size_t i = 0; i < beside; ++i) {
      const std::size_t place = i * lines + line;
      if (place >= places.size()) {
        row.resize(row.size() + 4);
        continue;
      }
      row.push_back(cell(places[place], "place", Weight::bold));
      row.push_back(cell(places[place], "x"));
      row.push_back(cell(places[place], "y"));
      row.push_back({.words = marked(text_of(places[place], "turn") + "\u00b0")});
    }
    table.add(std::move(row));
  }
  return table;
}

void add_small_templates(WallFlow& into, const WallPlan& plan, double size) {
  into.heading(marked("Small templates"), 1.25 * size);
  into.words(part_words("cut_small.html", plan.data), 0.86 * size);
  into.words(part_words("cut_places.html", plan.data), 0.86 * size);
  for (const PageData& stencil : list_of(plan.data, "stencils")) {
    for (const PageData& repeat : list_of(stencil, "repeats")) {
      into.heading({text_of(stencil, "number") + "   " + part_words("cut_repeat.html", repeat).text}, size);
      auto table = std::make_shared<PageTable>(places_table(repeat, 0.86 * size));
      table->measure(plan.pdf, into.width());
      into.table(table);
      if (holds(repeat, "more"))
        into.words(part_words("cut_more.html", repeat), 0.86 * size);
      if (holds(repeat, "any_close"))
        into.words(part_words("cut_close.html", repeat), 0.86 * size);
    }
  }
}

// A layer's map with its regions' numbers, and what lies on each.
class RegionsBlock {
 public:
  RegionsBlock(const WallPlan& plan, std::size_t index, const PageData& layer, double width, double size)
      : plan_(plan),
        layer_(layer),
        index_(index),
        width_(width),
        size_(size),
        table_({{"piece", true}, {"lands", true}, {"area", true}, {"x", true}, {"y", true}}, 0.92 * size) {
    for (const PageData& row : list_of(layer, "rows"))
      table_.add({cell(row, "region", Weight::bold), cell(row, "grams", Weight::bold), cell(row, "area"),
                  cell(row, "x"), cell(row, "y")});
    table_.measure(plan.pdf, table_width());
  }

  [[nodiscard]] bool has_room() const { return table_.has_room(); }
  [[nodiscard]] double height() const {
    return head_height() + std::max(table_.height(plan_.pdf) + more_height(), least_map * plan_.unit) +
           2 * size_;
  }
  void draw(PointMm top) const {
    PdfDocument& pdf = plan_.pdf;
    const double side = 1.7 * size_;
    pdf.shape({{top.x, top.y}, {top.x + side, top.y}, {top.x + side, top.y + side}, {top.x, top.y + side}},
              {.width = 0.12 * size_});
    pdf.text({top.x + side / 2, top.y + side / 2 + 0.4 * size_}, text_of(layer_, "number"),
             {.size = 1.1 * size_, .weight = Weight::bold, .align = Align::centre});
    pdf.text_within({top.x + side + 0.7 * size_, top.y + side / 2 + 0.4 * size_}, width_ - side - size_,
                    text_of(layer_, "name"), {.size = 1.15 * size_, .weight = Weight::bold});
    const double y = top.y + head_height();
    const PiecePlace place =
        piece_place(plan_.record, {top.x, y, top.x + map_width(), top.y + height() - 1.6 * size_});
    draw_piece(pdf, plan_.record, plan_.drawn.steps[index_], PictureCoding::photo, place);
    std::vector<PlaceName> names;
    const std::vector<Region>& regions = plan_.record.layers[index_].regions;
    const std::vector<PageData>& rows = list_of(layer_, "rows");
    for (std::size_t r = 0; r < rows.size(); ++r)
      names.push_back({{regions[r].centre.x, regions[r].centre.y}, text_of(rows[r], "region")});
    draw_names(pdf, names, 1.1 * size_, place);
    const double bottom = table_.draw(pdf, {top.x + width_ - table_width(), y});
    if (holds(layer_, "more"))
      paragraph_below(pdf, {top.x + width_ - table_width(), bottom}, table_width(), more(), more_style());
  }

 private:
  static constexpr double least_map = 46;
  [[nodiscard]] double table_width() const { return 0.46 * width_; }
  [[nodiscard]] double map_width() const { return 0.5 * width_; }
  [[nodiscard]] double head_height() const { return 2.3 * size_; }
  [[nodiscard]] PageText more_style() const { return {.size = 0.75 * size_, .line_pitch = 1.3}; }
  [[nodiscard]] Markup more() const { return part_words("regions_more.html", layer_); }
  [[nodiscard]] double more_height() const {
    return holds(layer_, "more") ? plan_.pdf.paragraph_height(table_width(), more(), more_style()) : 0;
  }

  const WallPlan& plan_;
  const PageData& layer_;
  std::size_t index_;
  double width_, size_;
  PageTable table_;
};

}  // namespace

void add_cutting(std::vector<WallPage>& pages, const WallPlan& plan) {
  if (!holds(plan.data, "any_stencils"))
    return;
  WallPage page;
  page.bookmark = page.where = "Cut before the first day";
  page.cautions = {cut_reminder()};
  add_flow(pages, plan, page, 0.8, [&](WallFlow& into, double scale) {
    const double size = 4.5 * plan.unit * scale;
    into.heading(marked("Cut before the first day"), 1.7 * size);
    PageColumn how;
    how.add(part_paragraphs("cut_how.html", plan.data), size);
    into.column(how);
    auto table = std::make_shared<PageTable>(cut_table(plan.data, 0.92 * size));
    table->measure(plan.pdf, into.width());
    into.block({.height = 0.6 * size, .with_next = true, .draw = [](PointMm) {}});
    into.table(table);
    into.words(part_words("cut_under.html", plan.data), 0.76 * size);
    into.heading(marked("Why these sheets"), 1.25 * size);
    for (const PageData& row : list_of(plan.data, "stencils"))
      into.words({fmt::format("<b>{}  {}.</b> {}", text_of(row, "number"), marked(text_of(row, "stock")).text,
                              marked(text_of(row, "reason")).text)},
                 0.82 * size);
    if (holds(plan.data, "any_small"))
      add_small_templates(into, plan, size);
    return table->has_room();
  });
}

namespace {

// How, the map, and as many pairs as there are, on one page.
class ReactionsPage {
 public:
  ReactionsPage(const WallPlan& plan, double scale)
      : plan_(plan),
        pdf_(plan.pdf),
        size_(4.5 * plan.unit * scale),
        table_(columns(plan.data), 0.9 * size_),
        caption_(part_words("reactions_caption.html", plan.data)),
        under_(part_words("reactions_under.html", plan.data)) {
    how_.add(part_paragraphs("reactions_how.html", plan.data), size_);
    for (const PageData& row : list_of(plan.data, "reactions")) {
      std::vector<TableCell> cells{boxed(row, "letter"), cell(row, "glasses", Weight::bold),
                                   cell(row, "chemistry"), cell(row, "beside"), cell(row, "over")};
      if (holds(plan.data, "any_reaction_wish"))
        cells.push_back(cell(row, "asked"));
      table_.add(std::move(cells));
    }
  }

  [[nodiscard]] std::optional<PicturePlaced> placed(const BoxMm& room) {
    const double width = room.right - room.left;
    table_.measure(pdf_, width);
    if (!table_.has_room())
      return std::nullopt;
    return place_picture(plan_, {room.left, room.top + above(width), room.right, room.bottom - below(width)});
  }

  void draw(const BoxMm& room, const PicturePlaced& placed) {
    const double width = room.right - room.left;
    PointMm at{room.left, room.top};
    at.y = paragraph_below(pdf_, at, width, title(), title_style()) + 0.4 * size_;
    how_.draw(pdf_, at, width);
    draw_piece(pdf_, plan_.record, plan_.drawn.reactions, PictureCoding::exact, placed.picture);
    at.y = bottom_of(placed.picture) + 0.3 * size_;
    paragraph_below(pdf_, at, width, caption_, under_style());
    at.y += pdf_.paragraph_height(width, caption_, under_style()) + 0.4 * size_;
    at.y = table_.draw(pdf_, at);
    paragraph_below(pdf_, {at.x, at.y + 0.3 * size_}, width, under_, under_style());
  }

 private:
  static std::vector<TableColumn> columns(const PageData& data) {
    std::vector<TableColumn> columns{{.share = 0},
                                     {.heading = "Glasses", .share = 1.6},
                                     {"because of"},
                                     {"side by side", true},
                                     {"on one another", true}};
    if (holds(data, "any_reaction_wish"))
      columns.push_back({.heading = "you asked", .share = 0.8});
    return columns;
  }
  [[nodiscard]] static Markup title() { return marked("Where glasses darken against each other"); }
  [[nodiscard]] PageText title_style() const {
    return {.size = 1.7 * size_, .weight = Weight::bold, .line_pitch = 1.15};
  }
  [[nodiscard]] PageText under_style() const { return {.size = 0.76 * size_, .line_pitch = 1.25}; }
  [[nodiscard]] double above(double width) const {
    return pdf_.paragraph_height(width, title(), title_style()) + how_.height(pdf_, width) + size_;
  }
  [[nodiscard]] double below(double width) const {
    return 1.2 * size_ + pdf_.paragraph_height(width, caption_, under_style()) + table_.height(pdf_) +
           pdf_.paragraph_height(width, under_, under_style()) + 2;
  }

  const WallPlan& plan_;
  PdfDocument& pdf_;
  double size_;
  PageColumn how_;
  PageTable table_;
  Markup caption_, under_;
};

}  // namespace

void add_reactions(std::vector<WallPage>& pages, const WallPlan& plan) {
  if (!holds(plan.data, "any_reactions"))
    return;
  WallPage page;
  page.bookmark = "Where glasses darken";
  page.where = "Before the first day";
  page.cautions = {dust_reminder(), kiln_reminder()};
  page.draw = largest_type<ReactionsPage>(
      page.bookmark, [&](double scale) { return std::make_shared<ReactionsPage>(plan, scale); },
      [&](const PicturePlaced& placed, double scale) {
        return large_enough(plan, placed.picture, wanted_diagonal(scale));
      },
      room_of(plan, page.cautions));
  pages.push_back(std::move(page));
}

void add_regions(std::vector<WallPage>& pages, const WallPlan& plan) {
  if (!holds(plan.data, "any_regions"))
    return;
  WallPage page;
  page.bookmark = page.where = "Piece by piece";
  page.cautions = {dust_reminder()};
  const std::vector<std::size_t> layers = layers_by_region(plan.record);
  add_flow(pages, plan, page, 0.94, [&](WallFlow& into, double scale) {
    const double size = 4.4 * plan.unit * scale;
    into.heading(marked("Piece by piece"), 1.7 * size);
    into.words(part_words("regions_how.html", plan.data), 0.86 * size);
    bool fits = true;
    for (std::size_t i = 0; i < layers.size(); ++i) {
      auto block = std::make_shared<RegionsBlock>(plan, layers[i], list_of(plan.data, "region_layers")[i],
                                                  into.width(), size);
      fits = fits && block->has_room();
      into.block(
          {.above = size, .height = block->height(), .draw = [block](PointMm top) { block->draw(top); }});
    }
    return fits;
  });
}

}  // namespace powderplan
