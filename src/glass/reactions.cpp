#include "glass/reactions.h"

#include <algorithm>
#include <iterator>
#include <set>

namespace powderplan {
namespace {

std::set<std::string> in_lower_case(const std::vector<std::string>& words) {
  std::set<std::string> lower;
  for (std::string word : words) {
    std::transform(word.begin(), word.end(), word.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    lower.insert(std::move(word));
  }
  return lower;
}

// What a glass brings along and what it darkens with.
struct Chemistry {
  std::set<std::string> carries, reacts_with;
};

template <class Glass>
Chemistry chemistry_of(const Glass& glass) {
  return {in_lower_case(glass.carries), in_lower_case(glass.reacts_with)};
}

std::vector<std::string> between(const Chemistry& a, const Chemistry& b) {
  std::set<std::string> both;
  for (const auto& [carrier, other] : {std::pair{&a, &b}, std::pair{&b, &a}})
    std::set_intersection(carrier->carries.begin(), carrier->carries.end(), other->reacts_with.begin(),
                          other->reacts_with.end(), std::inserter(both, both.end()));
  return {both.begin(), both.end()};
}

}  // namespace

std::vector<Reaction> reactions_of(const Palette& palette) {
  std::vector<Chemistry> powders, sheets;
  for (const Powder& powder : palette.powders)
    powders.push_back(chemistry_of(powder));
  for (const Sheet& sheet : palette.sheets)
    sheets.push_back(chemistry_of(sheet));
  std::vector<Reaction> with_powders, with_sheets;
  for (std::size_t a = 0; a < powders.size(); ++a) {
    for (std::size_t b = a + 1; b < powders.size(); ++b) {
      if (std::vector<std::string> cause = between(powders[a], powders[b]); !cause.empty())
        with_powders.push_back({a, b, {}, std::move(cause)});
    }
    for (std::size_t b = 0; b < sheets.size(); ++b) {
      if (std::vector<std::string> cause = between(powders[a], sheets[b]); !cause.empty())
        with_sheets.push_back({a, {}, b, std::move(cause)});
    }
  }
  with_powders.insert(with_powders.end(), with_sheets.begin(), with_sheets.end());
  return with_powders;
}

}  // namespace powderplan
