#include "utf8.h"

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <vector>

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

// C0 and C1 of ISO 6429, the delete character, and Unicode's line and paragraph separators.
bool is_control(std::string_view sequence) {
  const auto first = static_cast<std::uint8_t>(sequence.front());
  return first < 0x20 || first == 0x7f || (first == 0xc2 && static_cast<std::uint8_t>(sequence[1]) < 0xa0) ||
         sequence == "\u2028" || sequence == "\u2029";
}

// U+202A to U+202E and U+2066 to U+2069 (UAX #9, 2.1 to 2.5).
bool turns_the_order(std::string_view sequence) {
  return (sequence >= "\u202a" && sequence <= "\u202e") || (sequence >= "\u2066" && sequence <= "\u2069");
}

bool goes_on(char c) {
  return (static_cast<unsigned char>(c) & 0xc0) == 0x80;
}

}  // namespace

std::string plain_text(std::string_view text) {
  std::string plain;
  while (!text.empty()) {
    const std::size_t length = utf8_length(text);
    const std::string_view sequence = text.substr(0, length);
    if (length == 0 || is_noncharacter(sequence))
      plain += "\ufffd";
    else if (is_control(sequence))
      plain += ' ';
    else if (!turns_the_order(sequence))
      plain += sequence;
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return plain;
}

std::string shortened(std::string text, const std::function<bool(const std::string&)>& fits) {
  if (fits(text))
    return text;
  std::vector<std::size_t> ends;  // of so many characters
  for (std::size_t i = 0; i < text.size(); ++i)
    if (!goes_on(text[i]))
      ends.push_back(i);
  const auto cut = [&](std::size_t end) { return text.substr(0, end) + "\u2026"; };
  // The first that does not fit; of nothing else is left, nothing is asked.
  const auto too_long =
      std::partition_point(ends.begin(), ends.end(), [&](std::size_t end) { return fits(cut(end)); });
  return cut(too_long == ends.begin() ? 0 : *std::prev(too_long));
}

}  // namespace powderplan
