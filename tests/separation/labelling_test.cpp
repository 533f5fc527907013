#include "separation/labelling.h"

#include <random>

#include "colour/difference.h"
#include "masks.h"
#include "separation/separate.h"
#include "shelf.h"

namespace powderplan {
namespace {

// A picture in a few colours, a choice for it and the costs of its labels.
struct Job {
  Choice choice;
  std::vector<Tones> labels;
  ColourIndex index;
  CostTable costs;
  Labeller labeller;

  Job(const Choice& from, std::size_t at_a_spot, const Image<PackedLab>& picture,
      const Image<std::uint8_t>& bare)
      : choice(from),
        labels(all_labels(choice, at_a_spot)),
        index(index_colours(picture, bare, 5000)),
        costs(index, LabelLooks{label_labs(small_painter(), choice, labels), loads()}),
        labeller(choice, labels) {}

  [[nodiscard]] std::vector<Load> loads() const {
    std::vector<Load> sums;
    for (const Tones& label : labels)
      sums.push_back(total_load(recipe_of(choice, label)));
    return sums;
  }
  [[nodiscard]] double cost(const Image<std::uint16_t>& label_at) const {
    double sum = 0;
    for (std::size_t i = 0; i < label_at.size(); ++i)
      sum += costs.row(index.at[i])[label_at[i]];
    return sum;
  }
  [[nodiscard]] bool wide_enough(const Image<std::uint16_t>& label_at, const WidthRule& rule) const {
    return labeller.obeys(label_at, rule) && all_wide_enough(choice, labels, label_at, rule.diameter());
  }
  // Sides of points along which a layer's mask ends, all layers together.
  [[nodiscard]] int outline(const Image<std::uint16_t>& label_at) const {
    int sides = 0;
    for (std::size_t p = 0; p < choice.size(); ++p) {
      for (std::size_t step = 1; step <= choice[p].steps.size(); ++step) {
        const cv::Mat mask = layer_mask(labels, label_at, p, step);
        for (int y = 0; y < mask.rows; ++y) {
          for (int x = 0; x < mask.cols; ++x) {
            const auto here = mask.at<std::uint8_t>(y, x);
            sides += x + 1 < mask.cols && mask.at<std::uint8_t>(y, x + 1) != here ? 1 : 0;
            sides += y + 1 < mask.rows && mask.at<std::uint8_t>(y + 1, x) != here ? 1 : 0;
          }
        }
      }
    }
    return sides;
  }

  [[nodiscard]] Image<std::uint16_t> settled(const WidthRule& rule) const {
    return labeller.settled(labeller.first_guess(index.at, costs, 0.6 * rule.diameter()),
                            TableCosts(index.at, costs), rule);
  }
};

WidthRule rule_of(int points) {
  return {Millimetres(points), Millimetres(1)};
}

const Choice three_powders{nest_of(white, {Load(0.1), Load(0.2)}), nest_of(red, {Load(0.08)}),
                           nest_of(black, {Load(0.02), Load(0.1)})};

// Patches of random colours, some of them bare.
Job any_job(int most) {
  const int width = *rc::gen::inRange(1, most), height = *rc::gen::inRange(1, most);
  const int patch = *rc::gen::inRange(1, 12);
  const auto cap = *rc::gen::inRange(std::size_t{1}, std::size_t{4});
  std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
  const auto number = [&](double least, double more) {
    return static_cast<float>(least + (more - least) * static_cast<double>(random()) / 4294967295.0);
  };
  Image<PackedLab> patches(width / patch + 1, height / patch + 1), picture(width, height);
  Image<std::uint8_t> bare_patch(patches.width(), patches.height()), bare(width, height);
  for (std::size_t i = 0; i < patches.size(); ++i) {
    const float l = number(5, 95), a = number(-10, 50), b = number(-10, 40);
    patches[i] = {l, a, b};
    bare_patch[i] = random() % 6 == 0 ? 1 : 0;
  }
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      picture.at(x, y) = patches.at(x / patch, y / patch);
      bare.at(x, y) = bare_patch.at(x / patch, y / patch);
    }
  }
  return {three_powders, cap, picture, bare};
}

TEST(CostTable, IsTheDifferenceAndAPriceForPowder) {
  Image<PackedLab> picture(2, 1);
  picture[0] = {50, 10, 10};
  Image<std::uint8_t> bare(2, 1);
  bare[1] = 1;
  const ColourIndex index = index_colours(picture, bare, 10);
  const CostTable costs(index, LabelLooks{{{50, 10, 10}, {50, 10, 10}}, {Load(0), Load(0.5)}});
  EXPECT_EQ(costs.labels(), 2u);
  EXPECT_NEAR(costs.row(index.at[0])[0], 0, 1e-5);
  EXPECT_NEAR(costs.row(index.at[0])[1], 0.5 * price_of_load, 1e-5);
  EXPECT_EQ(costs.row(ColourIndex::bare)[0], 0) << "bare sheet where it is wanted costs nothing";
  EXPECT_EQ(costs.row(ColourIndex::bare)[1], cost_on_bare);
}

TEST(Labeller, SettlesEveryLayerToTheRule) {
  holds_always(
      [] {
        const Job job = any_job(40);
        const WidthRule rule = rule_of(*rc::gen::inRange(1, 8));
        RC_ASSERT(job.wide_enough(job.settled(rule), rule));
        // From any map at all, too.
        Image<std::uint16_t> noise(job.index.at.width(), job.index.at.height());
        std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
        for (std::size_t i = 0; i < noise.size(); ++i)
          noise[i] = static_cast<std::uint16_t>(random() % job.labels.size());
        RC_ASSERT(
            job.wide_enough(job.labeller.settled(noise, TableCosts(job.index.at, job.costs), rule), rule));
      },
      60);
}

TEST(Labeller, ImprovingNeverCostsMoreAndKeepsTheRule) {
  holds_always(
      [] {
        const Job job = any_job(40);
        const WidthRule rule = rule_of(*rc::gen::inRange(1, 8));
        Image<std::uint16_t> label_at = job.settled(rule);
        const auto priced = [&] {
          return job.cost(label_at) + price_of_outline * rule.diameter() * job.outline(label_at);
        };
        double before = priced();
        for (int pass = 0; pass < 3; ++pass) {
          const double changed = job.labeller.improve(label_at, TableCosts(job.index.at, job.costs), rule);
          RC_ASSERT(changed >= 0);
          RC_ASSERT(job.wide_enough(label_at, rule));
          const double after = priced();
          RC_ASSERT(after <= before * 1.002 + 1);
          before = after;
        }
      },
      40);
}

// A labeller that holds some layers leaves their masks as they are, and still improves the others.
TEST(Labeller, LeavesHeldLayersAlone) {
  int improved = 0;
  const int tried = holds_always(
      [&] {
        const Job job = any_job(40);
        const WidthRule rule = rule_of(*rc::gen::inRange(1, 6));
        const std::size_t layers = layer_count(job.choice);
        std::vector<bool> held(layers);
        for (std::size_t l = 0; l < layers; ++l)
          held[l] = *rc::gen::arbitrary<bool>();
        const Labeller holding(job.choice, job.labels, held);
        // Settled to somewhat else than what is best, so that there is something to improve.
        Image<std::uint16_t> label_at(job.index.at.width(), job.index.at.height());
        const int patch = 3 * rule.diameter();
        for (int y = 0; y < label_at.height(); ++y)
          for (int x = 0; x < label_at.width(); ++x)
            label_at.at(x, y) = static_cast<std::uint16_t>(
                static_cast<unsigned>(x / patch + 5 * (y / patch)) % job.labels.size());
        label_at = job.labeller.settled(label_at, TableCosts(job.index.at, job.costs), rule);
        const Image<std::uint16_t> before = label_at;
        const double cost = job.cost(before);
        const double changed = holding.improve(label_at, TableCosts(job.index.at, job.costs), rule);
        std::size_t layer = 0;
        for (std::size_t p = 0; p < job.choice.size(); ++p) {
          for (std::size_t step = 1; step <= job.choice[p].steps.size(); ++step, ++layer) {
            if (held[layer])
              RC_ASSERT(cv::countNonZero(layer_mask(job.labels, before, p, step) !=
                                         layer_mask(job.labels, label_at, p, step)) == 0);
          }
        }
        RC_ASSERT(job.wide_enough(label_at, rule));
        if (changed > 0) {
          RC_ASSERT(job.cost(label_at) < cost);
          ++improved;
        }
      },
      40);
  EXPECT_GT(improved, tried / 8);
}

// A strip as wide as the rule that gains less than its two edges are worth is not opened; one that gains more
// is.
TEST(Labeller, OpensOnlyWhatIsWorthItsOutline) {
  for (const double wanted_gain : {0.4, 4.0}) {
    const Lab sheet = small_painter().lab({});
    Image<PackedLab> picture(60, 60, to_pixel(sheet));
    // A powder a little and a lot away from the sheet.
    const Load load(wanted_gain < 1 ? 0.0006 : 0.02);
    const Lab coated = small_painter().lab({{red, load}});
    for (int y = 0; y < 60; ++y) {
      for (int x = 26; x < 34; ++x)
        picture.at(x, y) = to_pixel(coated);
    }
    const Job job({nest_of(red, {load})}, 1, picture, Image<std::uint8_t>(60, 60));
    const WidthRule rule = rule_of(8);
    Image<std::uint16_t> label_at(60, 60);
    job.labeller.improve(label_at, TableCosts(job.index.at, job.costs), rule);
    const bool opened = label_at.at(30, 30) != 0;
    const double gain = ciede2000(sheet, coated);
    EXPECT_EQ(opened, gain > 2 * price_of_outline) << gain;
  }
}

TEST(Labeller, ImprovesFromBareSheet) {
  holds_always(
      [] {
        const Job job = any_job(40);
        const WidthRule rule = rule_of(*rc::gen::inRange(1, 6));
        Image<std::uint16_t> label_at(job.index.at.width(), job.index.at.height());
        const double before = job.cost(label_at);
        const double changed = job.labeller.improve(label_at, TableCosts(job.index.at, job.costs), rule);
        RC_ASSERT(job.wide_enough(label_at, rule));
        if (changed > 0)
          RC_ASSERT(job.cost(label_at) < before);
      },
      40);
}

// A wide stretch of bare sheet stays bare but for what the width of its neighbours needs.
TEST(Labeller, LeavesBareSheetBare) {
  Image<PackedLab> picture(60, 40, to_pixel(small_painter().lab({{red, Load(0.08)}})));
  Image<std::uint8_t> bare(60, 40);
  for (int y = 0; y < 40; ++y) {
    for (int x = 30; x < 60; ++x)
      bare.at(x, y) = 1;
  }
  const Job job(three_powders, 3, picture, bare);
  for (const int d : {1, 2, 5, 8}) {
    const WidthRule rule = rule_of(d);
    Image<std::uint16_t> label_at = job.settled(rule);
    job.labeller.improve(label_at, TableCosts(job.index.at, job.costs), rule);
    for (int y = 0; y < 40; ++y) {
      for (int x = 0; x < 60; ++x) {
        if (x >= 30 + d) {
          EXPECT_EQ(label_at.at(x, y), 0) << x << ' ' << y << ' ' << d;
        } else if (x < 30 - d) {
          EXPECT_NE(label_at.at(x, y), 0) << x << ' ' << y << ' ' << d;
        }
      }
    }
  }
}

// Where every patch is wide enough and every colour is a label's, the map is as good as the picture.
TEST(Labeller, FindsAPictureMadeOfItsOwnLabels) {
  const std::vector<Tones> labels = all_labels(three_powders, 1);
  const std::vector<Lab> labs = label_labs(small_painter(), three_powders, labels);
  Image<PackedLab> picture(60, 48);
  Image<std::uint16_t> truth(60, 48);
  for (int y = 0; y < 48; ++y) {
    for (int x = 0; x < 60; ++x) {
      truth.at(x, y) = static_cast<std::uint16_t>(x / 20 + 3 * (y / 24));
      picture.at(x, y) = to_pixel(labs.at(truth.at(x, y)));
    }
  }
  const Job job(three_powders, 1, picture, Image<std::uint8_t>(60, 48));
  for (const int d : {1, 2, 4}) {
    const WidthRule rule = rule_of(d);
    Image<std::uint16_t> label_at = job.settled(rule);
    for (int pass = 0; pass < 4; ++pass)
      job.labeller.improve(label_at, TableCosts(job.index.at, job.costs), rule);
    EXPECT_LE(job.cost(label_at), job.cost(truth) + 0.02 * static_cast<double>(truth.size())) << d;
  }
}

TEST(Labeller, OfNoPowders) {
  const Job job({}, 3, Image<PackedLab>(7, 5, {50, 0, 0}), Image<std::uint8_t>(7, 5));
  const WidthRule rule = rule_of(3);
  Image<std::uint16_t> label_at = job.settled(rule);
  EXPECT_EQ(job.labeller.improve(label_at, TableCosts(job.index.at, job.costs), rule), 0);
  for (std::size_t i = 0; i < label_at.size(); ++i)
    EXPECT_EQ(label_at[i], 0);
}

}  // namespace
}  // namespace powderplan
