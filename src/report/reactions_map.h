// Where glasses of the plan react.
#pragma once

#include "report/preview.h"

namespace powderplan {

// The finished piece in pale grey. Where one of a pair lies on the other it is hatched, their common borders
// are thick black lines in a white rim, and the letter of the pair (report/reaction_words.h) stands in a box
// at its largest places. All of it can be told apart without colour. Enlarged by a whole factor where the
// grid is coarse, so that the letters have room.
Image<Rgb8> reactions_drawing(const PlanRecord& record);

// The same with a strip below it that says which letter is which pair and how much of it there is. As wide as
// the drawing. The record must have a pair that is told.
Image<Rgb8> reactions_map(const PlanRecord& record);

}  // namespace powderplan
