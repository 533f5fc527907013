#include "report/page_paragraphs.h"

#include <fmt/format.h>

#include <optional>

#include "problem.h"

namespace powderplan {
namespace {

class PartReader {
 public:
  PartReader(std::string_view html, std::string_view name) : rest_(html), name_(name) {}

  std::vector<PageParagraph> read() {
    while (!rest_.empty()) {
      const std::size_t mark = rest_.find('<');
      text(rest_.substr(0, mark));
      rest_.remove_prefix(std::min(mark, rest_.size()));
      if (rest_.empty())
        break;
      const std::size_t end = rest_.find('>');
      if (end == std::string_view::npos)
        refuse("a mark does not end");
      tag(rest_.substr(1, end - 1));
      rest_.remove_prefix(end + 1);
    }
    if (!open_.empty() || in_list_)
      refuse("not all that is opened is closed");
    return std::move(paragraphs_);
  }

 private:
  [[noreturn]] void refuse(const std::string& why) const {
    throw Problem(ProblemKind::other, std::string(name_), "cannot be set on paper: " + why,
                  "build powderplan anew");
  }

  static bool is_blank(char c) { return c == ' ' || c == '\n' || c == '\t' || c == '\r'; }

  // Blanks and line feeds of the source are one blank, none at the ends of a line.
  void text(std::string_view text) {
    for (const char c : text) {
      if (!is_blank(c)) {
        if (!current_)
          refuse("words outside of a paragraph");
        if (blank_ && holds_words_)
          current_->words.text += ' ';
        current_->words.text += c;
        holds_words_ = true;
      }
      blank_ = is_blank(c);
    }
  }

  void tag(std::string_view tag) {
    if (tag.starts_with('/'))
      return close(tag.substr(1));
    if (tag == "p")
      return begin(ParagraphKind::words, "p", "");
    constexpr std::string_view with_class = "p class=\"";
    if (tag.starts_with(with_class) && tag.ends_with('"'))
      return begin(ParagraphKind::words, "p",
                   tag.substr(with_class.size(), tag.size() - with_class.size() - 1));
    if (tag == "h3")
      return begin(ParagraphKind::heading, "h3", "");
    if ((tag == "ul" || tag == "ul class=\"checks\"") && !in_list_ && !current_) {
      in_list_ = true;
      to_tick_ = tag != "ul";
      return;
    }
    if (tag == "li" && in_list_)
      return begin(to_tick_ ? ParagraphKind::check : ParagraphKind::item, "li", "");
    if (tag == "br" && current_)
      return line_feed();
    if ((tag == "b" || tag == "small") && current_)
      return within(tag);
    refuse(fmt::format("<{}>", tag));
  }

  void begin(ParagraphKind kind, std::string_view tag, std::string_view look) {
    if (current_ || in_list_ != (tag == "li"))
      refuse(fmt::format("<{}> in another", tag));
    current_ = PageParagraph{kind, std::string(look), {}};
    open_.emplace_back(tag);
    holds_words_ = blank_ = false;
  }

  void line_feed() {
    current_->words.text += '\n';
    holds_words_ = false;
  }

  void within(std::string_view tag) {
    if (blank_ && holds_words_)
      current_->words.text += ' ';
    blank_ = false;
    current_->words.text += fmt::format("<{}>", tag);
    open_.emplace_back(tag);
  }

  void close(std::string_view tag) {
    if (tag == "ul" && in_list_ && !current_) {
      in_list_ = false;
      return;
    }
    if (open_.empty() || open_.back() != tag)
      refuse(fmt::format("</{}> closes nothing", tag));
    open_.pop_back();
    if (!open_.empty()) {
      current_->words.text += fmt::format("</{}>", tag);
      return;
    }
    if (!current_->words.text.empty())
      paragraphs_.push_back(*std::move(current_));
    current_.reset();
  }

  std::string_view rest_, name_;
  std::vector<PageParagraph> paragraphs_;
  std::optional<PageParagraph> current_;
  std::vector<std::string> open_;
  bool in_list_ = false, to_tick_ = false;
  bool blank_ = false, holds_words_ = false;  // in the current line
};

}  // namespace

std::vector<PageParagraph> paragraphs_of(std::string_view html, std::string_view name) {
  return PartReader(html, name).read();
}

}  // namespace powderplan
