#include "report/plan_totals.h"

#include <fmt/format.h>

#include <cmath>
#include <map>

#include "json_reader.h"
#include "report/plan_json.h"
#include "utf8.h"

namespace powderplan {
namespace {

constexpr Range grams{0, 1e9, "g"};
constexpr Range counts{1, 10000};
// Of sums that were computed in another order.
constexpr double rounding = 1e-6;

struct Total {
  double lands = 0, sift = 0, used = 0;
};

Total total_of(const JsonPart& part) {
  const Total total{part.number("lands_g", grams), part.number("sift_g", grams),
                    part.number("used_g", grams)};
  const double slack = rounding * (1 + total.sift);
  if (total.used < total.lands - slack || total.used > total.sift + slack)
    part.fail(fmt::format("'used_g' is {}, and {} g land of {} g", total.used, total.lands, total.sift),
              "make the plan anew");
  return total;
}

// Share of what does not land that does not come back either.
double lost_share(const Total& total) {
  const double beside = total.sift - total.lands;
  return beside > rounding * (1 + total.sift) ? std::min(1.0, (total.used - total.lands) / beside) : 0;
}

}  // namespace

PlanTotals parse_plan_totals(const std::string& text, const std::string& file) {
  const nlohmann::json document = parse_json(text, file, plan_schema, {"a plan", "make the plan again"});
  const JsonPart root(document, file, "");
  PlanTotals plan;
  plan.title = plain_text(root.object("piece").text("title"));
  std::vector<bool> done;
  for (const JsonPart& firing : root.objects("firings", "firing"))
    done.push_back(firing.has("done") && firing.truth("done"));
  plan.firings = static_cast<int>(done.size());

  std::map<std::string, Total> totals, sums;
  for (const JsonPart& part : root.objects("totals", "total"))
    if (!totals.emplace(part.text("powder"), total_of(part)).second)
      part.fail("its powder has a total already", "make the plan anew");
  for (const JsonPart& part : root.objects("layers", "layer")) {
    PlannedLayer layer{.index = part.whole("index", counts),
                       .firing = part.whole("firing", counts),
                       .powder = part.text("powder"),
                       .used = {},
                       .sift = Grams(part.number("sift_g", grams))};
    const double lands = part.number("lands_g", grams);
    const auto total = totals.find(layer.powder);
    if (layer.index != static_cast<int>(plan.layers.size()) + 1)
      part.fail(fmt::format("'index' is {}", layer.index), "layers are counted from 1; make the plan anew");
    if (layer.firing > plan.firings)
      part.fail(fmt::format("'firing' is {}, and the plan has {}", layer.firing, plan.firings),
                "make the plan anew");
    if (total == totals.end())
      part.fail(fmt::format("its powder \"{}\" has no total", layer.powder), "make the plan anew");
    // What is fired already asks nothing of the jars any more.
    if (done[static_cast<std::size_t>(layer.firing - 1)])
      layer.sift = Grams(0);
    else
      layer.used = Grams(lands + (layer.sift.value() - lands) * lost_share(total->second));
    sums[layer.powder].used += layer.used.value();
    plan.layers.push_back(std::move(layer));
  }
  for (const auto& [powder, total] : totals)
    if (std::abs(sums[powder].used - total.used) > rounding * (1 + total.used))
      root.fail(fmt::format("the layers of {} use {} g, and its total is {} g", powder, sums[powder].used,
                            total.used),
                "make the plan anew");
  return plan;
}

}  // namespace powderplan
