// Sizes of paper that printers take.
#pragma once

#include <array>
#include <string_view>

#include "units.h"

namespace powderplan {

struct Paper {
  std::string_view name;
  Millimetres width, height;  // upright
};

// ISO 216 (A series) and ANSI/ASME Y14.1 (A and B, 8 1/2 by 11 and 11 by 17 inches).
inline constexpr Paper paper_a4{"A4", Millimetres(210), Millimetres(297)};
inline constexpr Paper paper_a3{"A3", Millimetres(297), Millimetres(420)};
inline constexpr Paper paper_letter{"Letter", Millimetres(215.9), Millimetres(279.4)};
inline constexpr Paper paper_tabloid{"Tabloid", Millimetres(279.4), Millimetres(431.8)};
inline constexpr std::array<Paper, 4> papers{paper_a4, paper_a3, paper_letter, paper_tabloid};

}  // namespace powderplan
