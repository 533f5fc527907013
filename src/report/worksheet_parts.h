// The parts of the worksheet as data for its page templates. For the worksheets only.
#pragma once

#include <kainjow/mustache.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/page_pictures.h"
#include "report/plan_record.h"

namespace powderplan {

using PageData = kainjow::mustache::data;

// A page template of report/pages.h filled in. Throws Problem (other) when the template is damaged.
std::string rendered(std::string_view name, const PageData& data);

// A page template to be used within another.
PageData partial(std::string_view name);

// Text of the user's, made fit for a page.
PageData page_text(const std::string& text);

// A picture of the piece (its address, report/page_pictures.h) with a millimetre scale along its edges: `id`
// names it within the page, `label` describes it for those who cannot see it.
PageData scaled_picture(const PlanRecord& record, const std::string& address, const std::string& id,
                        const std::string& label);
PageData jar_chip(const PlanRecord& record, const Powder& powder);

// Each sets its own keys.
void add_cover(PageData& page, const PlanRecord& record, const PagePictures& pictures);
void add_cautions(PageData& page, const PlanRecord& record);
// `bench`: firing by firing, the steps that lead to it, then the kiln.
void add_bench(PageData& page, const PlanRecord& record, const PagePictures& pictures);
// Keys `lines` and `scratching` of a step, and what to look at when its lines are laid.
void add_line_words(PageData& step, const PlanRecord& record, std::size_t layer);
void add_line_checks(PageData& checks, const PlanRecord& record, std::size_t layer);
PageData firing_page(const PlanRecord& record, std::size_t firing, const std::string& address);
// Steps, firings and days of report/firing_line.h, drawn as one line.
PageData timeline(const PlanRecord& record);
// Of a layer that has a template.
PageData template_facts(const PlanRecord& record, std::size_t layer);
// Of a layer that is a fade of the plan's separation: what is said, and what is drawn onto its picture.
struct FadePage {
  PageData facts, drawing;
};
std::optional<FadePage> fade_page(const PlanRecord& record, std::size_t layer);
// All that is to be cut, for the cover and the page before the first day.
void add_cutting(PageData& page, const PlanRecord& record);
// What a piece is cut into, and what of it each step lays on which panel; `in_panels` is false where it is
// not cut.
void add_panels(PageData& page, const PlanRecord& record);
void add_panel_loads(PageData& step, const PlanRecord& record, std::size_t layer);
// Where glasses darken against each other.
void add_reactions(PageData& page, const PlanRecord& record, const PagePictures& pictures);
// Layers whose regions are listed, in the order of the list.
std::vector<std::size_t> layers_by_region(const PlanRecord& record);
void add_regions(PageData& page, const PlanRecord& record);

// All of these, and `title`: what every worksheet says.
void add_plan(PageData& page, const PlanRecord& record, const PagePictures& pictures);

}  // namespace powderplan
