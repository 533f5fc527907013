#include "glass/toml_text.h"

#include <algorithm>

namespace powderplan {
namespace {

constexpr std::string_view byte_order_mark = "\xef\xbb\xbf";

class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {
    if (text_.starts_with(byte_order_mark))
      at_ = byte_order_mark.size();
  }

  std::vector<TomlTablePlace> tables() {
    std::vector<TomlTablePlace> tables(1);
    while (at_ < text_.size()) {
      const std::size_t begin = at_;
      blanks();
      if (ended() || text_[at_] == '\n' || text_[at_] == '\r' || text_[at_] == '#') {
        line_end();
      } else if (text_[at_] == '[') {
        TomlTablePlace table;
        table.line_begin = begin;
        table.listed = text_.substr(at_).starts_with("[[");
        at_ += table.listed ? 2 : 1;
        table.name = key(']');
        at_ = std::min(text_.size(), at_ + (table.listed ? 2 : 1));
        table.line_end = line_end();
        tables.push_back(std::move(table));
      } else {
        TomlKeyPlace place;
        place.line_begin = begin;
        place.key = key('=');
        at_ = std::min(text_.size(), at_ + 1);
        blanks();
        place.value_begin = at_;
        place.value_end = value();
        place.line_end = line_end();
        tables.back().keys.push_back(std::move(place));
      }
    }
    return tables;
  }

  std::size_t value_from(std::size_t begin) {
    at_ = begin;
    return value();
  }

 private:
  [[nodiscard]] bool ended() const { return at_ >= text_.size(); }

  void blanks() {
    while (!ended() && (text_[at_] == ' ' || text_[at_] == '\t'))
      ++at_;
  }

  // Goes behind the next line break.
  std::size_t line_end() {
    const std::size_t found = text_.find('\n', at_);
    at_ = found == std::string_view::npos ? text_.size() : found + 1;
    return at_;
  }

  // Up to `stop`, which is not taken.
  std::string key(char stop) {
    std::string name;
    while (!ended() && text_[at_] != stop) {
      const char c = text_[at_];
      if (c == '"' || c == '\'') {
        const std::size_t from = at_ + 1;
        string();
        name += text_.substr(from, at_ - from - 1);
      } else {
        if (c != ' ' && c != '\t')
          name += c;
        ++at_;
      }
    }
    return name;
  }

  void string() {
    const char quote = text_[at_];
    const std::string triple(3, quote);
    const bool lines = text_.substr(at_).starts_with(triple);
    at_ += lines ? 3 : 1;
    while (!ended()) {
      if (quote == '"' && text_[at_] == '\\') {
        at_ += 2;
      } else if (lines && text_.substr(at_).starts_with(triple)) {
        // Up to two quotes more belong to the text before the closing three.
        at_ += 3;
        for (int more = 0; more < 2 && !ended() && text_[at_] == quote; ++more)
          ++at_;
        return;
      } else if (!lines && text_[at_] == quote) {
        ++at_;
        return;
      } else {
        ++at_;
      }
    }
    at_ = text_.size();
  }

  std::size_t value() {
    if (ended())
      return at_;
    if (text_[at_] == '"' || text_[at_] == '\'') {
      string();
      return at_;
    }
    if (text_[at_] == '[' || text_[at_] == '{') {
      brackets();
      return at_;
    }
    const std::size_t from = at_, found = text_.find_first_of("#\r\n", from);
    std::size_t end = found == std::string_view::npos ? text_.size() : found;
    while (end > from && (text_[end - 1] == ' ' || text_[end - 1] == '\t'))
      --end;
    at_ = end;
    return end;
  }

  void brackets() {
    std::size_t depth = 0;
    while (!ended()) {
      const char c = text_[at_];
      if (c == '"' || c == '\'') {
        string();
      } else if (c == '#') {
        line_end();
      } else {
        ++at_;
        if (c == '[' || c == '{')
          ++depth;
        else if ((c == ']' || c == '}') && --depth == 0)
          return;
      }
    }
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

}  // namespace

std::vector<TomlTablePlace> tables_in(std::string_view text) {
  return Scanner(text).tables();
}

std::size_t end_of_toml_value(std::string_view text, std::size_t begin) {
  return Scanner(text).value_from(begin);
}

}  // namespace powderplan
