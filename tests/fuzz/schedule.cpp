// Schedules of a studio: TOML to legs whose heat and hours are numbers.
#include <cmath>

#include "firing/schedule_file.h"
#include "fuzz/target.h"
#include "glass/glass_constants.h"

using namespace powderplan;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return fuzz::answered([&] {
    const Schedule schedule = parse_schedule(fuzz::text_of(data, size), "schedule.toml");
    fuzz::promise(!schedule.empty(), "a schedule has a leg");
    constexpr std::size_t most_integrated = 40;
    if (schedule.size() > most_integrated)
      return;
    static const ViscosityCurve glass{GlassConstants{}};
    const double hours = hours_of(schedule), flow = flow_of(schedule, glass).value();
    fuzz::promise(std::isfinite(hours) && hours >= 0, "a schedule takes some hours");
    fuzz::promise(std::isfinite(flow) && flow >= 0, "a schedule holds some heat");
  });
}
