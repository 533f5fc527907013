#include "report/grain_form.h"

#include <algorithm>
#include <cmath>

namespace powderplan {
namespace {

// Longest over shortest diameter of a grain, at most.
constexpr double longest_cold = 1.5, longest_melted = 1.2;
// How much of its radius the edge of a fully melted grain takes, to both sides. Below sqrt(3)/2, where the
// edge would reach the middle.
constexpr double softest_edge = 0.8, hardest_edge = 0.04, widest_edge = 0.86;

}  // namespace

GrainForm form_of(const GrainKind& kind, double step) {
  GrainForm form{};
  form.angular = kind.values.matte >= 1;
  form.most_stretch = form.angular ? longest_cold : longest_melted;
  form.radius = spread_diameter(kind).value() / 2;
  const double melted = 1 - kind.values.matte;
  const double soft = hardest_edge + (softest_edge - hardest_edge) * melted * std::sqrt(melted);
  form.edge = std::min(widest_edge, std::max(soft, step / 2 / form.radius));
  return form;
}

double radius_with_edge(double edge) {
  return 1 / std::sqrt(1 + edge * edge / 3);
}

}  // namespace powderplan
