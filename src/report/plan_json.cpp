#include "report/plan_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "optics/surface.h"
#include "report/cautions.h"
#include "report/fade_json.h"
#include "report/firing_choices.h"
#include "report/layer_names.h"
#include "report/line_files.h"
#include "report/panel_json.h"
#include "report/plan_effort.h"
#include "report/reaction_words.h"
#include "report/stage.h"
#include "report/stencil_files.h"

namespace powderplan {
namespace {

using Json = nlohmann::ordered_json;

Json spectrum(const Spectrum& values) {
  return Json(values.values());
}

Json curve(const LoadCurve& load_curve) {
  Json list = Json::array();
  for (const LoadPoint& point : load_curve.points())
    list.push_back({point.load.value(), point.effective.value()});
  return list;
}

std::string_view name_of(View view) {
  return view == View::wall ? "wall" : "window";
}

Json inputs(const PlanRecord& record) {
  Json list = Json::array();
  for (const InputFile& file : record.inputs)
    list.push_back({{"role", file.role}, {"name", file.name}, {"sha256", file.sha256}});
  return list;
}

Json piece(const PlanRecord& record) {
  Json json{{"title", record.title},
            {"width_mm", record.width.value()},
            {"height_mm", record.height.value()},
            {"base", sheet_of(record).id},
            {"view", name_of(record.view)},
            {"smallest_mm", record.smallest.value()},
            {"most_layers", nullptr}};
  if (record.most_layers)
    json["most_layers"] = *record.most_layers;
  Json trials = Json::array();
  for (const BaseTrial& trial : record.base_trials)
    trials.push_back({{"sheet", trial.sheet_id}, {"mean_de00", trial.mean_de00}});
  json["base_trials"] = std::move(trials);
  return json;
}

Json settings(const PlanRecord& record) {
  Json list = Json::array();
  for (const SettingText& setting : record.settings)
    list.push_back({{"flag", setting.flag}, {"value", setting.value}});
  return list;
}

Json powders(const PlanRecord& record) {
  Json list = Json::array();
  for (const std::size_t place : powders_of(record.separation.choice)) {
    const Powder& powder = record.palette.powders[place];
    Json json{{"id", powder.id},
              {"name", powder.name},
              {"body", name_of(powder.body)},
              {"k", spectrum(powder.optics.k)},
              {"s", spectrum(powder.optics.s)},
              {"grain_mm", powder.optics.grain.value()},
              {"measured", powder.measured},
              {"expected_de00", powder.expected_de00}};
    if (powder.optics.spreads != 1)
      json["spreads"] = powder.optics.spreads;
    if (!powder.optics.curve.points().empty())
      json["load_curve"] = curve(powder.optics.curve);
    list.push_back(std::move(json));
  }
  return list;
}

Json sheet(const PlanRecord& record) {
  const Sheet& used = sheet_of(record);
  return {{"id", used.id},
          {"name", used.name},
          {"body", name_of(used.body)},
          {"thickness_mm", used.thickness.value()},
          {"load_g_cm2", load_of_sheet(used.thickness, record.palette.glass.density).value()},
          {"k", spectrum(used.k)},
          {"s", spectrum(used.s)}};
}

Json light(const PlanRecord& record) {
  return {{"illuminant", record.illuminant},
          {"view", name_of(record.view)},
          {"backing", spectrum(record.backing)},
          {"power", spectrum(light_of(record))}};
}

Json model(const PlanRecord& record) {
  const Surface& surface = glass_surface();
  return {
      {"surface_outer", surface.outer},
      {"surface_inner", surface.inner},
      {"index", glass_index},
      {"density_g_cm3", record.palette.glass.density.value()},
      {"strain_c", record.palette.glass.strain.value()},
      {"annealing_c", record.palette.glass.annealing.value()},
      {"softening_c", record.palette.glass.softening.value()},
      {"surface_tension_n_m", surface_tension},
      {"flow",
       "flow_mm of a firing is the integral over time of surface tension / viscosity, from 20 C on. "
       "Viscosity by Vogel, Fulcher and Tammann, log10(Pa.s) = -2.6 + B / (T - T0), through 6.6 at the "
       "softening point and 12 at the annealing point; no flow at T0 and below. A layer carries the sum of "
       "the flows of all firings that it goes through."},
      {"fired",
       "With x = flow_mm / (grain_mm / 2), relative density is 0.6 (1 - 3x/8)^-3 up to 0.8 (Frenkel 1945), "
       "then 1 - 0.2 exp(-1.5 (x - x at 0.8) / p), with p such that its rate goes on without a break "
       "(Mackenzie and Shuttleworth 1949). fused = (density - 0.6) / 0.4, matte = exp(-pi flow_mm / (2 "
       "grain_mm)) (Orchard 1962), spread = spreads * (1 + (4^(1/3) - 1) (1 - exp(-1.5 x))) with the "
       "powder's "
       "'spreads' or 1, s_air = 0.2 / w1. What is "
       "within 0.001 of its end (1 - fused, matte, exp(-1.5 x)) counts as 0."},
      {"rule",
       "At each point the loads (load_g_cm2 * amount) of consecutive layers, in the order of 'stack', "
       "that hold the "
       "same powder and have the same finish values are added first, and then make one covering layer. "
       "The bottom of "
       "the stack is the sheet."},
      {"covering_layer",
       "One cover weighs w1 = 2/3 * density * grain_mm / 10. The layer covers the share c = 1 - "
       "exp(-spread * load / "
       "w1) and carries w / c there. With s_eff = s + s_air * (1 - fused) its reflectance and "
       "transmittance are "
       "those of Kubelka (1948) for k, s_eff and w / c. w is the load; where the powder has a 'load_curve', "
       "a "
       "list of [load, w] in g/cm2, it is the load times w/load of the first point up to that point and of "
       "the "
       "last one beyond it, and between two points log w is linear in log load."},
      {"stack",
       "A covering layer splits every state of the stack below it into a covered one of share c and a "
       "bare one of "
       "share 1 - c (Demichel 1924); what is seen is the mean of all states, weighted by share "
       "(Neugebauer 1937). "
       "Layers combine as slabs, with all reflections between them (Kubelka 1954)."},
      {"wall",
       "The sheet lies on the backing. Of a state of internal reflectance R, (1 - outer)(1 - inner) R / "
       "(1 - inner R) "
       "is seen, plus outer * matte, with matte of the topmost layer that covers there and 0 for the "
       "bare sheet "
       "(Saunderson 1942)."},
      {"window",
       "Light enters at the back through 1 - outer, passes sheet and layers, and leaves at the front. u "
       "= exp(-sum of "
       "s_eff * w / c of the state, the sheet's s * load included) is the share that nothing "
       "scatters; both inner "
       "surfaces send back u * outer + (1 - u) * inner; all reflections between surfaces and layers are "
       "counted."},
      {"colour",
       "Sum over bands with the CIE 1931 2-degree observer and 'power', normalised to Y = 1 for 1 in "
       "every band, "
       "adapted (Bradford) from the white of that light to the white of sRGB, encoded as sRGB and "
       "rounded to 8 bits."},
      {"pictures",
       "fired-wall and fired-window: values 'final'. firing-N, in the plan's view: only layers of "
       "firings up to N, "
       "each with its values after that firing. unfired (and unfired-N for firing N): on the wall, "
       "layers of earlier "
       "firings with their values after firing N - 1, those of firing N with 'loose'."}};
}

Json values(const FinishValues& finish) {
  return {
      {"fused", finish.fused}, {"spread", finish.spread}, {"s_air", finish.s_air}, {"matte", finish.matte}};
}

Json after_firings(const PlanRecord& record, std::size_t layer) {
  Json list = Json::array();
  for (std::size_t k = record.firing_plan.places[layer].firing; k < record.firing_plan.firings.size(); ++k) {
    const Millimetres flow = flow_after(record, layer, k + 1);
    Json entry{{"firing", k + 1},
               {"finish", reached_in_words(flow, powder_of(record, record.layers[layer]).optics.grain)},
               {"flow_mm", flow.value()}};
    entry.update(values(values_after(record, layer, k + 1)));
    list.push_back(std::move(entry));
  }
  return list;
}

Json regions(const PlanRecord& record, std::size_t i) {
  Json list = Json::array();
  const Layer& layer = record.layers[i];
  for (std::size_t r = 0; r < layer.regions.size(); ++r) {
    const Region& region = layer.regions[r];
    list.push_back({{"id", region.id},
                    {"area_cm2", region.area_cm2},
                    {"grams", record.weights.layers[i].region_lands[r].value()},
                    {"expected_de00", region.expected_de00},
                    {"centre_mm", {region.centre.x, region.centre.y}},
                    {"box_mm", {region.box.left, region.box.top, region.box.right, region.box.bottom}}});
  }
  return list;
}

Json points(const std::vector<PointMm>& line) {
  Json list = Json::array();
  for (const PointMm& p : line)
    list.push_back({p.x, p.y});
  return list;
}

Json repeats(const PlanRecord& record, const CutStencil& cut, std::size_t layer) {
  Json list = Json::array();
  for (const CutSheet& sheet : cut_sheets(record)) {
    if (sheet.layer != layer || !sheet.repeat)
      continue;
    const RepeatTemplate& small = cut.repeats[*sheet.repeat];
    Json places = Json::array(), too_close = Json::array();
    for (const RepeatPlace& place : small.repeat.places)
      places.push_back({{"x_mm", place.centre.x}, {"y_mm", place.centre.y}, {"angle_deg", place.angle_deg}});
    for (const std::size_t place : small.repeat.too_close)
      too_close.push_back(place + 1);
    list.push_back({{"file", sheet.file + ".svg"},
                    {"dxf", sheet.file + ".dxf"},
                    {"places", std::move(places)},
                    {"saved_mm", small.repeat.saved_cut.value()},
                    {"saved_min", small.saved_minutes},
                    {"too_close", std::move(too_close)}});
  }
  return list;
}

Json stencil(const PlanRecord& record, std::size_t i) {
  const Layer& layer = record.layers[i];
  if (!layer.stencil)
    return nullptr;
  const CutStencil& cut = *layer.stencil;
  const std::string file = "stencils/" + layer_file_stem(record, i);
  Json bridges = Json::array();
  for (const Bridge& bridge : cut.stencil.bridges)
    bridges.push_back({{"points_mm", points(bridge.middle)}, {"error_cm2", bridge.error_cm2}});
  Json json{{"raised", record.firing_plan.places[i].raised},
            {"step", layer.step},
            {"of", record.separation.choice[layer.nest].steps.size()},
            {"part", nullptr},
            {"files", {{"svg", file + ".svg"}, {"dxf", file + ".dxf"}}},
            {"border_mm", cut.stencil.border.value()},
            {"pins_mm", points(cut.stencil.pins)},
            {"pin_mm", cut.stencil.pin.value()},
            {"openings", cut.effort.openings},
            {"bridges", std::move(bridges)},
            {"error_cm2", cut.error_cm2},
            {"shortest_error_cm2", cut.shortest_error_cm2},
            {"cut_mm", cut.effort.cut.value()},
            {"cut_min", cut.effort.minutes},
            {"stock", cut.stock.stock.name},
            {"stock_reason", cut.stock.reason},
            {"stiff_enough", cut.stock.stiff_enough},
            {"repeats", repeats(record, cut, i)}};
  if (cut.part != 0)
    json["part"] = cut.part;
  return json;
}

Json layers(const PlanRecord& record) {
  Json list = Json::array();
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    const Layer& layer = record.layers[i];
    const LayerWeights& weights = record.weights.layers[i];
    const LayerPlace& place = record.firing_plan.places[i];
    Json json{{"index", i + 1},
              {"firing", place.firing + 1},
              {"powder", powder_of(record, layer).id},
              {"technique", name_of(layer.technique)},
              {"nest", layer.nest + 1},
              {"step", layer.step},
              {"load_g_cm2", layer.load.value()},
              {"amount", "layers/" + layer_file_stem(record, i) + ".png"},
              {"stack", i + 1},
              {"area_cm2", layer.area_cm2},
              {"expected_de00", layer.expected_de00},
              {"lands_g", weights.lands.value()},
              {"sift_g", weights.sift.value()},
              {"overspill_g", weights.overspill.value()},
              {"capture", weights.capture},
              {"regions", regions(record, i)},
              {"stencil", stencil(record, i)}};
    json["lines"] = lines_json(layer.lines, lines_file(record, i));
    json["scratched"] = lines_json(layer.scratched, scratched_file(record, i));
    if (layer.technique == Technique::fade)
      json["fade"] = fade_json(record, i);
    const std::size_t all_firings = record.firing_plan.firings.size();
    json["final"] = values(values_after(record, i, all_firings));
    json["final"]["flow_mm"] = flow_after(record, i, all_firings).value();
    json["after_firing"] = after_firings(record, i);
    json["loose"] = values(values_at(record, i, Millimetres(0)));
    json["why"] = place.why;
    list.push_back(std::move(json));
  }
  return list;
}

Json firings(const PlanRecord& record) {
  Json list = Json::array();
  for (std::size_t k = 0; k < record.firing_plan.firings.size(); ++k) {
    const Firing& firing = record.firing_plan.firings[k];
    Json segments = Json::array(), places = Json::array();
    for (const Segment& segment : firing.segments)
      segments.push_back({{"rate_c_per_h", segment.rate_c_per_h},
                          {"to_c", segment.to.value()},
                          {"hold_min", segment.hold_min}});
    for (const std::size_t layer : firing.layers)
      places.push_back(layer + 1);
    list.push_back({{"index", k + 1},
                    {"done", k < record.firings_done},
                    {"finish", name_of(firing.finish)},
                    {"thickness_mm", firing.thickness.value()},
                    {"segments", std::move(segments)},
                    {"layers", std::move(places)},
                    {"flow_mm", firing.flow.value()},
                    {"total_h", hours_of(firing.segments)},
                    {"reference_grain_mm", record.limits.reference_grain.value()},
                    {"sintering", firing.sintering},
                    {"texture", firing.texture},
                    {"why", firing.why}});
  }
  return list;
}

// Tried on a coarse grid: their errors are about those of a plan.
Json choices_of_firings(const PlanRecord& record) {
  Json list = Json::array();
  for (const FiringTrial& choice : firing_choices(record.firing_trials))
    list.push_back({{"firings", choice.firings},
                    {"raised", choice.raised},
                    {"mean_de00", choice.mean_de00},
                    {"softened_mean_de00", choice.softened_de00}});
  return list;
}

Json reactions(const PlanRecord& record) {
  const std::vector<MarkedMeeting> marked = marked_meetings(record);
  Json list = Json::array();
  for (const Meeting& meeting : record.meetings) {
    const Reaction& pair = meeting.pair;
    Json ids = Json::array({record.palette.powders[pair.powder].id});
    if (pair.other)
      ids.push_back(record.palette.powders[*pair.other].id);
    Json json{{"powders", std::move(ids)},
              {"sheet", nullptr},
              {"chemistry", pair.chemistry},
              {"border_mm", meeting.border.value()},
              {"overlap_cm2", meeting.overlap_cm2},
              {"wish", nullptr},
              {"letter", nullptr}};
    if (pair.sheet)
      json["sheet"] = record.palette.sheets[*pair.sheet].id;
    if (const std::string wish = wish_for(record, pair); !wish.empty())
      json["wish"] = wish;
    for (const MarkedMeeting& mark : marked)
      if (mark.meeting == &meeting)
        json["letter"] = mark.letter;
    list.push_back(std::move(json));
  }
  return list;
}

Json expansion(const PlanRecord& record) {
  Json list = Json::array();
  for (const MismatchedPair& pair : mismatches_in(record))
    list.push_back({{"glasses", {pair.one, pair.other}},
                    {"ppm", pair.mismatch.ppm},
                    {"stress_mpa", pair.mismatch.stress_mpa}});
  return list;
}

Json totals(const PlanRecord& record) {
  Json list = Json::array();
  for (const PowderTotal& total : record.weights.totals) {
    Json json{{"powder", record.palette.powders[total.powder].id},
              {"lands_g", total.lands.value()},
              {"sift_g", total.sift.value()},
              {"used_g", total.used.value()},
              {"stock_g", nullptr},
              {"short_g", total.short_of.value()}};
    if (total.stock)
      json["stock_g"] = total.stock->value();
    list.push_back(std::move(json));
  }
  return list;
}

Json fidelity(const Fidelity& f) {
  return {{"mean_de00", f.mean_de00},
          {"p95_de00", f.p95_de00},
          {"softened_mean_de00", f.softened_mean_de00},
          {"seen_mean_de00", f.seen_mean_de00},
          {"seen_from_mm", f.seen_from_mm},
          {"edge_mm", f.edge_mm},
          {"flat_mean_de00", f.flat_mean_de00},
          {"bound_mean_de00", f.bound_mean_de00},
          {"unfitted_mean_de00", f.unfitted_mean_de00},
          {"expected_de00", f.expected_de00},
          {"lost_detail", f.lost_detail}};
}

Json effort(const PlanRecord& record) {
  const PlanEffort all = effort_of(record);
  return {{"layers", record.layers.size()},
          {"firings", record.firing_plan.firings.size()},
          {"firings_proven", record.firing_plan.proven},
          {"least_firings", record.firing_plan.least_firings},
          {"stencils", all.stencils},
          {"raised", all.raised},
          {"bridges", all.bridges},
          {"cut_mm", all.cut.value()},
          {"cut_min", all.cut_minutes},
          {"bridge_error_cm2", all.bridge_error_cm2},
          {"shortest_bridge_error_cm2", all.shortest_bridge_error_cm2}};
}

}  // namespace

std::string plan_json(const PlanRecord& record) {
  const Grid& grid = record.separation.grid;
  Json bands = Json::array(), cautions = Json::array();
  for (std::size_t band = 0; band < band_count; ++band)
    bands.push_back(band_nm(band));
  for (const Caution& caution : cautions_of(record))
    cautions.push_back(caution.title + ": " + caution.text);

  Json json;
  json["schema"] = plan_schema;
  json["program"] = {{"name", "powderplan"}, {"version", record.program_version}};
  json["inputs"] = inputs(record);
  json["settings"] = settings(record);
  json["piece"] = piece(record);
  json["grid"] = {{"pitch_mm", grid.pitch.value()}, {"width", grid.width}, {"height", grid.height}};
  json["bands_nm"] = std::move(bands);
  json["powders"] = powders(record);
  json["sheet"] = sheet(record);
  json["light"] = light(record);
  json["model"] = model(record);
  json["layers"] = layers(record);
  json["firings"] = firings(record);
  json["firing_choices"] = choices_of_firings(record);
  json["totals"] = totals(record);
  if (!record.panels.panels.empty()) {
    json["panels"] = panels_json(record);
    json["panel_cuts"] = panel_cuts_json(record);
  }
  json["reactions"] = reactions(record);
  json["expansion"] = expansion(record);
  json["fidelity"] = fidelity(record.fidelity);
  json["effort"] = effort(record);
  json["cautions"] = std::move(cautions);
  json["notes"] = record.notes;
  json["seconds"] = Json::object();
  for (const auto& [step, seconds] : record.seconds)
    json["seconds"][step] = seconds;
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace powderplan
