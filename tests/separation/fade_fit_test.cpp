#include "separation/fade_fit.h"

#include <cmath>

#include "shelf.h"

namespace powderplan {
namespace {

constexpr int side = 60;

// One free fade of a powder on bare sheet, its field given by a function of x and y in mm.
struct Job {
  Target target;
  FadedChoice truth;

  template <class Amount>
  Job(std::size_t powder, Load load, Millimetres spacing, Amount&& amount) {
    target.grid = {Millimetres(1), side, side};
    target.bare = Image<std::uint8_t>(side, side);
    truth.stencils.labels = {Tones{}};
    HandLaid fade;
    fade.free = true;
    fade.powder = powder;
    fade.load = load;
    fade.amount = SoftField(Millimetres(side), Millimetres(side), spacing);
    for (int row = 0; row < fade.amount.rows(); ++row) {
      for (int column = 0; column < fade.amount.columns(); ++column)
        fade.amount.weights()[static_cast<std::size_t>(row * fade.amount.columns() + column)] =
            static_cast<float>(amount((column - 1) * spacing.value(), (row - 1) * spacing.value()));
    }
    truth.fades = {fade};
    paint();
  }
  void paint() {
    target.wanted = Image<PackedLab>(side, side);
    const Image<float> field = truth.fades[0].amount.on(target.grid);
    for (std::size_t i = 0; i < field.size(); ++i)
      target.wanted[i] = to_pixel(small_painter().lab(recipe_of(truth, Tones{}, {field[i]})));
    target.picture = target.wanted;
  }
};

LookTable looks_of(const FadedChoice& faded) {
  return {small_painter(), faded, {1}};
}

// A picture that a fade made is found again: the load, not only the look.
TEST(FitFades, FindsTheFieldThatMadeThePicture) {
  for (const std::size_t powder : {blue, red, black}) {
    const Job job(powder, Load(0.1), Millimetres(10),
                  [](double x, double y) { return 0.15 + 0.7 * std::clamp((x + y / 2) / 90, 0.0, 1.0); });
    FadedChoice found = job.truth;
    for (float& weight : found.fades[0].amount.weights())
      weight = 0.4F;
    const FadeSamples samples(job.target, 2000);
    const LookTable looks = looks_of(found);
    const double before = fade_cost(samples, found, looks);
    const double after = fit_fades(found, samples, looks, {0}, 6, 6);
    EXPECT_LT(after, 0.1 * before) << powder;
    EXPECT_NEAR(after, fade_cost(samples, found, looks), 1e-9);
    const Image<float> got = found.fades[0].amount.on(job.target.grid);
    const Image<float> made = job.truth.fades[0].amount.on(job.target.grid);
    double mean = 0;
    for (std::size_t i = 0; i < got.size(); ++i)
      mean += std::abs(got[i] - made[i]) / static_cast<double>(got.size());
    EXPECT_LT(mean, 0.06) << powder;
  }
}

TEST(FitFades, NeverRaisesTheCostAndStaysWithinBounds) {
  holds_always(
      [] {
        const double phase = any_between(0, 6), period = any_between(8, 60);
        const Job job(*rc::gen::element(blue, red, black, yellow, white), Load(any_decade_between(0.02, 0.5)),
                      Millimetres(any_between(5, 25)),
                      [&](double x, double y) { return 0.5 + 0.5 * std::sin(phase + (x - y) / period * 6); });
        FadedChoice found = job.truth;
        // Another powder, so that the picture is out of reach.
        found.fades[0].powder = *rc::gen::element(blue, red, black, yellow, white);
        for (float& weight : found.fades[0].amount.weights())
          weight = static_cast<float>(any_between(0, 1));
        const FadeSamples samples(job.target, 400);
        const LookTable looks = looks_of(found);
        const double before = fade_cost(samples, found, looks);
        RC_ASSERT(fit_fades(found, samples, looks, {0}, 2, 2) <= before);
        for (const float weight : found.fades[0].amount.weights())
          RC_ASSERT(weight >= 0 && weight <= 1);
      },
      20);
}

// Bare points cost what lies on them: a fade is drawn away from there.
TEST(FitFades, LeavesBareGlassBare) {
  Job job(blue, Load(0.1), Millimetres(8), [](double, double) { return 0.8; });
  for (int y = 0; y < side; ++y) {
    for (int x = 0; x < side / 2; ++x)
      job.target.bare.at(x, y) = 1;
  }
  FadedChoice found = job.truth;
  const FadeSamples samples(job.target, 4000);
  fit_fades(found, samples, looks_of(found), {0}, 4, 4);
  const Image<float> field = found.fades[0].amount.on(job.target.grid);
  EXPECT_LT(field.at(5, 30), 0.02);
  EXPECT_GT(field.at(55, 30), 0.5);
}

TEST(FadeSamples, AreNoMoreThanAskedAndTakeTheirLabels) {
  const Job job(blue, Load(0.1), Millimetres(8), [](double, double) { return 0.8; });
  for (const std::size_t most : {std::size_t{1}, std::size_t{100}, std::size_t{100000}}) {
    FadeSamples samples(job.target, most);
    EXPECT_LE(samples.all().size(), std::max<std::size_t>(1, most));
    EXPECT_GE(samples.all().size(), std::min<std::size_t>(most, side * side) / 4);
    // A map of half the pitch.
    Image<std::uint16_t> labels(side * 2, side * 2);
    for (int y = 0; y < side * 2; ++y) {
      for (int x = 0; x < side * 2; ++x)
        labels.at(x, y) = x < side ? 0 : 1;
    }
    samples.set_labels(labels);
    for (const FadeSamples::Sample& sample : samples.all())
      EXPECT_EQ(sample.label, sample.x_mm < side / 2.0 ? 0 : 1);
    samples.renumber_labels({4, 2});
    for (const FadeSamples::Sample& sample : samples.all())
      EXPECT_EQ(sample.label, sample.x_mm < side / 2.0 ? 4 : 2);
  }
}

}  // namespace
}  // namespace powderplan
