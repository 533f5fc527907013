// The word that was probably meant, for "did you mean".
#pragma once

#include <optional>
#include <span>
#include <string_view>

namespace powderplan {

// The known word that differs from `word` by the fewest single-letter edits (insert, delete, replace); of
// several the one that begins most alike, then the first. Empty when it takes more than two, or more than
// half as many as the word has letters: that is another word.
std::optional<std::string_view> nearest_word(std::string_view word, std::span<const std::string_view> known);

}  // namespace powderplan
