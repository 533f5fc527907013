// A palette that uses every key, for tests to change one thing in.
#pragma once

#include <gtest/gtest.h>

#include <string>

namespace powderplan {

inline const std::string good_palette = R"([palette]
name = "Studio shelf"
note = "north wall"
family = "A"

[glass]
strain_c = 481
annealing_c = 516
softening_c = 677
expansion_per_k = 9.1e-6
density_g_cm3 = 2.52

[[powder]]
id = "samphire"
name = "Samphire green"
body = "opalescent"
over_white = "#3c8c50"
over_black = "#36784a"
load = 0.5
grain_mm = 0.08
stock_g = 120
price_per_100g = 9.5
carries = ["copper"]
reacts_with = ["sulphur", "lead"]
strikes = true
unfired = "#c0d8c4"

[[powder]]
id = "inkwell"
body = "transparent"
over_white = "#1a2a6e"
over_black = "#050814"

[[sheet]]
id = "clear"
name = "Clear, 4 mm"
body = "transparent"
thickness_mm = 4
over_white = "#f0f2f0"
over_black = "#020202"
)";

// The good palette with the first `from` replaced by `to`.
inline std::string changed(const std::string& from, const std::string& to,
                           const std::string& text = good_palette) {
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return at == std::string::npos ? text : text.substr(0, at) + to + text.substr(at + from.size());
}

// A TOML list of `count` numbers, the last of them as given.
inline std::string list_of(int count, const std::string& last = "1.5") {
  std::string text = "[";
  for (int i = 1; i < count; ++i)
    text += "1.5, ";
  return text + last + "]";
}

}  // namespace powderplan
