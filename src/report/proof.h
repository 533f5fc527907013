// The proof: one page on which a client sees and agrees to what will be made.
#pragma once

#include "report/plan_record.h"

namespace powderplan {

// An A4 page, upright, at proof_pitch: the predicted piece in the light that the plan is for, a part of it at
// true size, what it is made of, how near its colours will come, what is left to the hand, and a place for a
// signature.
Image<Rgb8> proof(const PlanRecord& record);

// 150 points an inch.
inline constexpr Millimetres proof_pitch{25.4 / 150};

}  // namespace powderplan
