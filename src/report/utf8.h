// Text from users made fit for pages: valid UTF-8 without control characters.
#pragma once

#include <functional>
#include <string>
#include <string_view>

namespace powderplan {

// Length of the UTF-8 sequence at the start of `text`; 0 when there is none that RFC 3629 allows.
std::size_t utf8_length(std::string_view text);

// Control characters become spaces; bytes that are no UTF-8, and Unicode's noncharacters, at which cairo
// stops and which XML forbids in part, become U+FFFD.
std::string plain_text(std::string_view text);

// The text itself when it fits, else so much of its beginning, in whole characters, as fits with an ellipsis.
std::string shortened(std::string text, const std::function<bool(const std::string&)>& fits);

}  // namespace powderplan
