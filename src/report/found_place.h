// What lay under a name when the work began, so that at its end nothing else than that is replaced.
#pragma once

#include <filesystem>

namespace powderplan {

class FoundPlace {
 public:
  // Looks; a link at the place is not followed. What is there is held until this goes, so that nothing that
  // comes later can be taken for it. Throws Problem (other) where nobody may look.
  explicit FoundPlace(std::filesystem::path place);
  ~FoundPlace();
  FoundPlace(FoundPlace&& other) noexcept;
  FoundPlace(const FoundPlace&) = delete;
  FoundPlace& operator=(const FoundPlace&) = delete;
  FoundPlace& operator=(FoundPlace&&) = delete;

  [[nodiscard]] bool was_there() const { return held_ >= 0; }
  // Whether what was found lies at `where` now, the place itself or another.
  [[nodiscard]] bool lies_at(const std::filesystem::path& where) const;
  // Throws Problem (other) where something lies at the place now that was not found there: another run's,
  // or somebody's. Returns whether the place is free.
  [[nodiscard]] bool need_untouched() const;
  // That Problem.
  [[noreturn]] void refuse() const;

 private:
  std::filesystem::path place_;
  int held_ = -1;
};

}  // namespace powderplan
