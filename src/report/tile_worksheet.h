// The page beside the bench for a step tile.
#pragma once

#include <string>

#include "firing/schedule.h"
#include "glass/palette.h"
#include "measure/tile_plan.h"

namespace powderplan {

// The thicker of the two sheets, and the heaviest cell as solid glass: the schedule is for that.
Millimetres thickness_of_tile(const Palette& palette, const Tile& tile);
// A starting point for the tile's finish, for the middle grain of its powders.
Schedule schedule_of_tile(const Palette& palette, const Tile& tile);

// HTML that prints on one page of A4 and of Letter: what to cut, the cells with their grams and blanks for
// the real ones, how to sift, the schedule, how to take the photo, and the cautions beside all of it. Nothing
// in it is fetched from elsewhere. Needs the palette that the tile was planned from.
std::string tile_worksheet(const Palette& palette, const TilePlan& plan, const std::string& program_version);

}  // namespace powderplan
