#include "photo/chart_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <string_view>

#include "problem.h"
#include "range.h"

namespace powderplan {
namespace {

constexpr std::string_view header = "row,column,l,a,b";
constexpr Range places{1, 100};
constexpr Range lightness{0, 100}, chroma{-150, 150};
constexpr std::uintmax_t most_bytes = 1'000'000;

// ICC.1 (profile connection space): D50 as the white of Lab in files of print.
constexpr Xyz white_d50{0.9642, 1.0, 0.8249};

class Lines {
 public:
  Lines(const std::string& text, std::string name) : stream_(text), name_(std::move(name)) {}
  // The next line that is not empty, without spaces at its ends.
  bool next(std::string& line) {
    while (std::getline(stream_, line)) {
      ++number_;
      const auto space = [](unsigned char c) { return c <= ' '; };
      line.erase(line.begin(), std::find_if_not(line.begin(), line.end(), space));
      line.erase(std::find_if_not(line.rbegin(), line.rend(), space).base(), line.end());
      if (number_ == 1 && line.starts_with("\xef\xbb\xbf"))  // some programs mark UTF-8 so
        line.erase(0, 3);
      if (!line.empty())
        return true;
    }
    return false;
  }
  [[noreturn]] void fail(const std::string& wrong, const std::string& remedy) const {
    throw Problem(ProblemKind::input, fmt::format("{}:{}", name_, std::max(number_, 1)), wrong, remedy);
  }

 private:
  std::istringstream stream_;
  std::string name_;
  int number_ = 0;
};

double number_of(const Lines& lines, std::string_view cell, std::string_view what, Range range) {
  while (!cell.empty() && cell.front() == ' ')
    cell.remove_prefix(1);
  while (!cell.empty() && cell.back() == ' ')
    cell.remove_suffix(1);
  double value = 0;
  const auto [end, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (fault != std::errc() || end != cell.data() + cell.size() || !std::isfinite(value))
    lines.fail(fmt::format("{} is \"{}\", not a number", what, cell), "write it with a point, e.g. 52.3");
  if (!range.holds(value))
    lines.fail(fmt::format("{} is {}", what, value), fmt::format("it must be {}", text_of(range)));
  return value;
}

int whole_of(const Lines& lines, std::string_view cell, std::string_view what) {
  const double value = number_of(lines, cell, what, places);
  if (value != std::floor(value))
    lines.fail(fmt::format("{} is {}", what, value), "it must be a whole number");
  return static_cast<int>(value);
}

std::vector<std::string_view> cells_of(std::string_view line) {
  std::vector<std::string_view> cells;
  for (std::size_t from = 0;;) {
    const std::size_t comma = line.find(',', from);
    cells.push_back(line.substr(from, comma - from));
    if (comma == std::string_view::npos)
      return cells;
    from = comma + 1;
  }
}

Xyz white_of(const Lines& lines, std::string_view comment) {
  std::istringstream words{std::string(comment.substr(1))};
  std::string key, light, more;
  words >> key >> light >> more;
  if (key == "white" && more.empty() && light == "D50")
    return white_d50;
  if (key == "white" && more.empty() && light == "D65")
    return white_d65;
  lines.fail(fmt::format("\"{}\" does not say a white that is known", comment),
             "write \"# white D50\" or \"# white D65\"");
}

}  // namespace

ChartReference parse_chart(const std::string& text, const std::string& name) {
  Lines lines(text, name);
  std::string line;
  Xyz white = white_d50;
  bool more = lines.next(line);
  if (more && line.front() == '#') {
    white = white_of(lines, line);
    more = lines.next(line);
  }
  if (!more || line != header)
    lines.fail(more ? fmt::format("\"{}\" is not the header of a chart", line) : "there is no header",
               fmt::format("begin with the line \"{}\", then one line for each patch", header));
  std::map<std::pair<int, int>, Xyz> patches;
  ChartReference chart;
  while (lines.next(line)) {
    const std::vector<std::string_view> cells = cells_of(line);
    if (cells.size() != 5)
      lines.fail(fmt::format("there are {} cells", cells.size()),
                 fmt::format("give the five of \"{}\"", header));
    const int row = whole_of(lines, cells[0], "row"), column = whole_of(lines, cells[1], "column");
    const Lab lab{number_of(lines, cells[2], "l", lightness), number_of(lines, cells[3], "a", chroma),
                  number_of(lines, cells[4], "b", chroma)};
    if (!patches.emplace(std::pair(row, column), adapt(to_xyz(lab, white), white, white_d65)).second)
      lines.fail(fmt::format("the patch of row {}, column {} is there twice", row, column), "give it once");
    chart.rows = std::max(chart.rows, row);
    chart.columns = std::max(chart.columns, column);
  }
  if (patches.empty())
    lines.fail("there are no patches", "add one line for each patch");
  for (int row = 1; row <= chart.rows; ++row) {
    for (int column = 1; column <= chart.columns; ++column) {
      const auto patch = patches.find({row, column});
      if (patch == patches.end())
        lines.fail(fmt::format("the patch of row {}, column {} is missing", row, column),
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
