#include "separation/quick_labels.h"

#include <bit>
#include <cmath>
#include <optional>

#include "wide_vectors.h"

namespace powderplan {
namespace {

// X, Y and Z as shares of the white's.
using Ratios = std::array<float, 3>;

// The cube root to within 1e-6 of itself, for 0 and above: a first guess by dividing the exponent by three,
// and Halley's step twice.
inline float cube_root(float x) {
  float y = std::bit_cast<float>(std::bit_cast<std::uint32_t>(x) / 3 + 709921077U);
  for (int step = 0; step < 2; ++step) {
    const float cube = y * y * y;
    y *= (cube + 2 * x) / (2 * cube + x);
  }
  return y;
}

// CIE 15: the cube root with its straight foot.
inline float lightness_root(float ratio) {
  constexpr float foot = 216.0F / 24389, steep = 841.0F / 108;
  const float low = steep * ratio + 4.0F / 29, high = cube_root(ratio);
  return ratio <= foot ? low : high;
}

// Ratios in the columns become L*, a* and b*.
POWDERPLAN_WIDE_VECTORS
void to_lab(float* l, float* a, float* b, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    const float x = lightness_root(l[i]), y = lightness_root(a[i]), z = lightness_root(b[i]);
    l[i] = 116 * y - 16;
    a[i] = 500 * (x - y);
    b[i] = 200 * (y - z);
  }
}

}  // namespace

struct QuickLabels::Desk {
  std::vector<std::optional<CoatTable>> tables;  // by powder of the palette
  std::vector<QuickCoat> room;
  std::vector<const QuickCoat*> coats;  // of the shape
  std::vector<QuickState> states;       // of its stacks
  std::vector<QuickBehind> behind;      // the same, for a window
  std::vector<Ratios> looks;            // the same
  std::vector<float> shares;
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
    columns.l[label] = colour[0];
    columns.a[label] = colour[1];
    columns.b[label] = colour[2];
  }
  to_lab(columns.l.data(), columns.a.data(), columns.b.data(), shape.parts().size());
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
