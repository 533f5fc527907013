#include "firing/schedule_file.h"

#include <fmt/format.h>

#include "glass/toml_reader.h"
#include "problem.h"

namespace powderplan {

Schedule parse_schedule(const std::string& text, const std::string& file) {
  const toml::table root = parse_toml(text, file);
  TomlTable(root, file, "schedule file").only_tables({"segment"});
  Schedule schedule;
  for (TomlTable& leg : table_list(root, "segment", file)) {
    leg.retitle(fmt::format("[[segment]] {}", schedule.size() + 1));
    leg.only({"rate_c_per_h", "to_c", "hold_min"});
    schedule.push_back({leg.need_number("rate_c_per_h", leg_rates),
                        Celsius(leg.need_number("to_c", leg_temperatures)),
                        leg.number("hold_min", leg_holds).value_or(0)});
  }
  if (schedule.empty())
    throw Problem(ProblemKind::input, file, "the schedule has no segments",
                  "add a [[segment]] with rate_c_per_h, to_c and hold_min for each leg");
  return schedule;
}

}  // namespace powderplan
