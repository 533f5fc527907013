// Typed reading of a TOML table, with the user's file and line in every complaint.
#pragma once

#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

// Errors are values here: toml++ without exceptions would need another build of it everywhere.
#include <toml++/toml.h>

#include "colour/spectrum.h"
#include "colour/tristimulus.h"
#include "problem.h"
#include "range.h"

namespace powderplan {

class TomlTable {
 public:
  // `title` names the table in messages, e.g. "[[powder]] samphire".
  TomlTable(const toml::table& table, std::string file, std::string title);

  // What `fail` throws: its place is the key's line.
  [[nodiscard]] Problem fault(std::string_view key, const std::string& wrong,
                              const std::string& remedy) const;
  [[noreturn]] void fail(std::string_view key, const std::string& wrong, const std::string& remedy) const;
  // "file:line" of a key; of the table when the key is absent.
  [[nodiscard]] std::string place_of(std::string_view key) const;
  // Fails on the first key that is not listed.
  void only(std::span<const std::string_view> known) const;
  void only(std::initializer_list<std::string_view> known) const {
    only(std::span<const std::string_view>(known.begin(), known.size()));
  }

  // The same of a whole file: fails on the first table that is not listed, and on keys outside all tables.
  void only_tables(std::span<const std::string_view> known) const;
  void only_tables(std::initializer_list<std::string_view> known) const {
    only_tables(std::span<const std::string_view>(known.begin(), known.size()));
  }

  [[nodiscard]] bool has(std::string_view key) const { return table_.contains(key); }
  [[nodiscard]] std::optional<std::string> text(std::string_view key) const;
  [[nodiscard]] std::optional<double> number(std::string_view key, Range range) const;
  [[nodiscard]] std::optional<int> whole(std::string_view key, Range range) const;
  [[nodiscard]] std::optional<bool> yes_no(std::string_view key) const;
  [[nodiscard]] std::optional<Rgb8> colour(std::string_view key) const;
  [[nodiscard]] std::optional<Spectrum> spectrum(std::string_view key) const;
  [[nodiscard]] std::optional<std::vector<double>> numbers(std::string_view key, std::size_t count,
                                                           Range range) const;
  // Lists of two numbers each.
  [[nodiscard]] std::optional<std::vector<std::pair<double, double>>> pairs(std::string_view key,
                                                                            Range range) const;
  [[nodiscard]] std::optional<std::vector<std::string>> texts(std::string_view key) const;
  // A single text counts as a list of one.
  [[nodiscard]] std::optional<std::vector<std::string>> text_or_texts(std::string_view key) const;

  // As above, but the key must be there.
  [[nodiscard]] std::string need_text(std::string_view key) const;
  [[nodiscard]] double need_number(std::string_view key, Range range) const;
  [[nodiscard]] Rgb8 need_colour(std::string_view key) const;

  void retitle(std::string title) { title_ = std::move(title); }
  [[nodiscard]] const std::string& file() const { return file_; }

 private:
  [[nodiscard]] const toml::node* node(std::string_view key) const { return table_.get(key); }
  [[noreturn]] void fail_at(const toml::node& at, const std::string& wrong, const std::string& remedy) const;
  // `what` names the number in messages.
  [[nodiscard]] double checked_number(std::string_view what, const toml::node& node, Range range) const;
  const toml::table& table_;
  std::string file_, title_;
};

// Parses the text; throws Problem (input) with file and line when it is not TOML.
toml::table parse_toml(const std::string& text, const std::string& file);
// The table of this name. Fails when the key is something else; empty when it is absent.
std::optional<TomlTable> sub_table(const toml::table& root, std::string_view key, const std::string& file);
// The tables of [[key]]; none when it is absent.
std::vector<TomlTable> table_list(const toml::table& root, std::string_view key, const std::string& file);

}  // namespace powderplan
