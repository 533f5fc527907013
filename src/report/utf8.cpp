#include "report/utf8.h"

#include <cstdint>

namespace powderplan {

std::size_t utf8_length(std::string_view text) {
  if (text.empty())
    return 0;
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const std::uint8_t first = byte(0);
  if (first < 0x80)
    return 1;
  const std::size_t length = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2;
  if (first < 0xc2 || first > 0xf4 || text.size() < length)
    return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xc0) != 0x80)
      return 0;
  }
  // Overlong forms, surrogates, beyond U+10FFFF.
  const std::uint8_t second = byte(1);
  const bool bad = (first == 0xe0 && second < 0xa0) || (first == 0xed && second > 0x9f) ||
                   (first == 0xf0 && second < 0x90) || (first == 0xf4 && second > 0x8f);
  return bad ? 0 : length;
}

namespace {

// U+FDD0 to U+FDEF and the last two code points of every plane; `sequence` is valid UTF-8.
bool is_noncharacter(std::string_view sequence) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(sequence[i]); };
  if (sequence.size() == 3 && byte(0) == 0xef)
    return (byte(1) == 0xb7 && byte(2) >= 0x90 && byte(2) <= 0xaf) || (byte(1) == 0xbf && byte(2) >= 0xbe);
  return sequence.size() == 4 && (byte(1) & 0x0f) == 0x0f && byte(2) == 0xbf && byte(3) >= 0xbe;
}

}  // namespace

std::string plain_text(std::string_view text) {
  std::string plain;
  while (!text.empty()) {
    const std::size_t length = utf8_length(text);
    const auto first = static_cast<std::uint8_t>(text.front());
    if (length == 0 || is_noncharacter(text.substr(0, length)))
      plain += "\xef\xbf\xbd";
    else if (first < 0x20 || first == 0x7f || (first == 0xc2 && static_cast<std::uint8_t>(text[1]) < 0xa0))
      plain += ' ';
    else
      plain += text.substr(0, length);
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return plain;
}

std::string shortened(std::string text, const std::function<bool(const std::string&)>& fits) {
  if (fits(text))
    return text;
  const std::string ellipsis = "\xe2\x80\xa6";
  while (!text.empty() && !fits(text + ellipsis)) {
    // The bytes that go on a character, then the one that begins it.
    while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xc0) == 0x80)
      text.pop_back();
    if (!text.empty())
      text.pop_back();
  }
  return text + ellipsis;
}

}  // namespace powderplan
