#include "separation/fade_fit.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "parallel.h"
#include "separation/cost_table.h"
#include "separation/map_strips.h"

namespace powderplan {
namespace {

// A relaxation ends when a sweep moves no weight further than this, or after so many.
constexpr float settled_weight = 0.001F;
constexpr int most_sweeps = 8;
// Neighbouring spots are drawn together by this share of the mean curvature, so that a field goes on evenly
// where nothing asks for anything.
constexpr float evenness = 0.002F;
// A step must lower the cost by this share to be worth another.
constexpr double least_gain = 1e-4;
constexpr int most_halvings = 3;
// Spots couple with those up to three lattice lines away.
constexpr int coupled = 7;
// Seven filled up to a whole vector.
constexpr std::size_t lanes = 8;
constexpr std::size_t samples_in_a_block = 512;
// Lattice lines that are worked on as one, more than couple; and spots below which one thread is enough.
constexpr int square_side = 8;
constexpr std::size_t spots_worth_threads = 4000;

double cost_of(float square_distance) {
  return std::sqrt(1.0 + static_cast<double>(square_distance)) - 1;
}

// Of each square of spots whether it is on.
class Squares {
 public:
  Squares(int width, int height)
      : columns_((width + square_side - 1) / square_side),
        rows_((height + square_side - 1) / square_side),
        on_(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_), 1) {}
  [[nodiscard]] int columns() const { return columns_; }
  void set(int column, int row, bool on) { on_[place(column, row)] = on ? 1 : 0; }
  [[nodiscard]] bool any() const { return std::find(on_.begin(), on_.end(), 1) != on_.end(); }
  // It or one of its neighbours.
  [[nodiscard]] bool any_near(int column, int row) const {
    for (int r = std::max(0, row - 1); r <= std::min(rows_ - 1, row + 1); ++r) {
      for (int c = std::max(0, column - 1); c <= std::min(columns_ - 1, column + 1); ++c) {
        if (on_[place(c, r)] != 0)
          return true;
      }
    }
    return false;
  }

 private:
  [[nodiscard]] std::size_t place(int column, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
           static_cast<std::size_t>(column);
  }
  int columns_, rows_;
  std::vector<std::uint8_t> on_;
};

// One field's problem at the present state: the sum over samples of
// (slope^2 / 2) x^2 + pull x, x the change of the field at the sample.
class Step {
 public:
  explicit Step(const SoftField& field)
      : columns_(field.columns()),
        rows_(field.rows()),
        pull_(field.weights().size(), 0.0F),
        curvature_(field.weights().size() * coupled * lanes, 0.0F) {}

  void add(const SoftField::Reach& reach, float curvature, float pull) {
    for (int r = 0; r < 4; ++r) {
      for (int c = 0; c < 4; ++c) {
        const float share = reach.down[r] * reach.across[c];
        const std::size_t j = place(reach.first_column + c, reach.first_row + r);
        pull_[j] += share * pull;
        float* row = &curvature_[j * coupled * lanes];
        for (int r2 = 0; r2 < 4; ++r2) {
          for (int c2 = 0; c2 < 4; ++c2)
            row[static_cast<std::size_t>(r2 - r + 3) * lanes + static_cast<std::size_t>(c2 - c + 3)] +=
                curvature * share * reach.down[r2] * reach.across[c2];
        }
      }
    }
  }

  // The weights after the step, within 0 and 1 (projected Gauss-Seidel).
  [[nodiscard]] std::vector<float> solved(const std::vector<float>& from) const {
    double total = 0;
    for (std::size_t j = 0; j < from.size(); ++j)
      total += static_cast<double>(own_curvature(j));
    const float even = evenness * static_cast<float>(total / static_cast<double>(from.size()));
    std::vector<float> weights = from;
    Change change{static_cast<std::size_t>(columns_) + lanes, {}};
    change.at.resize(change.stride * (static_cast<std::size_t>(rows_) + coupled - 1), 0.0F);
    // A sweep over few spots is done before another thread has begun.
    const ThreadCount threads(from.size() < spots_worth_threads ? 1 : ThreadCount::current());
    // Where nothing near has moved any more, nothing will.
    Squares moving(columns_, rows_), still_moving = moving;
    for (int sweep = 0; sweep < most_sweeps && moving.any(); ++sweep) {
      for_each_strip(rows_, square_side, coupled / 2, [&](const Strip& strip) {
        const int row = strip.begin / square_side;
        for (int column = 0; column < moving.columns(); ++column) {
          float farthest = 0;
          if (moving.any_near(column, row)) {
            for (int y = strip.begin; y < strip.end; ++y) {
              for (int x = column * square_side; x < std::min(columns_, (column + 1) * square_side); ++x)
                farthest = std::max(farthest, relax(x, y, even, from, change, weights));
            }
          }
          still_moving.set(column, row, farthest > settled_weight);
        }
      });
      std::swap(moving, still_moving);
    }
    return weights;
  }

 private:
  [[nodiscard]] std::size_t place(int column, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
           static_cast<std::size_t>(column);
  }
  [[nodiscard]] float own_curvature(std::size_t j) const {
    return curvature_[j * coupled * lanes + coupled / 2 * lanes + coupled / 2];
  }
  // How far weights are from where they began, with room for the reach of a spot on every side.
  struct Change {
    std::size_t stride;
    std::vector<float> at;
    [[nodiscard]] std::size_t place(int x, int y) const {
      return static_cast<std::size_t>(y + coupled / 2) * stride + static_cast<std::size_t>(x + coupled / 2);
    }
  };
  // Returns how far the weight has moved.
  float relax(int x, int y, float even, const std::vector<float>& from, Change& change,
              std::vector<float>& weights) const {
    const std::size_t j = place(x, y);
    const float* row = &curvature_[j * coupled * lanes];
    const float* near = &change.at[change.place(x - coupled / 2, y - coupled / 2)];
    // Side by side, in an order of its own.
    std::array<float, lanes> sums{};
    for (int dy = 0; dy < coupled; ++dy, row += lanes, near += change.stride) {
      for (std::size_t i = 0; i < lanes; ++i)
        sums[i] += row[i] * near[i];
    }
    float own = own_curvature(j);
    float force = pull_[j] +
                  (((sums[0] + sums[4]) + (sums[1] + sums[5])) + ((sums[2] + sums[6]) + (sums[3] + sums[7])));
    const auto even_out = [&](bool inside, std::size_t k) {
      if (!inside)
        return;
      own += even;
      force += even * (weights[j] - weights[k]);
    };
    even_out(y > 0, j - static_cast<std::size_t>(columns_));
    even_out(x > 0, j - 1);
    even_out(x + 1 < columns_, j + 1);
    even_out(y + 1 < rows_, j + static_cast<std::size_t>(columns_));
    if (own <= 0)
      return 0;
    const float before = weights[j];
    weights[j] = std::clamp(before - force / own, 0.0F, 1.0F);
    change.at[change.place(x, y)] = weights[j] - from[j];
    return std::abs(weights[j] - before);
  }

  int columns_, rows_;
  std::vector<float> pull_, curvature_;
};

// The samples with what each fade lays on them.
class Fit {
 public:
  Fit(const FadeSamples& samples, const FadedChoice& faded, const LookTable& looks)
      : samples_(samples),
        looks_(looks),
        fades_(faded.fades.size()),
        amounts_(samples.all().size() * fades_) {
    for (const Tones& tones : faded.stencils.labels) {
      std::vector<std::uint8_t> on(fades_, 0);
      for (const std::size_t f : fades_on(faded, tones))
        on[f] = 1;
      on_label_.push_back(std::move(on));
    }
    for (std::size_t f = 0; f < fades_; ++f) {
      loads_.push_back(static_cast<float>(load_of(faded, f).value()));
      set_field(f, faded.fades[f].amount);
    }
  }

  void set_field(std::size_t fade, const SoftField& field) {
    const auto& all = samples_.all();
    for_each_sample_block([&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i)
        amounts_[i * fades_ + fade] = field.at(field.reach(all[i].x_mm, all[i].y_mm));
    });
  }

  [[nodiscard]] double cost() const {
    const auto& all = samples_.all();
    std::vector<double> sums((all.size() + samples_in_a_block - 1) / samples_in_a_block, 0.0);
    for_each_sample_block([&](std::size_t begin, std::size_t end) {
      double sum = 0;
      for (std::size_t i = begin; i < end; ++i)
        sum += cost_at(i);
      sums[begin / samples_in_a_block] = sum;
    });
    double total = 0;
    for (const double sum : sums)
      total += sum;
    return all.empty() ? 0 : total / static_cast<double>(all.size());
  }

  // The field after one Gauss-Newton step.
  [[nodiscard]] std::vector<float> stepped(std::size_t fade, const SoftField& field) const {
    const auto& all = samples_.all();
    std::vector<float> curvature(all.size(), 0.0F), pull(all.size(), 0.0F);
    for_each_sample_block([&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) {
        if (on_label_[all[i].label][fade] == 0)
          continue;
        pull[i] = static_cast<float>(price_of_load) * loads_[fade];
        if (all[i].bare) {
          pull[i] += cost_on_bare * loads_[fade];
          continue;
        }
        const LookTable::Look look = looks_.look(all[i].label, amounts_.data() + i * fades_, fade);
        const auto rest = samples_.metrics()[i].terms(look.colour.l, look.colour.a, look.colour.b);
        const auto slope = samples_.metrics()[i].step(look.slope.l, look.slope.a, look.slope.b);
        float square = 0, steep = 0, along = 0;
        for (std::size_t k = 0; k < 3; ++k) {
          square += rest[k] * rest[k];
          steep += slope[k] * slope[k];
          along += slope[k] * rest[k];
        }
        const float weight = 1 / std::sqrt(1 + square);
        curvature[i] = weight * steep;
        pull[i] += weight * along;
      }
    });
    // Samples come row by row, so those that reach a strip of the lattice follow each other.
    const auto sample_below = [&](int row) {
      const double y = row * field.spacing().value();
      return static_cast<std::size_t>(
          std::partition_point(all.begin(), all.end(), [&](const auto& sample) { return sample.y_mm < y; }) -
          all.begin());
    };
    Step step(field);
    for_each_strip(field.rows(), square_side, coupled / 2, [&](const Strip& strip) {
      for (std::size_t i = sample_below(strip.begin); i < sample_below(strip.end); ++i) {
        if (curvature[i] != 0 || pull[i] != 0)
          step.add(field.reach(all[i].x_mm, all[i].y_mm), curvature[i], pull[i]);
      }
    });
    return step.solved(field.weights());
  }

 private:
  template <class F>
  void for_each_sample_block(F&& f) const {
    const std::size_t count = samples_.all().size();
    for_each_block((count + samples_in_a_block - 1) / samples_in_a_block, [&](std::size_t b) {
      f(b * samples_in_a_block, std::min(count, (b + 1) * samples_in_a_block));
    });
  }
  [[nodiscard]] double cost_at(std::size_t i) const {
    const FadeSamples::Sample& sample = samples_.all()[i];
    const float* amounts = amounts_.data() + i * fades_;
    double powder = 0;
    for (std::size_t f = 0; f < fades_; ++f) {
      if (on_label_[sample.label][f] != 0)
        powder += static_cast<double>(amounts[f] * loads_[f]);
    }
    if (sample.bare)
      return (price_of_load + static_cast<double>(cost_on_bare)) * powder;
    const LabPixel colour = looks_.colour(sample.label, amounts);
    const auto rest = samples_.metrics()[i].terms(colour.l, colour.a, colour.b);
    return cost_of(rest[0] * rest[0] + rest[1] * rest[1] + rest[2] * rest[2]) + price_of_load * powder;
  }

  const FadeSamples& samples_;
  const LookTable& looks_;
  std::size_t fades_;
  std::vector<float> amounts_;  // sample by sample
  std::vector<float> loads_;
  std::vector<std::vector<std::uint8_t>> on_label_;
};

}  // namespace

FadeSamples::FadeSamples(const Target& target, std::size_t most) : grid_(target.grid) {
  const double points = static_cast<double>(target.grid.width) * target.grid.height;
  const int stride = std::max(
      1,
      static_cast<int>(std::ceil(std::sqrt(points / static_cast<double>(std::max<std::size_t>(1, most))))));
  const double pitch = target.grid.pitch.value();
  for (int y = std::min(stride / 2, target.grid.height - 1); y < target.grid.height; y += stride) {
    for (int x = std::min(stride / 2, target.grid.width - 1); x < target.grid.width; x += stride) {
      Sample sample;
      sample.x_mm = (x + 0.5) * pitch;
      sample.y_mm = (y + 0.5) * pitch;
      sample.point = static_cast<std::size_t>(y) * static_cast<std::size_t>(target.grid.width) +
                     static_cast<std::size_t>(x);
      sample.bare = target.is_bare(sample.point);
      samples_.push_back(sample);
      metrics_.emplace_back(to_lab(target.wanted[sample.point]));
    }
  }
}

void FadeSamples::set_labels(const Image<std::uint16_t>& label_at) {
  for (Sample& sample : samples_) {
    const auto x = static_cast<int>(sample.point % static_cast<std::size_t>(grid_.width));
    const auto y = static_cast<int>(sample.point / static_cast<std::size_t>(grid_.width));
    sample.label = label_at.at(x * label_at.width() / grid_.width, y * label_at.height() / grid_.height);
  }
}

void FadeSamples::renumber_labels(const std::vector<std::uint16_t>& number) {
  for (Sample& sample : samples_)
    sample.label = number[sample.label];
}

std::vector<std::uint8_t> FadeSamples::labels_used(std::size_t labels) const {
  std::vector<std::uint8_t> used(labels, 0);
  for (const Sample& sample : samples_)
    used[sample.label] = 1;
  return used;
}

double fade_cost(const FadeSamples& samples, const FadedChoice& faded, const LookTable& looks) {
  return Fit(samples, faded, looks).cost();
}

double fit_fades(FadedChoice& faded, const FadeSamples& samples, const LookTable& looks,
                 const std::vector<std::size_t>& which, int rounds, int steps) {
  Fit fit(samples, faded, looks);
  double least = fit.cost();
  for (int round = 0; round < rounds; ++round) {
    const double before = least;
    for (const std::size_t f : which) {
      SoftField& field = faded.fades[f].amount;
      for (int step = 0; step < steps; ++step) {
        const std::vector<float> from = field.weights(), asked = fit.stepped(f, field);
        const double start = least;
        float share = 1;
        for (int halving = 0; halving <= most_halvings && least >= start; ++halving) {
          for (std::size_t j = 0; j < from.size(); ++j)
            field.weights()[j] = from[j] + share * (asked[j] - from[j]);
          fit.set_field(f, field);
          const double cost = fit.cost();
          if (cost < least)
            least = cost;
          share /= 2;
        }
        if (least >= start) {
          field.weights() = from;
          fit.set_field(f, field);
        }
        if (least > start * (1 - least_gain))
          break;
      }
    }
    if (least > before * (1 - least_gain))
      break;
  }
  return least;
}

}  // namespace powderplan
