// What the script of the bench page knows of the plan, as JSON that may stand within a page.
#pragma once

#include <string>

#include "report/page_pictures.h"
#include "report/plan_record.h"

namespace powderplan {

// JSON text in which nothing can end a <script> element or upset an old parser: <, >, &, U+2028 and U+2029
// stand as \uXXXX.
std::string fit_for_script(const std::string& json);

// Names, loads, firings and the size of the point maps; `plan_sha256` is of plan.json, and notes are kept
// under it.
std::string bench_facts(const PlanRecord& record, const PointMaps& maps, const std::string& plan_sha256);
// The pictures that stand on no printed page, and the point maps.
std::string bench_pictures(const PlanRecord& record, const PagePictures& pictures, const PointMaps& maps);

}  // namespace powderplan
