// Fades in words, for the bench and for plan.json.
#pragma once

#include <string>

#include "layers/fade_bench.h"
#include "report/plan_record.h"

namespace powderplan {

// The fade behind a layer as it is laid, or nothing when it is no fade of the plan's separation.
std::optional<FadeBench> bench_of_fade(const PlanRecord& record, std::size_t layer);

// "⅛", "½", "full": a share of the load at the fullest place, in eighths where it is one, else in percent.
std::string shown_share(double share);

// "the top edge", "the middle", "the bottom left corner": by thirds of the piece.
std::string place_words(PointMm at, Millimetres width, Millimetres height);

// Where the fade is fullest and which way it thins out, one sentence: "From the top edge towards the bottom."
std::string course_words(const FadeBench& bench, Millimetres width, Millimetres height);

// The same of one place among several, as part of a sentence: "thins out downwards", "nearly even".
std::string place_course_words(const FadeWay& way);

// Along which edges of its template it ends crisply, one sentence: "Crisp along the bottom and right edges,
// thins out up and to the left." Empty for a free fade.
std::string edge_words(const FadeBench& bench);

// Light passes for a layer of this load: no more than two covers of grains in one, and at least one from each
// of four sides. An estimate of ours.
inline constexpr int fewest_passes = 4;
inline constexpr double covers_in_a_pass = 2;
int passes_for(Load load, const Powder& powder, Density density);

}  // namespace powderplan
