// What stands behind a flag on the command line.
#pragma once

#include "plan/answer.h"

namespace powderplan {

class FlagAnswer final : public Answer {
 public:
  // `said`: one text for each time the flag was given, at least one. Only when it `repeats` may there be
  // more.
  FlagAnswer(std::string flag, std::vector<std::string> said, bool repeats = false);

  std::string text() const override;
  double number(Range range) const override;
  int whole(Range range) const override;
  std::vector<double> numbers(std::size_t count, Range range) const override;  // commas between
  std::vector<std::string> texts() const override;                             // commas between
  std::filesystem::path file() const override;
  std::vector<std::filesystem::path> files() const override;  // a file's name may hold commas

 protected:
  Problem fault(const std::string& wrong, const std::string& remedy) const override;

 private:
  [[nodiscard]] double parsed(const std::string& text, Range range) const;

  std::string flag_;
  std::vector<std::string> said_;
};

}  // namespace powderplan
