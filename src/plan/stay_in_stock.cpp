#include "plan/stay_in_stock.h"

#include <fmt/format.h>

#include <algorithm>

#include "problem.h"
#include "spoken.h"

namespace powderplan {
namespace {

// CIEDE2000 for each g/cm2: a thin coat of 0.1 g/cm2 costs 0.4 at first.
constexpr double first_price = 4, dearest = 150;
constexpr double least_rise = 1.6, most_rise = 5;
constexpr int coarse_rounds = 6, fine_rounds = 8;
// From this round of the fine grid on no price helps: a powder that is still short is left out.
constexpr int round_of_leaving_out = 2;
// On the coarse grid the plan must stay this much below what there is: the fine one weighs a little
// differently.
constexpr double kept_back = 0.03;
// Half the smallest width is as coarse as a plan can be that respects it.
constexpr double coarse_pitch_in_widths = 0.5;

struct Shortage {
  std::string id;
  double needed = 0, held = 0;  // g
};

std::vector<Shortage> shortages(const PlanRecord& record, double kept_back_share) {
  std::vector<Shortage> list;
  for (const PowderTotal& total : record.weights.totals) {
    if (!total.stock || total.lands <= Grams(0))
      continue;
    // What the jar must hold at the busiest step.
    const double held = total.stock->value();
    const double needed = total.short_of > Grams(0) ? held + total.short_of.value() : total.sift.value();
    if (total.short_of > Grams(0) || (kept_back_share > 0 && needed > held * (1 - kept_back_share) &&
                                      total.used.value() > held * (1 - kept_back_share)))
      list.push_back({record.palette.powders[total.powder].id, needed, held});
  }
  // The one that lacks most first.
  std::stable_sort(list.begin(), list.end(), [](const Shortage& a, const Shortage& b) {
    return a.needed * b.held > b.needed * a.held;
  });
  return list;
}

double& price_of(PlanRequest& request, const std::string& id) {
  const auto at = std::find_if(request.dear.begin(), request.dear.end(),
                               [&](const auto& entry) { return entry.first == id; });
  if (at != request.dear.end())
    return at->second;
  return request.dear.emplace_back(id, 0.0).second;
}

void leave_out(PlanRequest& request, const Shortage& shortage) {
  std::erase_if(request.dear, [&](const auto& entry) { return entry.first == shortage.id; });
  if (std::find(request.use.begin(), request.use.end(), shortage.id) != request.use.end())
    throw Problem(
        ProblemKind::infeasible, "--within-stock",
        fmt::format("\"{}\" must be in the plan, and its {:g} g are not enough", shortage.id, shortage.held),
        "get more of it, leave it out of --use, or make the piece smaller");
  request.without.push_back(shortage.id);
}

// Dearer, or left out when it is dear enough already.
void save_powder(PlanRequest& request, const Shortage& shortage) {
  double& price = price_of(request, shortage.id);
  const double excess = shortage.needed / std::max(1e-3, shortage.held);
  const double rise = std::clamp(excess * excess, least_rise, most_rise);
  price = price > 0 ? price * rise : first_price * excess;
  if (price > dearest)
    leave_out(request, shortage);
}

// Which powders had to give way, and what that costs; nothing where none had. A dear powder that the plan
// does not hold any more counts as left out.
std::string note_on_jars(const PlanRequest& kept, const PlanRequest& asked, const PlanRecord& record,
                         double error_with_full_jars) {
  std::vector<std::string> spared, left_out;
  for (const std::string& id : kept.without)
    if (std::find(asked.without.begin(), asked.without.end(), id) == asked.without.end())
      left_out.push_back(id);
  for (const auto& [id, price] : kept.dear) {
    const std::string& dear = id;
    const bool held = std::any_of(record.layers.begin(), record.layers.end(), [&](const Layer& layer) {
      return record.palette.powders[layer.powder].id == dear;
    });
    (held ? spared : left_out).push_back(dear);
  }
  std::vector<std::string> words;
  if (!spared.empty())
    words.push_back(spoken(spared) + " used sparingly");
  if (!left_out.empty())
    words.push_back(spoken(left_out) + " left out");
  if (words.empty())
    return "";
  return fmt::format("kept within the jars: {}; with full jars the mean error would be about {:.1f}",
                     fmt::join(words, ", "), error_with_full_jars);
}

}  // namespace

PlanRecord make_plan_within_stock(const PlanRequest& request, const Progress& progress) {
  PlanRequest wanted = request;
  PlanRequest coarse = wanted;
  coarse.pitch = std::max(request.pitch, request.smallest * coarse_pitch_in_widths);
  const double runs = coarse_rounds + 2;
  int run = 0;
  const auto planned = [&](const PlanRequest& asked) {
    const double from = std::min(run / runs, 0.8);
    ++run;
    return make_plan(asked, [&](std::string_view step, double share) {
      if (progress)
        progress(step, std::min(0.99, from + share / runs));
    });
  };
  double unlimited = 0;
  for (int round = 0; round < coarse_rounds; ++round) {
    const PlanRecord tried = planned(coarse);
    if (round == 0)
      unlimited = tried.fidelity.mean_de00;
    const std::vector<Shortage> short_of = shortages(tried, kept_back);
    if (short_of.empty())
      break;
    for (const Shortage& shortage : short_of)
      save_powder(coarse, shortage);
  }
  wanted.dear = coarse.dear;
  wanted.without = coarse.without;
  for (int round = 0;; ++round) {
    PlanRecord record = planned(wanted);
    const std::vector<Shortage> short_of = shortages(record, 0);
    if (short_of.empty()) {
      if (std::string note = note_on_jars(wanted, request, record, unlimited); !note.empty())
        record.notes.push_back(std::move(note));
      return record;
    }
    if (round + 1 == fine_rounds) {
      const Shortage& worst = short_of.front();
      throw Problem(
          ProblemKind::infeasible, "--within-stock",
          fmt::format("the plan needs {:.1f} g of \"{}\", and the jar holds {:.1f} g", worst.needed, worst.id,
                      worst.held),
          fmt::format("get {:.0f} g more, or say --without {}", worst.needed - worst.held, worst.id));
    }
    if (round >= round_of_leaving_out) {
      leave_out(wanted, short_of.front());
      continue;
    }
    for (const Shortage& shortage : short_of)
      save_powder(wanted, shortage);
  }
}

PlanRecord make_asked_plan(const PlanRequest& request, const Progress& progress) {
  return request.within_stock ? make_plan_within_stock(request, progress) : make_plan(request, progress);
}

}  // namespace powderplan
