// Tables under tests/data/published: comma separated, '#' starts a comment line, then one line of names.
#pragma once

#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "places.h"

namespace powderplan {

struct PublishedRow {
  std::map<std::string, std::string> cells;
  [[nodiscard]] const std::string& text(const std::string& column) const { return cells.at(column); }
  [[nodiscard]] double number(const std::string& column) const { return std::stod(cells.at(column)); }
};

inline std::vector<PublishedRow> published_table(const std::string& name) {
  const std::string path = testing::test_data_folder() + "/published/" + name;
  std::ifstream file(path);
  if (!file)
    throw std::runtime_error("cannot open " + path);
  const auto split = [](const std::string& line) {
    std::vector<std::string> cells;
    std::istringstream stream(line);
    for (std::string cell; std::getline(stream, cell, ',');)
      cells.push_back(cell);
    return cells;
  };
  std::vector<std::string> columns;
  std::vector<PublishedRow> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line.front() == '#')
      continue;
    const std::vector<std::string> cells = split(line);
    if (columns.empty()) {
      columns = cells;
      continue;
    }
    PublishedRow row;
    for (std::size_t i = 0; i < cells.size() && i < columns.size(); ++i)
      row.cells[columns[i]] = cells[i];
    rows.push_back(row);
  }
  return rows;
}

}  // namespace powderplan
