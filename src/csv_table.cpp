#include "csv_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace powderplan {
namespace {

std::string trimmed(std::string_view text) {
  constexpr std::string_view blanks = " \t\r";
  const std::size_t begin = text.find_first_not_of(blanks);
  if (begin == std::string_view::npos)
    return {};
  return std::string(text.substr(begin, text.find_last_not_of(blanks) - begin + 1));
}

bool holds_outside_quotes(std::string_view text, char wanted) {
  bool quoted = false;
  for (const char c : text) {
    if (c == wanted && !quoted)
      return true;
    if (c == '"')
      quoted = !quoted;
  }
  return false;
}

}  // namespace

CsvTable::CsvTable(std::string_view text, std::string file) : file_(std::move(file)) {
  if (text.starts_with("\xef\xbb\xbf"))  // some programs mark UTF-8 so
    text.remove_prefix(3);
  int line = 1;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string whole = trimmed(text.substr(at, end - at));
    if (whole.empty() || whole.front() == '#') {
      if (!whole.empty())
        comments_.push_back(trimmed(std::string_view(whole).substr(1)));
      at = end + 1;
      ++line;
      continue;
    }
    if (heading_.line == 0)
      separator_ = holds_outside_quotes(whole, ';') ? ';' : ',';
    // One record: quotes may hold separators, doubled quotes and line breaks.
    Row row{line, {}};
    std::string cell;
    bool quoted = false, was_quoted = false, done = false;
    const auto take = [&] {
      row.cells.push_back(was_quoted ? cell : trimmed(cell));
      cell.clear();
      was_quoted = false;
    };
    for (; !done && at < text.size(); ++at) {
      const char c = text[at];
      if (c == '\n')
        ++line;
      if (quoted) {
        if (c != '"')
          cell += c;
        else if (at + 1 < text.size() && text[at + 1] == '"')
          cell += text[++at];
        else
          quoted = false;
      } else if (c == '"' && trimmed(cell).empty()) {
        quoted = was_quoted = true;
        cell.clear();
      } else if (c == separator_) {
        take();
      } else if (c == '\n') {
        done = true;
      } else if (!was_quoted) {
        cell += c;
      } else if (!trimmed(std::string_view(&c, 1)).empty()) {
        fail(line, "something stands between a closed quote and the end of its cell",
             "put all of the cell between the quotes, and double the quotes inside");
      }
    }
    if (quoted)
      fail(row.line, "a quote is opened and never closed", "close it");
    take();
    if (heading_.line == 0) {
      heading_ = std::move(row);
      continue;
    }
    // Spreadsheets write an empty row as separators alone.
    if (std::all_of(row.cells.begin(), row.cells.end(), [](const std::string& c) { return c.empty(); }))
      continue;
    if (row.cells.size() != heading_.cells.size())
      fail(row.line,
           fmt::format("{} cells where the heading has {}", row.cells.size(), heading_.cells.size()),
           separator_ == ',' && row.cells.size() > heading_.cells.size()
               ? "give every row as many as the heading; where the comma is the decimal mark, part the cells "
                 "of "
                 "the heading and of all rows by semicolons"
               : "give every row as many as the heading");
    rows_.push_back(std::move(row));
  }
  if (heading_.line == 0)
    throw Problem(ProblemKind::input, file_, "the table is empty", "give it a heading and rows");
  if (rows_.empty())
    throw Problem(ProblemKind::input, file_, "the table has a heading and no rows", "add the rows");
}

void CsvTable::fail(int line, const std::string& wrong, const std::string& remedy) const {
  throw Problem(ProblemKind::input, fmt::format("{}:{}", file_, line), wrong, remedy);
}

std::size_t CsvTable::column(std::string_view name) const {
  const auto& names = heading_.cells;
  const auto found = std::find(names.begin(), names.end(), name);
  if (found == names.end())
    fail(heading_.line, fmt::format("there is no column \"{}\"", name),
         fmt::format("the heading has {}; name the column so", fmt::join(names, ", ")));
  if (std::find(found + 1, names.end(), name) != names.end())
    fail(heading_.line, fmt::format("two columns are named \"{}\"", name), "leave one out");
  return static_cast<std::size_t>(found - names.begin());
}

double CsvTable::number_in(int line, std::string_view what, const std::string& text, Range range) const {
  std::string plain = text;
  if (separator_ == ';')
    std::replace(plain.begin(), plain.end(), ',', '.');
  double value = 0;
  const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
  if (error != std::errc() || end != plain.data() + plain.size() || !std::isfinite(value))
    fail(line, fmt::format("{} is \"{}\"", what, text), "write a number");
  if (!range.holds(value))
    fail(line, fmt::format("{} is {}", what, text), fmt::format("it must be {}", text_of(range)));
  return value;
}

double CsvTable::number(const Row& row, std::size_t column, Range range) const {
  return number_in(row.line, fmt::format("\"{}\"", heading_.cells[column]), row.cells[column], range);
}

int CsvTable::whole(const Row& row, std::size_t column, Range range) const {
  const double value = number(row, column, range);
  if (value != std::floor(value))
    fail(row.line, fmt::format("\"{}\" is {}", heading_.cells[column], row.cells[column]),
         "write a whole number");
  return static_cast<int>(value);
}

}  // namespace powderplan
