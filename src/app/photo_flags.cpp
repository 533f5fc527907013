#include "app/photo_flags.h"

#include <fmt/format.h>

#include <optional>

#include "photo/chart_file.h"
#include "plan/flag_answer.h"

namespace powderplan {
namespace {

constexpr Range photo_places{0, 1e5};
constexpr Range reflections{0.05, 1};

WhiteReference reference_of(const std::vector<std::string>& said) {
  if (said.empty())
    return PaperReference{};
  const FlagAnswer answer("--reference", said);
  const std::string text = answer.text();
  const std::size_t equals = text.find('=');
  const std::string kind = text.substr(0, equals);
  std::optional<double> reflects;
  if (equals != std::string::npos && (kind == "grey" || kind == "paper"))
    reflects = FlagAnswer("--reference " + kind, {text.substr(equals + 1)}).number(reflections);
  if (kind == "grey")
    return reflects ? NeutralReference{*reflects} : NeutralReference{};
  if (kind == "paper")
    return reflects ? PaperReference{*reflects} : PaperReference{};
  if (answer.file().extension() == ".csv")
    return read_chart(answer.file());
  answer.fail(fmt::format("\"{}\" is none of its values", text),
              "choose paper, paper=0.85, grey, grey=0.18, or the CSV file of a printed chart");
}

}  // namespace

std::array<PhotoPoint, 4> four_places(const std::string& flag, const std::vector<std::string>& said) {
  std::array<PhotoPoint, 4> places;
  const std::vector<double> at = FlagAnswer(flag, said).numbers(2 * places.size(), photo_places);
  for (std::size_t i = 0; i < places.size(); ++i)
    places[i] = {at[2 * i], at[2 * i + 1]};
  return places;
}

PhotoRules photo_rules(const std::vector<std::string>& marks, const std::vector<std::string>& reference) {
  PhotoRules rules;
  rules.reference = reference_of(reference);
  if (!marks.empty())
    rules.marks = four_places("--marks", marks);
  return rules;
}

}  // namespace powderplan
