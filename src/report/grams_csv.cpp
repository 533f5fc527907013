#include "report/grams_csv.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/stage.h"
#include "utf8.h"

namespace powderplan {
namespace {

enum Column : std::size_t {
  kind,
  firing,
  layer_number,
  powder_id,
  powder_name,
  technique,
  region_id,
  area,
  load,
  lands,
  sift,
  overspill,
  used,
  stock,
  missing,
  centre_x,
  centre_y,
  column_count
};
constexpr std::array<std::string_view, column_count> titles{
    "kind",   "firing",   "layer",      "powder",      "name",       "technique",
    "region", "area_cm2", "load_g_cm2", "lands_g",     "sift_g",     "overspill_g",
    "used_g", "stock_g",  "short_g",    "centre_x_mm", "centre_y_mm"};

using Record = std::array<std::string, column_count>;

// Six digits: finer than any scale, without the noise of binary fractions.
std::string number(double value) {
  return fmt::format("{:.6g}", value);
}

void append(std::string& csv, const Record& record) {
  for (std::size_t i = 0; i < record.size(); ++i)
    csv += (i == 0 ? "" : ",") + record[i];
  csv += "\r\n";
}

void fill_powder(Record& cells, const Powder& powder) {
  cells[powder_id] = csv_text(powder.id);
  cells[powder_name] = csv_text(powder.name);
}

void append_powders(std::string& csv, const PlanRecord& record) {
  for (const PowderTotal& total : record.weights.totals) {
    Record cells;
    cells[kind] = "powder";
    fill_powder(cells, record.palette.powders[total.powder]);
    cells[lands] = number(total.lands.value());
    cells[sift] = number(total.sift.value());
    cells[overspill] = number(total.sift.value() - total.lands.value());
    cells[used] = number(total.used.value());
    cells[missing] = number(total.short_of.value());
    if (total.stock)
      cells[stock] = number(total.stock->value());
    append(csv, cells);
  }
}

void append_firings(std::string& csv, const PlanRecord& record) {
  for (std::size_t k = 0; k < record.firing_plan.firings.size(); ++k) {
    Grams landed, sifted;
    for (const std::size_t i : record.firing_plan.firings[k].layers) {
      landed += record.weights.layers[i].lands;
      sifted += record.weights.layers[i].sift;
    }
    Record cells;
    cells[kind] = "firing";
    cells[firing] = std::to_string(k + 1);
    cells[lands] = number(landed.value());
    cells[sift] = number(sifted.value());
    cells[overspill] = number((sifted - landed).value());
    append(csv, cells);
  }
}

Record layer_cells(const PlanRecord& record, std::size_t i) {
  const Layer& layer = record.layers[i];
  Record cells;
  cells[firing] = std::to_string(record.firing_plan.places[i].firing + 1);
  cells[layer_number] = std::to_string(i + 1);
  fill_powder(cells, powder_of(record, layer));
  cells[technique] = name_of(layer.technique);
  cells[load] = number(layer.load.value());
  return cells;
}

void append_layer(std::string& csv, const PlanRecord& record, std::size_t i) {
  const LayerWeights& weights = record.weights.layers[i];
  Record cells = layer_cells(record, i);
  cells[kind] = "layer";
  cells[area] = number(record.layers[i].area_cm2);
  cells[lands] = number(weights.lands.value());
  cells[sift] = number(weights.sift.value());
  cells[overspill] = number(weights.overspill.value());
  cells[used] = number((weights.lands + weights.overspill * (1 - record.weigh_rules.comes_back)).value());
  append(csv, cells);
}

void append_regions(std::string& csv, const PlanRecord& record, std::size_t i) {
  for (std::size_t r = 0; r < record.layers[i].regions.size(); ++r) {
    const Region& region = record.layers[i].regions[r];
    Record cells = layer_cells(record, i);
    cells[kind] = "region";
    cells[region_id] = std::to_string(region.id);
    cells[area] = number(region.area_cm2);
    cells[lands] = number(record.weights.layers[i].region_lands[r].value());
    cells[centre_x] = number(region.centre.x);
    cells[centre_y] = number(region.centre.y);
    append(csv, cells);
  }
}

// With the full-width forms (U+FF0B, U+FF0D, U+FF1D, U+FF20). OWASP, "CSV Injection".
bool begins_formula(std::string_view letter) {
  constexpr std::array<std::string_view, 8> marks{"=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"};
  return std::find(marks.begin(), marks.end(), letter) != marks.end();
}

}  // namespace

std::string csv_text(std::string_view text) {
  const std::string plain = plain_text(text);
  std::string cell;
  bool at_begin = true, quoted = false;
  for (std::string_view rest = plain; !rest.empty();) {
    const std::string_view letter = rest.substr(0, utf8_length(rest));
    if (at_begin && begins_formula(letter)) {
      cell += '\'';
      quoted = true;
    }
    // Blanks and quotes before a formula do not keep every program from taking it for one.
    at_begin = letter == ";" || (at_begin && (letter == " " || letter == "\""));
    quoted = quoted || letter == "," || letter == ";" || letter == "\"";
    if (letter == "\"")
      cell += '"';
    cell += letter;
    rest.remove_prefix(letter.size());
  }
  return quoted ? '"' + cell + '"' : cell;
}

std::string grams_csv(const PlanRecord& record) {
  std::string csv;
  Record header;
  std::copy(titles.begin(), titles.end(), header.begin());
  append(csv, header);
  append_powders(csv, record);
  append_firings(csv, record);
  for (std::size_t i = 0; i < record.layers.size(); ++i)
    append_layer(csv, record, i);
  for (std::size_t i = 0; i < record.layers.size(); ++i)
    append_regions(csv, record, i);
  return csv;
}

}  // namespace powderplan
