#include "nearest_word.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace powderplan {
namespace {

constexpr std::size_t most_edits = 2;

std::size_t edits_between(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j)
    row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({above + 1, row[j - 1] + 1, diagonal + (a[i - 1] == b[j - 1] ? 0 : 1)});
      diagonal = above;
    }
  }
  return row[b.size()];
}

// How many letters two words share at their beginning.
std::ptrdiff_t same_start(std::string_view a, std::string_view b) {
  return std::mismatch(a.begin(), a.end(), b.begin(), b.end()).first - a.begin();
}

}  // namespace

std::optional<std::string_view> nearest_word(std::string_view word, std::span<const std::string_view> known) {
  const auto distance = [word](std::string_view candidate) {
    return std::pair(edits_between(word, candidate), -same_start(word, candidate));
  };
  const auto nearest =
      std::min_element(known.begin(), known.end(), [&](auto a, auto b) { return distance(a) < distance(b); });
  if (nearest == known.end())
    return std::nullopt;
  const std::size_t edits = distance(*nearest).first;
  return edits <= most_edits && 2 * edits <= word.size() ? std::optional(*nearest) : std::nullopt;
}

}  // namespace powderplan
