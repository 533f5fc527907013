// What a person wrote for one setting, whether in a piece file or behind a flag.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

#include "colour/tristimulus.h"
#include "problem.h"
#include "range.h"

namespace powderplan {

// Every call throws Problem, naming the place where it was written, when the answer is not of that shape or
// a number is outside its range or not finite.
class Answer {
 public:
  virtual ~Answer() = default;
  [[nodiscard]] virtual std::string text() const = 0;  // never empty
  [[nodiscard]] virtual double number(Range range) const = 0;
  [[nodiscard]] virtual int whole(Range range) const = 0;
  [[nodiscard]] virtual std::vector<double> numbers(std::size_t count, Range range) const = 0;
  [[nodiscard]] virtual std::vector<std::string> texts() const = 0;  // none empty
  // Relative names are completed from the folder that the answer speaks of.
  [[nodiscard]] virtual std::filesystem::path file() const = 0;
  [[nodiscard]] virtual std::vector<std::filesystem::path> files() const = 0;  // at least one
  // "#rrggbb".
  [[nodiscard]] Rgb8 colour() const;
  // For what only the setting itself can judge.
  [[noreturn]] void fail(const std::string& wrong, const std::string& remedy) const {
    throw fault(wrong, remedy);
  }

 protected:
  // A fault at the place where this answer was written.
  [[nodiscard]] virtual Problem fault(const std::string& wrong, const std::string& remedy) const = 0;
  Answer() = default;
  Answer(const Answer&) = default;
  Answer& operator=(const Answer&) = default;
};

}  // namespace powderplan
