#include "plan/flag_answer.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string_view>

namespace powderplan {
namespace {

std::vector<std::string> split_at_commas(const std::string& text) {
  std::vector<std::string> parts(1);
  for (const char c : text) {
    if (c == ',')
      parts.emplace_back();
    else
      parts.back() += c;
  }
  return parts;
}

}  // namespace

FlagAnswer::FlagAnswer(std::string flag, std::vector<std::string> said, bool repeats)
    : flag_(std::move(flag)), said_(std::move(said)) {
  if (said_.size() > 1 && !repeats)
    fail(fmt::format("is given {} times", said_.size()), "give it once");
  if (std::find(said_.begin(), said_.end(), "") != said_.end())
    fail("its value is empty", "fill it in or leave it out");
}

Problem FlagAnswer::fault(const std::string& wrong, const std::string& remedy) const {
  return {ProblemKind::command_line, flag_, wrong, remedy};
}

std::string FlagAnswer::text() const {
  return said_.front();
}

double FlagAnswer::parsed(const std::string& text, Range range) const {
  double value = 0;
  const char* const end = text.data() + text.size();
  // Unlike the older functions, this one never asks the locale how a decimal point looks.
  const auto [stopped, error] = std::from_chars(text.data(), end, value);
  const bool too_large = error == std::errc::result_out_of_range;
  if (stopped != end || (error != std::errc() && !too_large))
    fail(fmt::format("\"{}\" is no number", text), fmt::format("give a number, {}", text_of(range)));
  if (too_large || !std::isfinite(value) || !range.holds(value))
    fail(fmt::format("{} is out of range", text), fmt::format("it must be {}", text_of(range)));
  return value;
}

double FlagAnswer::number(Range range) const {
  return parsed(said_.front(), range);
}

int FlagAnswer::whole(Range range) const {
  const double value = number(range);
  if (value != std::floor(value))
    fail(fmt::format("{} is no whole number", said_.front()), fmt::format("it must be {}", text_of(range)));
  return static_cast<int>(value);
}

std::vector<double> FlagAnswer::numbers(std::size_t count, Range range) const {
  const std::vector<std::string> parts = split_at_commas(said_.front());
  if (parts.size() != count)
    fail(fmt::format("\"{}\" is not {} numbers", said_.front(), count),
         "write them without spaces, with commas between");
  std::vector<double> values;
  values.reserve(count);
  for (const std::string& part : parts)
    values.push_back(parsed(part, range));
  return values;
}

std::vector<std::string> FlagAnswer::texts() const {
  std::vector<std::string> all;
  for (const std::string& said : said_)
    for (std::string& part : split_at_commas(said)) {
      if (part.empty())
        fail(fmt::format("a name in \"{}\" is empty", said),
             "write them without spaces, with commas between");
      all.push_back(std::move(part));
    }
  return all;
}

std::filesystem::path FlagAnswer::file() const {
  return said_.front();
}

std::vector<std::filesystem::path> FlagAnswer::files() const {
  return {said_.begin(), said_.end()};
}

}  // namespace powderplan
