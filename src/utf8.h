// Text from users made fit for pages, drawings, tables and terminals: valid UTF-8 that controls nothing.
#pragma once

#include <functional>
#include <string>
#include <string_view>

namespace powderplan {

// Length of the UTF-8 sequence at the start of `text`; 0 when there is none that RFC 3629 allows.
std::size_t utf8_length(std::string_view text);

// Control characters and Unicode's own line ends (U+2028, U+2029) become spaces; bytes that are no UTF-8, and
// Unicode's noncharacters, at which cairo stops and which XML forbids in part, become U+FFFD. Marks that turn
// the order of the words round (embeddings, overrides and isolates of UAX #9) are left out: they would reach
// beyond the name that holds them. Scripts that run from right to left need none of these.
std::string plain_text(std::string_view text);

// The text itself when it fits, else so much of its beginning, in whole characters, as fits with an ellipsis.
// What is shorter than something that fits must fit too; `fits` is asked a few times even of a long text.
std::string shortened(std::string text, const std::function<bool(const std::string&)>& fits);

}  // namespace powderplan
