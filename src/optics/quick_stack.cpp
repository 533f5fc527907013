#include "optics/quick_stack.h"

namespace powderplan {
namespace {

// A share below this cannot change a colour code.
constexpr float negligible = 1e-7F;
// Nor can what lies below a coat that lets no more than this through, there and back.
constexpr float hidden = 1e-6F;

}  // namespace

QuickStack::QuickStack(const Ground& ground, const Observer& observer) : view_(ground.view), stages_(1) {
  for (std::size_t i = 0; i < band_count; ++i) {
    const LinearRgb rgb = to_linear_rgb(observer.weights()[i]);
    weights_[0].at[i] = static_cast<float>(rgb.r);
    weights_[1].at[i] = static_cast<float>(rgb.g);
    weights_[2].at[i] = static_cast<float>(rgb.b);
  }
  const StackState bare = bare_sheet(ground);
  Stage& stage = stages_.front();
  stage.parts.push_back({1, narrowed_state(bare)});
  if (view_ == View::window)
    stage.behind.push_back(narrowed_behind(bare));
  see(narrowed(powderplan::seen(bare, view_)), stage);
}

void QuickStack::see(const QuickBands& seen, Stage& stage) const {
  for (std::size_t c = 0; c < weights_.size(); ++c)
    stage.colour[c] += weighed(weights_[c], seen);
}

void QuickStack::cover(const Part& below, const QuickBehind* behind, float share, const QuickCoat& coat,
                       Stage& into, QuickBands& seen) const {
  Part& above = into.parts.emplace_back();
  above.share = share;
  if (view_ == View::wall)
    cover_on_wall(below.state, coat, share, above.state, seen);
  else
    cover_in_window(below.state, *behind, coat, share, above.state, into.behind.emplace_back(), seen);
}

void QuickStack::lay(const QuickCoat& coat) {
  ++coats_;
  if (stages_.size() <= coats_)
    stages_.emplace_back();
  Stage& laid = stages_[coats_];
  laid.parts.clear();
  laid.behind.clear();
  laid.open = coat.cover > 1 - negligible ? 0 : 1 - coat.cover;
  for (std::size_t c = 0; c < laid.colour.size(); ++c)
    laid.colour[c] = laid.open * stages_[coats_ - 1].colour[c];
  QuickBands seen;
  const bool hides = (view_ == View::wall ? coat.clearest * coat.clearest : coat.clearest) < hidden;
  float covered = 1 - laid.open;
  for (std::size_t at = coats_; at-- > 0 && covered > negligible;) {
    const Stage& below = stages_[at];
    for (std::size_t i = 0; i < below.parts.size(); ++i) {
      const float share = hides ? 1 - laid.open : below.parts[i].share * covered;
      if (share > negligible)
        cover(below.parts[i], below.behind.empty() ? nullptr : &below.behind[i], share, coat, laid, seen);
      if (hides) {
        covered = 0;
        break;
      }
    }
    covered *= below.open;
  }
  see(seen, laid);
}

LinearRgb QuickStack::colour() const {
  const std::array<float, 3>& colour = stages_[coats_].colour;
  return {static_cast<double>(colour[0]), static_cast<double>(colour[1]), static_cast<double>(colour[2])};
}

}  // namespace powderplan
