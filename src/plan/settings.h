// The one table of what a user can set: each line is a key of the piece file, a flag of the command line, its
// meaning, and the way into the request.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "plan/answer.h"
#include "plan/request.h"
#include "report/plan_record.h"

namespace powderplan {

struct Setting {
  std::string_view table;  // of the piece file: "piece", "limits", "stencils", "firing", "weigh"
  std::string_view key;
  std::string_view flag;   // "--width"; "IMAGE" stands on the command line without a flag
  std::string_view value;  // what stands for the value in the help, e.g. "MM"
  std::string_view help;   // one line, without the default
  bool repeats = false;    // the flag may be given several times
  void (*take)(const Answer& answer, PlanRequest& request);
  // The value as a user would write it; empty when nothing is set.
  std::string (*shown)(const PlanRequest& request);
};

// In the order of the help.
std::span<const Setting> all_settings();
// Null when there is none.
const Setting* setting_of_flag(std::string_view flag);

// All that are set, but for files: a plan can be read where they are not.
std::vector<SettingText> settings_in_words(const PlanRequest& request);

// What no plan can be made without. `example` is the line of the piece file that would say it.
struct Missing {
  std::string_view flag, wrong, remedy, example;
};
std::optional<Missing> what_is_missing(const PlanRequest& request);

// What only the settings together can tell. Throws Problem (command_line), its place the flag.
void check_together(const PlanRequest& request);

}  // namespace powderplan
