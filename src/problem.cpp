#include "problem.h"

#include <utility>

namespace powderplan {
namespace {

// File names and palette texts may hold line breaks and control characters; a message is one line.
std::string on_one_line(std::string text) {
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f)
      c = ' ';
  }
  return text;
}

}  // namespace

Problem::Problem(ProblemKind kind, std::string place, std::string wrong, std::string remedy)
    : kind_(kind),
      place_(on_one_line(std::move(place))),
      wrong_(on_one_line(std::move(wrong))),
      remedy_(on_one_line(std::move(remedy))),
      line_(place_ + ": " + wrong_ + (remedy_.empty() ? "" : "; " + remedy_)) {}

}  // namespace powderplan
