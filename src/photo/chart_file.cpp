#include "photo/chart_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <map>
#include <optional>
#include <sstream>

#include "csv_table.h"
#include "problem.h"
#include "range.h"

namespace powderplan {
namespace {

constexpr Range places{1, 100};
constexpr Range lightness{0, 100}, chroma{-150, 150};
constexpr std::uintmax_t most_bytes = 1'000'000;

// ICC.1 (profile connection space): D50 as the white of Lab in files of print.
constexpr Xyz white_d50{0.9642, 1.0, 0.8249};

// Of a comment that begins with "white"; other comments say nothing of it.
std::optional<Xyz> white_of(const CsvTable& table, const std::string& comment) {
  std::istringstream words(comment);
  std::string key, light, more;
  words >> key >> light >> more;
  if (key != "white")
    return std::nullopt;
  if (more.empty() && light == "D50")
    return white_d50;
  if (more.empty() && light == "D65")
    return white_d65;
  table.fail(table.heading_line(), fmt::format("\"{}\" above it does not say a white that is known", comment),
             "write \"# white D50\" or \"# white D65\"");
}

}  // namespace

ChartReference parse_chart(const std::string& text, const std::string& name) {
  const CsvTable table(text, name);
  Xyz white = white_d50;
  for (const std::string& comment : table.comments())
    white = white_of(table, comment).value_or(white);
  const std::size_t row_column = table.column("row"), column_column = table.column("column");
  const std::size_t l = table.column("l"), a = table.column("a"), b = table.column("b");
  std::map<std::pair<int, int>, Xyz> patches;
  ChartReference chart;
  for (const CsvTable::Row& line : table.rows()) {
    const int row = table.whole(line, row_column, places), column = table.whole(line, column_column, places);
    const Lab lab{table.number(line, l, lightness), table.number(line, a, chroma),
                  table.number(line, b, chroma)};
    if (!patches.emplace(std::pair(row, column), adapt(to_xyz(lab, white), white, white_d65)).second)
      table.fail(line.line, fmt::format("the patch of row {}, column {} is there twice", row, column),
                 "give it once");
    chart.rows = std::max(chart.rows, row);
    chart.columns = std::max(chart.columns, column);
  }
  for (int row = 1; row <= chart.rows; ++row) {
    for (int column = 1; column <= chart.columns; ++column) {
      const auto patch = patches.find({row, column});
      if (patch == patches.end())
        table.fail(table.rows().back().line,
                   fmt::format("the patch of row {}, column {} is missing", row, column),
                   "give every patch of the rectangle that the chart makes");
      chart.patches.push_back(patch->second);
    }
  }
  return chart;
}

ChartReference read_chart(const std::filesystem::path& file) {
  std::error_code fault;
  const std::uintmax_t bytes = std::filesystem::file_size(file, fault);
  std::ifstream stream(file, std::ios::binary);
  if (fault || !stream)
    throw Problem(ProblemKind::input, file.string(), "the chart's values cannot be read",
                  "check the name of the file and that it may be read");
  if (bytes > most_bytes)
    throw Problem(ProblemKind::input, file.string(), "the file is far too long for a chart",
                  "give the comma-separated file of its values");
  std::ostringstream text;
  text << stream.rdbuf();
  return parse_chart(text.str(), file.string());
}

}  // namespace powderplan
