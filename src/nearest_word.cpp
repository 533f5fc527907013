#include "nearest_word.h"

#include <algorithm>
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

}  // namespace

std::optional<std::string_view> nearest_word(std::string_view word, std::span<const std::string_view> known) {
  std::optional<std::string_view> nearest;
  std::size_t fewest = std::min(most_edits + 1, word.size());
  for (const std::string_view candidate : known) {
    const std::size_t edits = edits_between(word, candidate);
    if (edits < fewest) {
      fewest = edits;
      nearest = candidate;
    }
  }
  return nearest;
}

}  // namespace powderplan
