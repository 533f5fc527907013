// Taking plans off the jars: the palettes' new text and the record of what was taken.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "glass/palette.h"
#include "report/plan_totals.h"
#include "report/taken_record.h"
#include "weigh/stock.h"

namespace powderplan {

// A plan with those of its layers that count.
struct StockPlan {
  std::string file, sha256, title;
  std::vector<PlannedLayer> layers;
};

struct StockPalette {
  std::string file;
  std::vector<std::uint8_t> bytes;  // as they were read
  Palette palette;
};

// Throws Problem (input).
StockPalette read_stock_palette(const std::string& file);

// What of it the records beside the palettes know already, in words; nothing when none. Throws Problem
// (input) for a damaged record.
std::vector<std::string> taken_before(const std::vector<StockPlan>& plans,
                                      const std::vector<StockPalette>& shelves);

// Writes the new stock into the palettes, and what was taken into the records. Returns what was done, in
// words. Callers hold the locks of the palettes' folders since they read them. Throws Problem, or
// Interrupted, and then all files are as they were: (command_line) a layer was taken before and `again` is
// false; (input) no jar has a stock to take from; (other) a file cannot be written.
std::vector<std::string> take_off(const std::vector<StockPlan>& plans,
                                  const std::vector<StockPalette>& shelves, const std::vector<JarState>& jars,
                                  const Palette& palette, bool again);

}  // namespace powderplan
