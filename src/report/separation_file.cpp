#include "report/separation_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "json_reader.h"

namespace powderplan {
namespace {

using Json = nlohmann::ordered_json;

constexpr int schema = 1;
constexpr Range loads{0, 100, "g/cm2"};
constexpr Range counts{0, 1e6};
constexpr Range lengths{0.01, 1e5, "mm"};
constexpr Range shares{0, 1};

const char* const make_again = "make the plan again";

std::size_t powder_place(const JsonPart& part, const Palette& palette) {
  const std::string id = part.text("powder");
  const Powder* const powder = palette.find_powder(id);
  if (powder == nullptr)
    part.fail(fmt::format("the palette holds no powder \"{}\"", id),
              "name the palette that the plan was made with");
  return static_cast<std::size_t>(powder - palette.powders.data());
}

}  // namespace

std::string separation_json(const PlanRecord& record) {
  const Separation& separation = record.separation;
  Json nests = Json::array(), labels = Json::array(), fades = Json::array();
  for (const Nest& nest : separation.choice) {
    Json steps = Json::array();
    for (const Dose& dose : nest.steps)
      steps.push_back(
          {{"powder", record.palette.powders[dose.powder].id}, {"load_g_cm2", dose.load.value()}});
    nests.push_back({{"steps", std::move(steps)}});
  }
  for (const Tones& label : separation.labels)
    labels.push_back({{"tones", label}});
  for (const Fade& fade : separation.fades)
    fades.push_back({{"nest", fade.nest},
                     {"step", fade.step},
                     {"free", fade.free ? 1 : 0},
                     {"spacing_mm", fade.amount.spacing().value()},
                     {"weights", fade.amount.weights()}});
  const Json json{{"schema", schema},
                  {"nests", std::move(nests)},
                  {"labels", std::move(labels)},
                  {"fades", std::move(fades)}};
  return json.dump() + "\n";
}

Separation read_separation(const std::string& json, const std::string& file, Image<std::uint16_t> label_at,
                           const Grid& grid, const Palette& palette) {
  const nlohmann::json document = parse_json(json, file, schema, {"the separation of a plan", make_again});
  const JsonPart root(document, file, "");
  Separation out;
  out.grid = grid;
  for (const JsonPart& nest : root.objects("nests", "nest")) {
    out.choice.emplace_back();
    for (const JsonPart& step : nest.objects("steps", "step"))
      out.choice.back().steps.push_back(
          {powder_place(step, palette), Load(step.number("load_g_cm2", loads))});
    if (out.choice.back().steps.empty())
      nest.fail("has no steps", make_again);
  }
  for (const JsonPart& label : root.objects("labels", "label")) {
    const std::vector<double> tones = label.numbers("tones", out.choice.size(), counts);
    out.labels.emplace_back();
    for (std::size_t n = 0; n < tones.size(); ++n) {
      if (tones[n] != std::floor(tones[n]) || tones[n] > static_cast<double>(out.choice[n].steps.size()))
        label.fail(fmt::format("nest {} has no tone {}", n + 1, tones[n]), make_again);
      out.labels.back().push_back(static_cast<std::uint8_t>(tones[n]));
    }
  }
  for (const JsonPart& part : root.objects("fades", "fade")) {
    Fade fade;
    fade.nest = static_cast<std::size_t>(part.whole("nest", counts));
    fade.step = static_cast<std::size_t>(part.whole("step", counts));
    fade.free = part.whole("free", {0, 1}) != 0;
    if (fade.nest >= out.choice.size() || fade.step < 1 || fade.step > out.choice[fade.nest].steps.size())
      part.fail("is of a layer that is not there", make_again);
    // No field is finer than the grid; a spacing that asks for billions of weights is no spacing.
    const Range spacings{grid.pitch.value(), lengths.most, "mm"};
    fade.amount = SoftField(grid.pitch * grid.width, grid.pitch * grid.height,
                            Millimetres(part.number("spacing_mm", spacings)));
    const std::vector<double> weights = part.numbers("weights", fade.amount.weights().size(), shares);
    std::transform(weights.begin(), weights.end(), fade.amount.weights().begin(),
                   [](double weight) { return static_cast<float>(weight); });
    out.fades.push_back(std::move(fade));
  }
  if (label_at.width() != grid.width || label_at.height() != grid.height)
    root.fail("the map of labels has not the size of the grid", make_again);
  for (std::size_t i = 0; i < label_at.size(); ++i)
    if (label_at[i] >= out.labels.size())
      root.fail(fmt::format("the map of labels holds {}, and there are {}", label_at[i], out.labels.size()),
                make_again);
  out.label_at = std::move(label_at);
  return out;
}

}  // namespace powderplan
