// A plan folder written and read back, and what is said of one that is damaged.
#include "report/plan_reader.h"

#include <gtest/gtest.h>

#include <fstream>

#include "problem.h"
#include "raster/png.h"
#include "report/files.h"
#include "report/fixture.h"
#include "report/plan_folder.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

template <class Pixel>
void expect_same(const Image<Pixel>& one, const Image<Pixel>& other, const char* what) {
  ASSERT_EQ(one.width(), other.width()) << what;
  ASSERT_EQ(one.height(), other.height()) << what;
  for (std::size_t i = 0; i < one.size(); ++i)
    ASSERT_TRUE(one[i] == other[i]) << what << ", point " << i;
}

void expect_same(const Separation& read, const Separation& plan) {
  EXPECT_EQ(read.grid, plan.grid);
  EXPECT_EQ(read.choice, plan.choice);
  EXPECT_EQ(read.labels, plan.labels);
  expect_same(read.label_at, plan.label_at, "labels");
  ASSERT_EQ(read.fades.size(), plan.fades.size());
  for (std::size_t i = 0; i < plan.fades.size(); ++i) {
    EXPECT_EQ(read.fades[i].nest, plan.fades[i].nest);
    EXPECT_EQ(read.fades[i].step, plan.fades[i].step);
    EXPECT_EQ(read.fades[i].free, plan.fades[i].free);
    EXPECT_EQ(read.fades[i].amount.spacing(), plan.fades[i].amount.spacing());
    EXPECT_EQ(read.fades[i].amount.weights(), plan.fades[i].amount.weights());
  }
}

void expect_same_layers(const PlanRecord& read, const PlanRecord& plan) {
  ASSERT_EQ(read.layers.size(), plan.layers.size());
  for (std::size_t i = 0; i < plan.layers.size(); ++i) {
    const Layer &one = read.layers[i], &other = plan.layers[i];
    EXPECT_EQ(one.powder, other.powder);
    EXPECT_EQ(one.nest, other.nest);
    EXPECT_EQ(one.step, other.step);
    EXPECT_EQ(one.technique, other.technique);
    EXPECT_EQ(one.load, other.load);
    EXPECT_EQ(one.area_cm2, other.area_cm2);
    EXPECT_EQ(one.amount_cm2, other.amount_cm2);
    ASSERT_EQ(one.regions.size(), other.regions.size());
    for (std::size_t r = 0; r < other.regions.size(); ++r)
      EXPECT_EQ(one.regions[r].area_cm2, other.regions[r].area_cm2);
    expect_same(one.amount, other.amount, "amounts");
    EXPECT_EQ(read.firing_plan.places[i].firing, plan.firing_plan.places[i].firing);
  }
}

void expect_same_firings(const PlanRecord& read, const PlanRecord& plan) {
  EXPECT_EQ(read.firings_done, plan.firings_done);
  ASSERT_EQ(read.firing_plan.firings.size(), plan.firing_plan.firings.size());
  for (std::size_t k = 0; k < plan.firing_plan.firings.size(); ++k) {
    const Firing &one = read.firing_plan.firings[k], &other = plan.firing_plan.firings[k];
    EXPECT_EQ(one.finish, other.finish);
    EXPECT_EQ(one.thickness, other.thickness);
    EXPECT_EQ(one.flow, other.flow);
    EXPECT_EQ(one.layers, other.layers);
    EXPECT_EQ(one.sintering, other.sintering);
    EXPECT_EQ(one.texture, other.texture);
    ASSERT_EQ(one.segments.size(), other.segments.size());
    for (std::size_t s = 0; s < other.segments.size(); ++s) {
      EXPECT_EQ(one.segments[s].rate_c_per_h, other.segments[s].rate_c_per_h);
      EXPECT_EQ(one.segments[s].to, other.segments[s].to);
      EXPECT_EQ(one.segments[s].hold_min, other.segments[s].hold_min);
    }
  }
}

// The palette as it is on a user's shelf: the fixture's plan has a wild name in it, which no file has.
PlanRecord plan_to_write(PlanRecord plan = fixture::record()) {
  plan.title = "Trial";
  plan.settings = {{"--width", "32"}, {"--layers", "6"}, {"--lay", "dune-white=stencil"}};
  return plan;
}

void expect_read_back(const PlanRecord& plan) {
  const TemporaryFolder place;
  write_plan_folder(plan, place.path() / "plan", false);
  const PlanRecord read = read_plan(place.path() / "plan", plan.palette);
  EXPECT_EQ(read.title, plan.title);
  EXPECT_EQ(read.width, plan.width);
  EXPECT_EQ(read.height, plan.height);
  EXPECT_EQ(read.smallest, plan.smallest);
  EXPECT_EQ(read.sheet, plan.sheet);
  EXPECT_EQ(read.view, plan.view);
  EXPECT_EQ(read.illuminant, plan.illuminant);
  for (std::size_t band = 0; band < band_count; ++band)
    EXPECT_EQ(read.backing[band], plan.backing[band]);
  ASSERT_EQ(read.inputs.size(), plan.inputs.size());
  for (std::size_t i = 0; i < plan.inputs.size(); ++i) {
    EXPECT_EQ(read.inputs[i].role, plan.inputs[i].role);
    EXPECT_EQ(read.inputs[i].name, plan.inputs[i].name);
    EXPECT_EQ(read.inputs[i].sha256, plan.inputs[i].sha256);
  }
  ASSERT_EQ(read.settings.size(), plan.settings.size());
  for (std::size_t i = 0; i < plan.settings.size(); ++i) {
    EXPECT_EQ(read.settings[i].flag, plan.settings[i].flag);
    EXPECT_EQ(read.settings[i].value, plan.settings[i].value);
  }
  expect_same(read.separation, plan.separation);
  expect_same_layers(read, plan);
  expect_same_firings(read, plan);
  expect_same(read.spots.at(), plan.spots.at(), "spots");
  for (std::size_t i = 0; i < plan.target.size(); ++i) {
    if (plan.bare.empty() || plan.bare[i] == 0) {
      ASSERT_EQ(to_hex(read.target[i]), to_hex(plan.target[i])) << i;
    }
  }
  expect_same(read.bare, plan.bare, "bare");
}

TEST(PlanReader, ReadsBackWhatWasWritten) {
  PlanRecord plan = plan_to_write();
  plan.view = View::window;
  plan.illuminant = "5000K";
  plan.backing = Spectrum::constant(0.123456789012345);
  plan.bare = Image<std::uint8_t>(plan.separation.grid.width, plan.separation.grid.height, 0);
  plan.bare.at(3, 4) = 1;
  plan.firings_done = 1;
  ASSERT_GE(plan.firing_plan.firings.size(), 2u);
  expect_read_back(plan);
}

TEST(PlanReader, ReadsFadesBack) {
  const PlanRecord plan = plan_to_write(fixture::record_with_fades());
  ASSERT_EQ(plan.separation.fades.size(), 2u);
  expect_read_back(plan);
}

TEST(PlanReader, TheShelfMayHaveMoreAndInAnotherOrder) {
  const TemporaryFolder place;
  const PlanRecord plan = plan_to_write();
  write_plan_folder(plan, place.path() / "plan", false);
  Palette shelf = fixture::shelf();
  std::reverse(shelf.powders.begin(), shelf.powders.end());
  shelf.powders.insert(shelf.powders.begin(), shelf.powders[0]);
  shelf.powders[0].id = std::string("another");
  const PlanRecord read = read_plan(place.path() / "plan", shelf);
  for (std::size_t i = 0; i < plan.layers.size(); ++i)
    EXPECT_EQ(shelf.powders[read.layers[i].powder].id, plan.palette.powders[plan.layers[i].powder].id);
  for (std::size_t n = 0; n < plan.separation.choice.size(); ++n)
    EXPECT_EQ(shelf.powders[read.separation.choice[n].steps[0].powder].id,
              plan.palette.powders[plan.separation.choice[n].steps[0].powder].id);
}

// A plan on disk whose files are changed one at a time.
class Damaged {
 public:
  Damaged() { write_plan_folder(plan_to_write(), folder(), false); }
  [[nodiscard]] fs::path folder() const { return place_.path() / "plan"; }

  // What is said when the first `from` of a file is `to`; afterwards the file is as it was.
  std::string message(const std::string& file, const std::string& from, const std::string& to) {
    std::string text = read_text_file(folder() / file);
    const std::string before = text;
    const std::size_t at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    if (at != std::string::npos)
      text.replace(at, from.size(), to);
    std::ofstream(folder() / file, std::ios::binary) << text;
    const std::string said = message();
    std::ofstream(folder() / file, std::ios::binary) << before;
    return said;
  }
  std::string message_without(const std::string& file) {
    fs::rename(folder() / file, place_.path() / "away");
    const std::string said = message();
    fs::rename(place_.path() / "away", folder() / file);
    return said;
  }
  std::string message_with(const std::string& file, const std::vector<std::uint8_t>& bytes) {
    fs::rename(folder() / file, place_.path() / "away");
    std::ofstream(folder() / file, std::ios::binary)
        .write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    const std::string said = message();
    fs::rename(place_.path() / "away", folder() / file);
    return said;
  }
  // Without the folder's own name.
  std::string message(const Palette& palette = fixture::shelf()) {
    try {
      read_plan(folder(), palette);
      return "read";
    } catch (const Problem& problem) {
      EXPECT_EQ(problem.kind(), ProblemKind::input) << problem.what();
      std::string said = problem.what();
      const std::string name = folder().string() + "/";
      if (said.starts_with(name))
        said.erase(0, name.size());
      return said;
    }
  }

 private:
  TemporaryFolder place_;
};

const std::string again = "; make the plan again";

TEST(PlanReader, SaysWhatIsWrongWithPlanJson) {
  Damaged plan;
  ASSERT_EQ(plan.message(), "read");
  EXPECT_TRUE(plan.message_without("plan.json").starts_with("plan.json: "))
      << plan.message_without("plan.json");
  EXPECT_EQ(
      plan.message("plan.json", "\"schema\"", "\"scheme\""),
      "plan.json: is not the file of a plan: it has no 'schema'; check that you have named the right file");
  EXPECT_EQ(plan.message("plan.json", "\"technique\": \"stencil\"", "\"technique\": \"stamp\""),
            "plan.json: layer 1: \"stamp\" is no technique" + again);
  EXPECT_EQ(plan.message("plan.json", "\"view\": \"wall\"", "\"view\": \"roof\""),
            "plan.json: 'piece': \"roof\" is no view" + again);
  EXPECT_EQ(plan.message("plan.json", "\"illuminant\": \"D65\"", "\"illuminant\": \"candle\""),
            "plan.json: 'light': \"candle\" is no light" + again);
  EXPECT_EQ(plan.message("plan.json", "\"finish\": \"tack\",\n   \"thickness_mm\"",
                         "\"finish\": \"burnt\",\n   \"thickness_mm\""),
            "plan.json: firing 1: \"burnt\" is no finish" + again);
  EXPECT_EQ(plan.message("plan.json", "\"nest\": 1", "\"nest\": 40"),
            "plan.json: layer 1: is not in the plan's separation" + again);
  EXPECT_EQ(plan.message("plan.json", "\"step\": 1", "\"step\": 3"),
            "plan.json: layer 1: is not in the plan's separation" + again);
  EXPECT_EQ(plan.message("plan.json", "\"firing\": 1", "\"firing\": 9"),
            "plan.json: layer 1 is in a firing that is not listed" + again);
  EXPECT_EQ(plan.message("plan.json", "\"layers/01-", "\"../layers/01-"),
            "plan.json: layer 1: \"../layers/01-dune-white.png\" lies outside the plan" + again);
  EXPECT_EQ(
      plan.message("plan.json", "\"powder\": \"dune-white\"", "\"powder\": \"snow\""),
      "plan.json: layer 1: the palette holds no powder \"snow\"; name the palette that the plan was made "
      "with");
}

TEST(PlanReader, AFiringIsNotDoneBeforeTheOneBelowIt) {
  Damaged plan;
  const std::string text = read_text_file(plan.folder() / "plan.json");
  const std::size_t second = text.find("\"done\"", text.find("\"done\"") + 1);
  ASSERT_NE(second, std::string::npos);
  const std::string from = text.substr(second - 20, 40);  // as much as tells it from the first
  std::string to = from;
  to.replace(to.find("false"), 5, "true");
  EXPECT_EQ(plan.message("plan.json", from, to),
            "plan.json: firing 2: is done, and the one before it is not" + again);
  EXPECT_EQ(plan.message("plan.json", "\"done\": false", "\"done\": \"no\""),
            "plan.json: firing 1: 'done' must be true or false; write it without quotes");
}

TEST(PlanReader, ThePaletteMustHoldPowdersAndSheet) {
  Damaged plan;
  Palette shelf = fixture::shelf();
  shelf.powders.pop_back();
  EXPECT_EQ(plan.message(shelf),
            "separation/separation.json: nest 3, step 1: the palette holds no powder \"rust-red\"; name the "
            "palette that the plan was made with");
  shelf = fixture::shelf();
  shelf.sheets[0].id = std::string("grey");
  EXPECT_EQ(
      plan.message(shelf),
      "plan.json: 'piece': the palette holds no sheet \"clear\"; name the palette that the plan was made "
      "with");
}

TEST(PlanReader, EveryPictureMustHaveThePlansSize) {
  Damaged plan;
  const Millimetres pitch(0.5);
  const std::vector<std::uint8_t> small = encode_png(Image<std::uint16_t>(5, 4), pitch);
  EXPECT_EQ(plan.message_with("layers/01-dune-white.png", small),
            "layers/01-dune-white.png: has 5 x 4 points where the plan has 64 x 48" + again);
  EXPECT_EQ(plan.message_with("separation/labels.png", small),
            "separation/labels.png: has 5 x 4 points where the plan has 64 x 48" + again);
  EXPECT_EQ(plan.message_with("previews/target.png", encode_png(Image<Rgb8>(5, 4), pitch)),
            "previews/target.png: has 5 x 4 points where the plan has 64 x 48" + again);
  for (const char* file : {"layers/01-dune-white.png", "separation/labels.png", "previews/target.png"}) {
    EXPECT_TRUE(plan.message_without(file).starts_with(file)) << plan.message_without(file);
    EXPECT_TRUE(plan.message_with(file, {'n', 'o'}).starts_with(file)) << plan.message_with(file, {'n', 'o'});
  }
}

TEST(PlanReader, SaysWhereSomethingIsScratched) {
  Damaged plan;
  std::string text = read_text_file(plan.folder() / "plan.json");
  const std::string none = "\"scratched\": null";
  ASSERT_NE(text.find(none), std::string::npos);
  text.replace(text.find(none), none.size(), "\"scratched\": {}");
  std::ofstream(plan.folder() / "plan.json", std::ios::binary) << text;
  const PlanRecord read = read_plan(plan.folder(), fixture::shelf());
  EXPECT_TRUE(read.layers[0].scratched.has_value());
  EXPECT_FALSE(read.layers[1].scratched.has_value());
}

}  // namespace
}  // namespace powderplan
