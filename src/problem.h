// What the library throws when it cannot go on: where, what is wrong, and what to do about it.
#pragma once

#include <exception>
#include <string>

namespace powderplan {

enum class ProblemKind {
  command_line,  // an option or its value
  input,         // a picture, palette or piece file
  infeasible,    // the limits cannot be met together
  other,         // disk, permissions, a fault of ours
};

class Problem : public std::exception {
 public:
  // `place` names the file and, where there is one, the line ("shelf.toml:12") or the option
  // ("--width"); `wrong` says what is wrong there, `remedy` what the user can do.
  // All three are plain text without a final full stop.
  Problem(ProblemKind kind, std::string place, std::string wrong, std::string remedy);

  [[nodiscard]] ProblemKind kind() const { return kind_; }
  [[nodiscard]] const std::string& place() const { return place_; }
  [[nodiscard]] const std::string& wrong() const { return wrong_; }
  [[nodiscard]] const std::string& remedy() const { return remedy_; }
  // One line: "place: wrong; remedy".
  [[nodiscard]] const char* what() const noexcept override { return line_.c_str(); }

 private:
  ProblemKind kind_;
  std::string place_, wrong_, remedy_, line_;
};

}  // namespace powderplan
