// Which layers of which plans have been taken off the jars: a small file beside the palette, so that nothing
// is taken twice by accident, wherever a plan's folder is moved.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "units.h"

namespace powderplan {

struct TakenLayer {
  int layer = 0;  // of the plan, from 1
  std::string powder;
  Grams grams;
};

struct TakenPlan {
  std::string plan_sha256;  // of its plan.json: the same plan is known again under any name
  std::string title;
  std::vector<TakenLayer> layers;
};

// In the order in which they were taken.
using TakenRecord = std::vector<TakenPlan>;

// "shelf.taken.json" beside "shelf.toml"; links are followed, as where the palette is changed.
std::filesystem::path taken_record_of(const std::filesystem::path& palette);

// The number under "schema".
inline constexpr int taken_schema = 1;
std::string taken_json(const TakenRecord& record);
// Throws Problem (input), its place `file`.
TakenRecord parse_taken(const std::string& text, const std::string& file);

// How often this layer has been taken.
std::size_t times_taken(const TakenRecord& record, const std::string& plan_sha256, int layer);

}  // namespace powderplan
