#include "measure/swatch_readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "optics/swatch.h"
#include "problem.h"
#include "range.h"

namespace powderplan {
namespace {

constexpr Range loads{0.001, 5, "g/cm2"};

class SwatchText {
 public:
  SwatchText(const std::string& text, const std::string& place) : place_(place + " " + text) {
    std::size_t from = 0;
    for (std::size_t comma = text.find(','); comma != std::string::npos; comma = text.find(',', from)) {
      parts_.push_back(text.substr(from, comma - from));
      from = comma + 1;
    }
    parts_.push_back(text.substr(from));
    constexpr std::size_t load_ground_colour = 3;
    if (parts_.size() != load_ground_colour)
      fail(fmt::format("{} parts instead of three", parts_.size()),
           "write LOAD,GROUND,#rrggbb, for 0.2 g/cm2 over white: 0.2,white,#a1b2c3");
  }

  [[nodiscard]] Load load() const {
    const std::string& text = parts_[0];
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size())
      fail(fmt::format("the load is \"{}\"", text), "write it in g/cm2, as 0.2");
    if (!loads.holds(value))
      fail(fmt::format("the load is {}", text), fmt::format("it must be {}", text_of(loads)));
    return Load(value);
  }

  [[nodiscard]] MeasuredGround ground() const {
    const std::string& name = parts_[1];
    if (name == "white" || name == "black") {
      Ground ground;
      ground.backing = Spectrum::constant(name == "white" ? white_ground : black_ground);
      return {name, ground};
    }
    Rgb8 bare;
    if (!parse_hex(name, bare))
      fail(fmt::format("the ground is \"{}\"", name), "write white, black, or its bare colour as #rrggbb");
    return {to_hex(bare), opaque_ground(to_xyz(to_linear_rgb(bare)))};
  }

  [[nodiscard]] Xyz seen() const {
    Rgb8 colour;
    if (!parse_hex(parts_[2], colour))
      fail(fmt::format("the colour is \"{}\"", parts_[2]), "write it as #rrggbb");
    return to_xyz(to_linear_rgb(colour));
  }

  [[noreturn]] void fail(std::string wrong, std::string remedy) const {
    throw Problem(ProblemKind::command_line, place_, std::move(wrong), std::move(remedy));
  }

 private:
  std::string place_;
  std::vector<std::string> parts_;
};

}  // namespace

Readings swatch_readings(const std::vector<std::string>& swatches, const std::string& place) {
  Readings readings;
  for (const std::string& text : swatches) {
    const SwatchText swatch(text, place);
    StepReading step{swatch.load(), 0, swatch.seen()};
    const MeasuredGround ground = swatch.ground();
    const auto known = std::find_if(readings.grounds.begin(), readings.grounds.end(),
                                    [&](const MeasuredGround& one) { return one.name == ground.name; });
    step.ground = static_cast<std::size_t>(known - readings.grounds.begin());
    if (known == readings.grounds.end())
      readings.grounds.push_back(ground);
    if (std::any_of(readings.steps.begin(), readings.steps.end(), [&](const StepReading& other) {
          return other.load == step.load && other.ground == step.ground;
        }))
      swatch.fail("this load over this ground was given before", "give each once");
    readings.steps.push_back(step);
  }
  if (swatches.size() < least_swatches)
    throw Problem(ProblemKind::command_line, place,
                  fmt::format("{} of at least {} colours", swatches.size(), least_swatches),
                  "give more loads or grounds; two colours of one load go into the palette as over_white and "
                  "over_black, without a fit");
  return readings;
}

}  // namespace powderplan
