#include "measure/tile_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "json_reader.h"

namespace powderplan {
namespace {

using Json = nlohmann::ordered_json;

constexpr Range pages{50, 2000, "mm"};
constexpr Range places{0, 2000, "mm"};
constexpr Range scales{1e-6, 100, "g"};
constexpr Range cell_grams{0, 1000, "g"};
constexpr Range loads{0, 10, "g/cm2"};
constexpr std::size_t most_rows = 100, most_cells = 100;

Json json_of(const BoxMm& box) {
  return {box.left, box.top, box.right, box.bottom};
}

BoxMm box_of(const JsonPart& part, const std::string& name, const std::vector<double>& sides,
             const Tile& tile) {
  const BoxMm box{sides[0], sides[1], sides[2], sides[3]};
  if (box.left >= box.right || box.top >= box.bottom)
    part.fail(fmt::format("{} is inside out", name), "write it as [left, top, right, bottom]");
  if (box.right > tile.card_width || box.bottom > tile.card_height)
    part.fail(fmt::format("{} is not on the card of {} x {} mm", name, tile.card_width, tile.card_height),
              "make the file anew");
  return box;
}

BoxMm box_at(const JsonPart& part, const std::string& key, const Tile& tile) {
  return box_of(part, fmt::format("'{}'", key), part.numbers(key, 4, places), tile);
}

bool share_area(const BoxMm& a, const BoxMm& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

void read_card(const JsonPart& card, Tile& tile) {
  tile.card_width = card.number("width_mm", pages);
  tile.card_height = card.number("height_mm", pages);
  const auto marks = card.tuples("marks_mm", 2, places);
  if (marks.size() != tile.card.marks.size())
    card.fail(fmt::format("'marks_mm' has {} places", marks.size()),
              "it needs four: top left, top right, bottom right, bottom left");
  for (std::size_t i = 0; i < marks.size(); ++i)
    tile.card.marks[i] = {marks[i][0], marks[i][1]};
  const auto& [one, two, three, four] = tile.card.marks;
  if (one.x >= two.x || four.x >= three.x || one.y >= four.y || two.y >= three.y ||
      std::max(two.x, three.x) > tile.card_width || std::max(three.y, four.y) > tile.card_height)
    card.fail("'marks_mm' are not in the corners of the card",
              "their order is top left, top right, bottom right, bottom left");
  for (const std::vector<double>& sides : card.tuples("white_mm", 4, places))
    tile.card.white.push_back(
        box_of(card, fmt::format("entry {} of 'white_mm'", tile.card.white.size() + 1), sides, tile));
  if (tile.card.white.empty())
    card.fail("'white_mm' is empty", "uneven light cannot be judged without white paper; make the file anew");
  if (card.has("reference_mm"))
    tile.card.reference = box_at(card, "reference_mm", tile);
}

TileRow row_of(const JsonPart& part, const Tile& tile) {
  TileRow row{.powder = part.text("powder"), .name = part.text("name"), .cells = {}};
  for (const JsonPart& cell : part.objects("cells", "cell")) {
    TileCell read{.load = Load(cell.number("load_g_cm2", loads)),
                  .grams = Grams(cell.number("grams", cell_grams)),
                  .light = box_at(cell, "light_mm", tile),
                  .dark = box_at(cell, "dark_mm", tile)};
    if (share_area(read.light, read.dark))
      cell.fail("its halves 'light_mm' and 'dark_mm' overlap", "make the file anew");
    if (row.cells.empty() && read.load > Load(0))
      cell.fail(fmt::format("'load_g_cm2' is {}", read.load.value()), "the first cell of a row is bare: 0");
    if (!row.cells.empty() && read.load <= row.cells.back().load)
      cell.fail(fmt::format("'load_g_cm2' is {}, and the cell before has {}", read.load.value(),
                            row.cells.back().load.value()),
                "write the cells from the lightest to the heaviest");
    row.cells.push_back(read);
  }
  if (row.cells.size() < 2 || row.cells.size() > most_cells)
    part.fail(fmt::format("it has {} cells", row.cells.size()),
              fmt::format("it needs a bare one and one with powder, and at most {}", most_cells));
  return row;
}

}  // namespace

std::string tile_json(const Tile& tile) {
  Json marks = Json::array(), white = Json::array(), rows = Json::array();
  for (const PointMm& mark : tile.card.marks)
    marks.push_back({mark.x, mark.y});
  for (const BoxMm& box : tile.card.white)
    white.push_back(json_of(box));
  for (const TileRow& row : tile.rows) {
    Json cells = Json::array();
    for (const TileCell& cell : row.cells)
      cells.push_back({{"load_g_cm2", cell.load.value()},
                       {"grams", cell.grams.value()},
                       {"light_mm", json_of(cell.light)},
                       {"dark_mm", json_of(cell.dark)}});
    rows.push_back({{"powder", row.powder}, {"name", row.name}, {"cells", std::move(cells)}});
  }
  Json card{{"width_mm", tile.card_width},
            {"height_mm", tile.card_height},
            {"marks_mm", std::move(marks)},
            {"white_mm", std::move(white)},
            {"reference_mm", nullptr}};
  if (tile.card.reference)
    card["reference_mm"] = json_of(*tile.card.reference);
  Json json;
  json["schema"] = tile_schema;
  json["light_sheet"] = tile.light_sheet;
  json["dark_sheet"] = tile.dark_sheet;
  json["finish"] = name_of(tile.finish);
  json["scale_g"] = tile.scale.value();
  json["card"] = std::move(card);
  json["rows"] = std::move(rows);
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Tile parse_tile(const std::string& text, const std::string& file) {
  const nlohmann::json document = parse_json(text, file, tile_schema, {"a step tile", "make the tile again"});
  const JsonPart root(document, file, "");
  Tile tile;
  tile.light_sheet = root.text("light_sheet");
  tile.dark_sheet = root.text("dark_sheet");
  if (tile.light_sheet == tile.dark_sheet)
    root.fail("'light_sheet' and 'dark_sheet' are the same", "make the file anew");
  const std::string finish = root.text("finish");
  const std::optional<Finish> named = finish_named(finish);
  if (!named || *named == Finish::unfired)
    root.fail(fmt::format("'finish' is \"{}\"", finish), "it must be tack, contour or full");
  tile.finish = *named;
  tile.scale = Grams(root.number("scale_g", scales));
  read_card(root.object("card"), tile);
  for (const JsonPart& part : root.objects("rows", "row")) {
    TileRow row = row_of(part, tile);
    if (std::any_of(tile.rows.begin(), tile.rows.end(),
                    [&](const TileRow& r) { return r.powder == row.powder; }))
      part.fail(fmt::format("the powder \"{}\" has a row already", row.powder), "make the file anew");
    tile.rows.push_back(std::move(row));
  }
  if (tile.rows.empty() || tile.rows.size() > most_rows)
    root.fail(fmt::format("it has {} rows", tile.rows.size()), fmt::format("it needs 1 to {}", most_rows));
  return tile;
}

}  // namespace powderplan
