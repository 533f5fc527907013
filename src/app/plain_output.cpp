#include "app/plain_output.h"

#include "utf8.h"

namespace powderplan {

PlainOutput::PlainOutput(std::ostream& behind) : std::ostream(nullptr), lines_(behind) {
  rdbuf(&lines_);
}

PlainOutput::Lines::int_type PlainOutput::Lines::overflow(int_type c) {
  if (traits_type::eq_int_type(c, traits_type::eof()))
    return traits_type::not_eof(c);
  if (const char letter = traits_type::to_char_type(c); letter != '\n') {
    line_ += letter;
    return c;
  }
  behind_ << plain_text(line_) << '\n';
  line_.clear();
  return behind_.good() ? c : traits_type::eof();
}

int PlainOutput::Lines::sync() {
  behind_ << plain_text(line_) << std::flush;
  line_.clear();
  return behind_.good() ? 0 : -1;
}

}  // namespace powderplan
