#include "separation/quick_labels.h"

#include <optional>

#include "colour/quick_difference.h"

namespace powderplan {
namespace {

// X, Y and Z as shares of the white's.
using Ratios = std::array<float, 3>;

}  // namespace

struct QuickLabels::Desk {
  std::vector<std::optional<CoatTable>> tables;  // by powder of the palette
  std::vector<QuickCoat> room;
  std::vector<const QuickCoat*> coats;  // of the shape
  std::vector<QuickState> states;       // of its stacks
  std::vector<QuickBehind> behind;      // the same, for a window
  std::vector<Ratios> looks;            // the same
  std::vector<float> shares;
  std::vector<float> x, y, z;  // of the labels
};

QuickLabels::QuickLabels(const Painter& painter, Load heaviest) : painter_(painter), heaviest_(heaviest) {
  constexpr Xyz white = white_d65;
  for (std::size_t i = 0; i < band_count; ++i) {
    const Xyz& weight = painter.observer().weights()[i];
    weights_[0].at[i] = static_cast<float>(weight.x / white.x);
    weights_[1].at[i] = static_cast<float>(weight.y / white.y);
    weights_[2].at[i] = static_cast<float>(weight.z / white.z);
  }
}

QuickLabels::~QuickLabels() = default;

std::unique_ptr<QuickLabels::Desk> QuickLabels::desk() const {
  {
    const std::lock_guard guard(desks_lock_);
    if (!desks_.empty()) {
      std::unique_ptr<Desk> free = std::move(desks_.back());
      desks_.pop_back();
      return free;
    }
  }
  auto made = std::make_unique<Desk>();
  made->tables.resize(painter_.palette().powders.size());
  return made;
}

// Each label mixes the stacks that it shows, by what its coats cover (Demichel 1924, Neugebauer 1937).
void QuickLabels::mix_labels(const LabelShape& shape, Desk& desk, LabColumns& columns) const {
  for (std::vector<float>* column : {&desk.x, &desk.y, &desk.z})
    column->resize(shape.parts().size());
  for (std::size_t label = 0; label < shape.parts().size(); ++label) {
    const LabelShape::Parts& parts = shape.parts()[label];
    // Each coat doubles the list into "does not cover" and "covers".
    std::vector<float>& share = desk.shares;
    share.assign(1, 1.0F);
    for (const std::uint32_t coat : parts.coats) {
      const float cover = desk.coats[coat]->cover;
      const std::size_t before = share.size();
      for (std::size_t m = 0; m < before; ++m) {
        share.push_back(share[m] * cover);
        share[m] *= 1 - cover;
      }
    }
    Ratios colour{};
    for (std::size_t m = 0; m < share.size(); ++m) {
      const Ratios& look = desk.looks[parts.stacks[m]];
      for (std::size_t c = 0; c < colour.size(); ++c)
        colour[c] += look[c] * share[m];
    }
    desk.x[label] = colour[0];
    desk.y[label] = colour[1];
    desk.z[label] = colour[2];
  }
  quick_lab(desk.x.data(), desk.y.data(), desk.z.data(), shape.parts().size(), columns.l.data(),
            columns.a.data(), columns.b.data());
}

LabColumns QuickLabels::colours(const Choice& choice, const LabelShape& shape) const {
  std::unique_ptr<Desk> at = desk();
  const std::size_t coats = shape.coats().size(), stacks = shape.stacks().size();
  const bool window = painter_.ground().view == View::window;
  at->room.resize(coats);
  at->coats.resize(coats);
  for (std::size_t i = 0; i < coats; ++i) {
    const LabelShape::Coat& coat = shape.coats()[i];
    const std::size_t powder = choice[coat.front().nest].steps[coat.front().step].powder;
    Load load;
    for (const LabelShape::Place& place : coat)
      load += choice[place.nest].steps[place.step].load;
    std::optional<CoatTable>& table = at->tables[powder];
    if (!table)
      table = painter_.coats(powder, heaviest_);
    at->coats[i] = &table->of(load, at->room[i]);
  }
  at->states.resize(stacks);
  at->behind.resize(window ? stacks : 0);
  at->looks.resize(stacks);
  at->states[0] = narrowed_state(painter_.bare());
  if (window)
    at->behind[0] = narrowed_behind(painter_.bare());
  QuickBands seen = narrowed(powderplan::seen(painter_.bare(), painter_.ground().view));
  for (std::size_t i = 0; i < stacks; ++i) {
    const LabelShape::Stack& stack = shape.stacks()[i];
    if (i > 0) {
      seen = {};
      const QuickCoat& coat = *at->coats[stack.coat];
      if (window)
        cover_in_window(at->states[stack.below], at->behind[stack.below], coat, 1, at->states[i],
                        at->behind[i], seen);
      else
        cover_on_wall(at->states[stack.below], coat, 1, at->states[i], seen);
    }
    for (std::size_t c = 0; c < weights_.size(); ++c)
      at->looks[i][c] = weighed(weights_[c], seen);
  }
  LabColumns columns(shape.labels().size());
  mix_labels(shape, *at, columns);
  const std::lock_guard guard(desks_lock_);
  desks_.push_back(std::move(at));
  return columns;
}

}  // namespace powderplan
