#include <fmt/format.h>

#include "layers/fade_bench.h"
#include "optics/grain.h"
#include "report/bench_numbers.h"
#include "report/fade_words.h"
#include "report/panel_drawing.h"
#include "report/stage.h"
#include "report/worksheet.h"
#include "report/worksheet_parts.h"

namespace powderplan {
namespace {

// The band at the head of a page: one field a step, a gap before the steps of the next firing, all fields up
// to the present one filled.
PageData progress(const PlanRecord& record, std::size_t filled) {
  PageData marks(PageData::type::list);
  double x = 0;
  std::size_t done = 0;
  for (const Firing& firing : record.firing_plan.firings) {
    for (std::size_t i = 0; i < firing.layers.size(); ++i) {
      PageData mark;
      mark.set("x", fmt::format("{:.1f}", x));
      mark.set("filled", done++ < filled);
      marks.push_back(mark);
      x += 10;
    }
    x += 6;
  }
  PageData band;
  band.set("length", fmt::format("{:.1f}", std::max(1.0, x - 8)));
  band.set("marks", marks);
  return band;
}

PageData checks(const PlanRecord& record, std::size_t i, const std::string& height) {
  const Layer& layer = record.layers[i];
  PageData list(PageData::type::list);
  const auto check = [&](const std::string& text) { list.push_back(PageData("check", text)); };
  if (layer.stencil)
    check("The stencil lies on its pins, and its number is the number of this step.");
  if (layer.technique == Technique::stencil) {
    check(fmt::format("The coat is even and about {} high, right up to the edges of every opening.", height));
  } else if (layer.technique == Technique::fade) {
    check(fmt::format(
        "The coat is about {} high where it is fullest, and thins out without a visible edge{}.", height,
        fade_of(record.separation, layer) != nullptr ? ": at each line like its swatch" : ""));
  } else {
    check(fmt::format("Lines are clean, and about {} high.", height));
  }
  if (layer.stencil)
    check("Stencil lifted straight up; no powder outside the openings.");
  add_line_checks(list, record, i);
  if (layer.technique == Technique::line)
    return list;
  const LayerWeights& weights = record.weights.layers[i];
  if (weights.overspill >= least_shown)
    check(fmt::format("What is left in sifter {} weighs about {}; so {} lies on the glass.",
                      layer.stencil ? "and on stencil" : "and beside the piece", shown(weights.overspill),
                      shown(weights.lands)));
  else
    check(fmt::format("All of it, {}, lies on the glass.", shown(weights.lands)));
  return list;
}

// Much to say beside a picture: set smaller in print, so that the step stays on one sheet of paper.
bool wordy(const PlanRecord& record, std::size_t i) {
  constexpr std::size_t letters_of_a_line = 40;
  constexpr int most = 2;
  constexpr std::size_t panels_of_some_lines = 6;
  const Layer& layer = record.layers[i];
  int more = powder_of(record, layer).name.size() > letters_of_a_line ? 2 : 0;
  more += record.firing_plan.places[i].raised ? 1 : 0;
  more += layer.scratched ? 1 : 0;
  more += record.panels.panels.size() > panels_of_some_lines ? 2 : record.panels.panels.empty() ? 0 : 1;
  if (layer.stencil) {
    more += layer.stencil->part != 0 ? 1 : 0;
    more += layer.stencil->stock.stiff_enough ? 0 : 1;
    more += static_cast<int>(layer.stencil->repeats.size());
  }
  return more >= most;
}

PageData step_page(const PlanRecord& record, std::size_t i, std::size_t firing, std::size_t number,
                   const PagePictures& pictures) {
  const Layer& layer = record.layers[i];
  const LayerWeights& weights = record.weights.layers[i];
  const Powder& powder = powder_of(record, layer);
  const std::size_t tones = record.separation.choice[layer.nest].steps.size();
  const std::string height = shown(unfired_height(fullest_load(layer), record.palette.glass.density));
  PageData step;
  step.set("number", std::to_string(i + 1));
  step.set("of", std::to_string(record.layers.size()));
  step.set("wordy", wordy(record, i));
  step.set("firing_number", std::to_string(firing + 1));
  step.set("band", progress(record, number));
  step.set("name", page_text(powder.name));
  step.set("code", page_text(powder.id));
  step.set("body", std::string(name_of(powder.body)));
  step.set("jar", jar_chip(record, powder));
  step.set("strikes", powder.strikes);
  step.set("never_measured", !powder.measured);
  step.set("expected", shown_difference(layer.expected_de00));
  step.set("sift", shown(weights.sift));
  step.set("lands", shown(weights.lands));
  step.set("overspill", shown(weights.overspill));
  step.set("comes_back", shown(weights.overspill * record.weigh_rules.comes_back));
  add_panel_loads(step, record, i);
  step.set("load", shown(fullest_load(layer)));
  step.set("height", height);
  step.set("passes", std::to_string(passes_for(fullest_load(layer), powder, record.palette.glass.density)));
  step.set("area", shown_area(layer.area_cm2));
  step.set("pieces",
           fmt::format("{} {}", layer.regions.size(), layer.regions.size() == 1 ? "piece" : "pieces"));
  step.set("by_template", layer.stencil.has_value());
  if (layer.stencil)
    step.set("template", template_facts(record, i));
  step.set("by_stencil", layer.technique == Technique::stencil);
  step.set("by_fade", layer.technique == Technique::fade);
  step.set("by_line", layer.technique == Technique::line);
  add_line_words(step, record, i);
  step.set("raised", record.firing_plan.places[i].raised);
  step.set("several_tones", tones > 1);
  step.set("tone", std::to_string(layer.step));
  step.set("tones", std::to_string(tones));
  step.set("why", page_text(record.firing_plan.places[i].why));
  step.set("checks", checks(record, i, height));
  PageData picture = scaled_picture(record, pictures.steps[i], fmt::format("step-{}", i + 1),
                                    fmt::format("The piece with the area of step {} marked", i + 1));
  if (const std::optional<FadePage> fade = fade_page(record, i)) {
    step.set("fade", fade->facts);
    picture.set("on_fade", fade->drawing);
  }
  if (!record.panels.panels.empty())
    picture.set("on_panels", panel_lines_element(record, PanelNames::in_corners));
  step.set("picture", picture);
  step.set("laid", scaled_picture(record, pictures.laid[i], fmt::format("laid-{}", i + 1),
                                  fmt::format("The piece after step {}, unfired", i + 1)));
  return step;
}

}  // namespace

void add_bench(PageData& page, const PlanRecord& record, const PagePictures& pictures) {
  PageData bench(PageData::type::list);
  std::size_t number = layers_done(record);
  for (std::size_t k = record.firings_done; k < record.firing_plan.firings.size(); ++k) {
    PageData steps(PageData::type::list);
    for (const std::size_t i : record.firing_plan.firings[k].layers)
      steps.push_back(step_page(record, i, k, ++number, pictures));
    PageData round;
    round.set("steps", steps);
    PageData firing = firing_page(record, k, pictures.fired[k].in(record.view));
    firing.set("band", progress(record, number));
    round.set("firing", firing);
    bench.push_back(round);
  }
  page.set("bench", bench);
}

std::vector<std::size_t> layers_by_region(const PlanRecord& record) {
  std::vector<std::size_t> layers;
  for (std::size_t i = layers_done(record); i < record.layers.size(); ++i) {
    if (record.layers[i].regions.size() > 1)
      layers.push_back(i);
  }
  return layers;
}

void add_regions(PageData& page, const PlanRecord& record) {
  PageData layers(PageData::type::list);
  for (const std::size_t i : layers_by_region(record)) {
    const Layer& layer = record.layers[i];
    PageData rows(PageData::type::list);
    // What a scale cannot show is not listed.
    std::size_t listed = 1;
    while (listed < std::min(layer.regions.size(), most_regions_listed) &&
           record.weights.layers[i].region_lands[listed] >= least_shown)
      ++listed;
    for (std::size_t r = 0; r < listed; ++r) {
      const Region& region = layer.regions[r];
      PageData row;
      row.set("region", std::to_string(region.id));
      row.set("area", shown_area(region.area_cm2));
      row.set("grams", shown(record.weights.layers[i].region_lands[r]));
      row.set("x", fmt::format("{:.0f}", region.centre.x));
      row.set("y", fmt::format("{:.0f}", region.centre.y));
      row.set("at_x", fmt::format("{:.2f}", region.centre.x));
      row.set("at_y", fmt::format("{:.2f}", region.centre.y));
      rows.push_back(row);
    }
    const Grid& grid = record.separation.grid;
    const double width = grid.width * grid.pitch.value(), height = grid.height * grid.pitch.value();
    PageData entry;
    entry.set("number", std::to_string(i + 1));
    entry.set("name", page_text(powder_of(record, layer).name));
    entry.set("picture_id", fmt::format("step-{}", i + 1));
    entry.set("map", fmt::format("0 0 {:.3f} {:.3f}", width, height));
    entry.set("letter", fmt::format("{:.3f}", std::max(width, height) / 18));
    entry.set("halo", fmt::format("{:.3f}", std::max(width, height) / 90));
    entry.set("rows", rows);
    entry.set("more", layer.regions.size() > listed);
    entry.set("rest", std::to_string(layer.regions.size() - listed));
    layers.push_back(entry);
  }
  page.set("any_regions", layers.is_non_empty_list());
  page.set("region_layers", layers);
}

}  // namespace powderplan
