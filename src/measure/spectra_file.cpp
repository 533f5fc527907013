#include "measure/spectra_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <sstream>

#include "csv_table.h"
#include "optics/surface.h"

namespace powderplan {
namespace {

constexpr std::string_view wavelengths = "wavelength_nm";
constexpr Range nanometres{200, 3000, "nm"};
constexpr Range loads{0, 5, "g/cm2"};
constexpr std::string_view how_to_name =
    "name it like \"reflectance 0.12 light\" or \"transmittance 0.12\"; the bare ground has load 0";

struct Column {
  Load load;
  std::string ground;  // empty: light passes through
  Spectrum seen;
};

double in_band(const std::vector<double>& at, const std::vector<double>& values, double middle) {
  double sum = 0, weight = 0;
  int inside = 0;
  for (std::size_t i = 0; i < at.size(); ++i) {
    const double near = 1 - std::abs(at[i] - middle) / band_step_nm;
    if (near <= 0)
      continue;
    sum += near * values[i];
    weight += near;
    ++inside;
  }
  constexpr int enough = 3;
  if (inside >= enough)
    return sum / weight;
  const auto after = std::lower_bound(at.begin(), at.end(), middle);
  const auto i = static_cast<std::size_t>(after - at.begin());
  if (i == 0 || at[i] == middle)
    return values[i];
  const double share = (middle - at[i - 1]) / (at[i] - at[i - 1]);
  return values[i - 1] + share * (values[i] - values[i - 1]);
}

std::vector<double> read_wavelengths(const CsvTable& table) {
  const std::size_t column = table.column(wavelengths);
  std::vector<double> at;
  for (const CsvTable::Row& row : table.rows()) {
    at.push_back(table.number(row, column, nanometres));
    if (at.size() > 1 && at.back() <= at[at.size() - 2])
      table.fail(row.line, "the wavelengths do not rise", "sort the rows by wavelength, each once");
  }
  const double last = band_nm(band_count - 1);
  if (at.front() > first_band_nm || at.back() < last)
    table.fail(at.front() > first_band_nm ? table.rows().front().line : table.rows().back().line,
               fmt::format("the spectra reach from {:g} to {:g} nm", at.front(), at.back()),
               fmt::format("they must reach from {} to {:g} nm", first_band_nm, last));
  constexpr double coarsest = 2 * band_step_nm;
  for (std::size_t i = 1; i < at.size(); ++i)
    if (at[i] - at[i - 1] > coarsest && at[i] > first_band_nm && at[i - 1] < last)
      table.fail(table.rows()[i].line,
                 fmt::format("there is nothing between {:g} and {:g} nm", at[i - 1], at[i]),
                 fmt::format("give a value at least every {:g} nm", coarsest));
  return at;
}

Column read_column(const CsvTable& table, std::size_t place, const std::vector<double>& at, Gloss gloss) {
  const std::string& heading = table.heading()[place];
  std::istringstream words(heading);
  std::string kind, load, ground, more;
  words >> kind >> load >> ground >> more;
  const bool reflected = kind == "reflectance";
  if ((!reflected && kind != "transmittance") || load.empty() || ground.empty() == reflected || !more.empty())
    table.fail(table.heading_line(), fmt::format("\"{}\" names no reading", heading),
               std::string(how_to_name));
  Column column{
      Load(table.number_in(table.heading_line(), fmt::format("the load of \"{}\"", heading), load, loads)),
      ground,
      {}};
  std::vector<double> values;
  for (const CsvTable::Row& row : table.rows()) {
    // Instruments read a little below nothing, and fluorescence or a bright spot more than all.
    constexpr double mostly = 1.2;
    const double value = table.number(row, place, {-0.02, 1000});
    if (value > mostly)
      table.fail(row.line, fmt::format("\"{}\" is {:g}", heading, value),
                 "write shares from 0 to 1: divide percent by 100");
    const double mirrored = reflected && gloss == Gloss::included ? glass_surface().outer : 0;
    values.push_back(std::clamp(value - mirrored, 0.0, 1.0));
  }
  for (std::size_t b = 0; b < band_count; ++b)
    column.seen[b] = in_band(at, values, band_nm(b));
  return column;
}

}  // namespace

Readings read_spectra(const std::string& csv, const std::string& file, Gloss gloss) {
  const CsvTable table(csv, file);
  const std::vector<double> at = read_wavelengths(table);
  const std::size_t skipped = table.column(wavelengths);
  std::vector<Column> columns;
  for (std::size_t i = 0; i < table.heading().size(); ++i)
    if (i != skipped)
      columns.push_back(read_column(table, i, at, gloss));

  Readings readings;
  std::map<std::string, std::size_t> places;
  for (const Column& column : columns) {
    if (column.load > Load(0))
      continue;
    if (!places.try_emplace(column.ground, readings.grounds.size()).second)
      table.fail(table.heading_line(),
                 fmt::format("the bare {} was read twice",
                             column.ground.empty() ? "sheet" : column.ground + " ground"),
                 "leave one of the two columns out");
    readings.grounds.push_back(
        {column.ground.empty() ? "clear" : column.ground,
         column.ground.empty() ? clear_ground(column.seen) : opaque_ground(column.seen)});
  }
  for (const Column& column : columns) {
    if (column.load <= Load(0))
      continue;
    const auto place = places.find(column.ground);
    if (place == places.end())
      table.fail(table.heading_line(),
                 column.ground.empty()
                     ? "there is no reading of the bare clear sheet"
                     : fmt::format("there is no reading of the bare {} ground", column.ground),
                 column.ground.empty() ? "add the column \"transmittance 0\""
                                       : fmt::format("add the column \"reflectance 0 {}\"", column.ground));
    readings.steps.push_back({column.load, place->second, column.seen});
  }
  if (readings.steps.empty())
    table.fail(table.heading_line(), "only bare grounds were read", std::string(how_to_name));
  return readings;
}

}  // namespace powderplan
