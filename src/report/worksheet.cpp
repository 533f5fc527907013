#include "report/worksheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "colour/observer.h"
#include "problem.h"
#include "report/bench_page_data.h"
#include "report/files.h"
#include "report/mm_scale.h"
#include "report/pages.h"
#include "report/stage.h"
#include "report/worksheet_parts.h"
#include "utf8.h"

namespace powderplan {
namespace {

PageData ticks(double length, double step, double unit) {
  PageData list(PageData::type::list);
  const int every = 5;
  const int count = static_cast<int>(std::floor(length / step + 1e-6));
  for (int i = 0; i <= count; ++i) {
    const bool strong = i % every == 0;
    PageData tick;
    tick.set("at", fmt::format("{:.3f}", i * step));
    tick.set("from", fmt::format("{:.3f}", -unit * (strong ? 0.62 : 0.34)));
    tick.set("strong", strong);
    tick.set("number", fmt::format("{:.0f}", i * step));
    list.push_back(tick);
  }
  return list;
}

// As a content security policy names a text that may stand within the page (CSP level 2).
std::string csp_hash(const std::string& text) {
  return "sha256-" + base64(sha256_bytes(text));
}

// A page template that stands within a line: without the line feed at its end.
PageData part_in_line(std::string_view name) {
  std::string_view words = page_named(name);
  words.remove_suffix(words.ends_with('\n') ? 1 : 0);
  return PageData(kainjow::mustache::partial([words] { return std::string(words); }));
}

// The parts of worksheet.html under the names by which it calls them.
void set_parts(PageData& page) {
  for (const char* part :
       {"cover",  "before",      "get_ready",      "cut",        "cut_how",      "reactions_how",
        "step",   "step_how",    "fade_how",       "fade_try",   "fade_table",   "fade_drawing",
        "kiln",   "kiln_before", "kiln_after",     "panels_how", "panels_joins", "regions",
        "grains", "piece",       "cautions_short", "bench_top",  "bench_tools",  "chip"})
    page.set(part, partial(part + std::string(".html")));
  for (const char* part :
       {"cover_facts",       "cover_alarm",     "cover_caption", "cover_under",  "cut_under",
        "cut_small",         "cut_repeat",      "cut_places",    "cut_more",     "cut_close",
        "reactions_caption", "reactions_under", "step_powder",   "step_load",    "step_comes_back",
        "step_coat",         "step_caption",    "fade_swatches", "kiln_caption", "kiln_facts",
        "regions_how",       "regions_more"})
    page.set(part, part_in_line(part + std::string(".html")));
  // Whose own names are those of data.
  page.set("reacting", partial("reactions.html"));
  page.set("lines_by_hand", partial("lines.html"));
  page.set("scratch_by_hand", partial("scratch.html"));
  page.set("band_of_steps", partial("band.html"));
  page.set("time_line", partial("timeline.html"));
  page.set("cut_panels", partial("panels.html"));
}

}  // namespace

PageData partial(std::string_view name) {
  return PageData(kainjow::mustache::partial([text = page_named(name)] { return std::string(text); }));
}

std::string rendered(std::string_view name, const PageData& data) {
  kainjow::mustache::mustache page{std::string(page_named(name))};
  std::string html = page.render(data);
  if (!page.is_valid())
    throw Problem(ProblemKind::other, std::string(name), "its template is damaged: " + page.error_message(),
                  "build powderplan anew");
  return html;
}

PageData page_text(const std::string& text) {
  return PageData(plain_text(text));
}

PageData scaled_picture(const PlanRecord& record, const std::string& address, const std::string& id,
                        const std::string& label) {
  const Grid& grid = record.separation.grid;
  const double width = grid.width * grid.pitch.value(), height = grid.height * grid.pitch.value();
  // The unit of everything around the picture: letters are one unit high.
  const double unit = std::max(width, height) / 38, step = scale_step(std::max(width, height));
  PageData data;
  data.set("id", id);
  data.set("label", page_text(label));
  data.set("address", address);
  data.set("w", fmt::format("{:.3f}", width));
  data.set("h", fmt::format("{:.3f}", height));
  data.set("box", fmt::format("{:.3f} {:.3f} {:.3f} {:.3f}", -2.6 * unit, -1.9 * unit, width + 3.6 * unit,
                              height + 2.4 * unit));
  data.set("unit", fmt::format("{:.3f}", unit));
  data.set("hair", fmt::format("{:.4f}", unit / 14));
  data.set("up", fmt::format("{:.3f}", -0.85 * unit));
  data.set("x_ticks", ticks(width, step, unit));
  data.set("y_ticks", ticks(height, step, unit));
  return data;
}

PageData jar_chip(const PlanRecord& record, const Powder& powder) {
  // As loose powder and as a full load fired flat, both on the plan's backing without the sheet's colour.
  const Observer observer(light_of(record));
  const Ground white{
      .view = View::wall, .sheet_k = {}, .sheet_s = {}, .sheet_load = Load(0), .backing = record.backing};
  const Density density = record.palette.glass.density;
  const auto colour = [&](Millimetres flow) {
    const CoveringLayer layer =
        covering_layer(powder.optics, full_load, fired_values(flow, powder.optics, density), density);
    return to_rgb8(to_linear_rgb(observer(seen(white, std::array{layer}))));
  };
  PageData chip;
  chip.set("loose", to_hex(powder.unfired.value_or(colour(Millimetres(0)))));
  chip.set("fired", to_hex(colour(flow_for(Finish::full, powder.optics.grain))));
  return chip;
}

void add_plan(PageData& page, const PlanRecord& record, const PagePictures& pictures) {
  page.set("title", page_text(record.title));
  add_cover(page, record, pictures);
  add_cautions(page, record);
  add_panels(page, record);
  add_reactions(page, record, pictures);
  add_cutting(page, record);
  add_bench(page, record, pictures);
  add_regions(page, record);
}

std::string worksheet(const PlanRecord& record, const std::string& plan_sha256) {
  return worksheet(record, worksheet_pictures(record), plan_sha256);
}

std::string worksheet(const PlanRecord& record, const WorksheetPictures& drawn,
                      const std::string& plan_sha256) {
  const PagePictures pictures = page_pictures(record, drawn);
  const PointMaps maps = point_maps(record);
  PageData page;
  std::string style;
  for (const std::string_view name : {"worksheet.css", "bench.css", "print.css"})
    style += page_named(name);
  page.set("style", style);
  page.set("style_hash", csp_hash(style));
  PageData scripts(PageData::type::list);
  for (const std::string_view name : bench_scripts) {
    const std::string text(page_named(name));
    PageData script;
    script.set("text", text);
    script.set("hash", csp_hash(text));
    scripts.push_back(script);
  }
  page.set("scripts", scripts);
  page.set("facts", bench_facts(record, maps, plan_sha256));
  page.set("pictures", bench_pictures(record, pictures, maps));
  page.set("version", page_text(record.program_version));
  add_plan(page, record, pictures);
  set_parts(page);
  return rendered("worksheet.html", page);
}

}  // namespace powderplan
