#include "plan/piece_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "glass/toml_reader.h"
#include "plan/settings.h"
#include "problem.h"

namespace powderplan {
namespace {

// One key of the file. `table` must hold it.
class TomlAnswer final : public Answer {
 public:
  TomlAnswer(const TomlTable& table, std::string_view key, const std::filesystem::path& folder)
      : table_(table), key_(key), folder_(folder) {}

  std::string text() const override { return table_.need_text(key_); }
  double number(Range range) const override { return *table_.number(key_, range); }
  int whole(Range range) const override { return *table_.whole(key_, range); }
  std::vector<double> numbers(std::size_t count, Range range) const override {
    return *table_.numbers(key_, count, range);
  }
  std::vector<std::string> texts() const override { return none_empty(*table_.texts(key_)); }
  std::filesystem::path file() const override { return path_of(text()); }
  std::vector<std::filesystem::path> files() const override {
    const std::vector<std::string> names = none_empty(*table_.text_or_texts(key_));
    if (names.empty())
      fail("the list is empty", "name at least one file");
    std::vector<std::filesystem::path> paths;
    paths.reserve(names.size());
    for (const std::string& name : names)
      paths.push_back(path_of(name));
    return paths;
  }

 protected:
  Problem fault(const std::string& wrong, const std::string& remedy) const override {
    return table_.fault(key_, fmt::format("'{}': {}", key_, wrong), remedy);
  }

 private:
  // The system would read such a name up to there, and open another file than the one that is told of.
  [[nodiscard]] std::filesystem::path path_of(const std::string& name) const {
    if (name.find('\0') != std::string::npos)
      fail("holds the character U+0000, which no file name can", "take it out");
    return folder_ / name;
  }
  [[nodiscard]] std::vector<std::string> none_empty(std::vector<std::string> texts) const {
    if (std::find(texts.begin(), texts.end(), "") != texts.end())
      fail("a name in it is empty", "fill it in or take it out");
    return texts;
  }

  const TomlTable& table_;
  std::string_view key_;
  const std::filesystem::path& folder_;
};

// Each once, in the order of the settings.
std::vector<std::string_view> table_names() {
  std::vector<std::string_view> names;
  for (const Setting& setting : all_settings())
    if (std::find(names.begin(), names.end(), setting.table) == names.end())
      names.push_back(setting.table);
  return names;
}

std::vector<std::string_view> keys_of(std::string_view table) {
  std::vector<std::string_view> keys;
  for (const Setting& setting : all_settings())
    if (setting.table == table)
      keys.push_back(setting.key);
  return keys;
}

// A known key in the wrong table is a likelier slip than an unknown one.
void refuse_strays(const TomlTable& table, std::string_view name) {
  for (const Setting& setting : all_settings())
    if (setting.table != name && table.has(setting.key))
      table.fail(setting.key, fmt::format("'{}' does not belong here", setting.key),
                 fmt::format("move it to [{}]", setting.table));
}

}  // namespace

PlanRequest parse_piece(const std::string& text, const std::filesystem::path& file) {
  const std::string name = file.string();
  const toml::table root = parse_toml(text, name);
  const std::vector<std::string_view> tables = table_names();
  TomlTable(root, name, "piece file").only_tables(tables);

  PlanRequest request;
  request.piece_file = file;
  const std::filesystem::path folder = file.parent_path();
  for (const std::string_view table_name : tables) {
    const auto table = sub_table(root, table_name, name);
    if (!table)
      continue;
    refuse_strays(*table, table_name);
    table->only(keys_of(table_name));
    for (const Setting& setting : all_settings())
      if (setting.table == table_name && table->has(setting.key))
        setting.take(TomlAnswer(*table, setting.key, folder), request);
  }
  return request;
}

std::optional<std::string> place_in_piece(const std::string& text, const std::filesystem::path& file,
                                          std::string_view flag) {
  const Setting* setting = setting_of_flag(flag);
  if (setting == nullptr)
    return std::nullopt;
  try {
    const toml::table root = parse_toml(text, file.string());
    const auto table = sub_table(root, setting->table, file.string());
    if (table && table->has(setting->key))
      return table->place_of(setting->key);
  } catch (const Problem&) {
    // Then it says nothing.
  }
  return std::nullopt;
}

void refuse_unfinished_piece(const std::string& text, const std::filesystem::path& file,
                             const Missing& missing) {
  const Setting& setting = *setting_of_flag(missing.flag);
  const toml::table root = parse_toml(text, file.string());
  const auto table = sub_table(root, setting.table, file.string());
  throw Problem(ProblemKind::input, table ? table->place_of(setting.key) : file.string(),
                fmt::format("[{}]: '{}' is missing", setting.table, setting.key),
                fmt::format("add the line {} {}", missing.example,
                            table ? "there" : fmt::format("under a line [{}]", setting.table)));
}

}  // namespace powderplan
