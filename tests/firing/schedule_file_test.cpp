#include "firing/schedule_file.h"

#include <gtest/gtest.h>

#include "problem.h"

namespace powderplan {
namespace {

constexpr const char* good = R"([[segment]]
rate_c_per_h = 300
to_c = 615
hold_min = 20

[[segment]]
rate_c_per_h = 150.5
to_c = 50
)";

std::string changed(const std::string& from, const std::string& to) {
  std::string text = good;
  return text.replace(text.find(from), from.size(), to);
}

std::string complaint(const std::string& text) {
  try {
    parse_schedule(text, "kiln.toml");
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
  return "";
}

TEST(ScheduleFile, IsReadLegByLeg) {
  const Schedule schedule = parse_schedule(good, "kiln.toml");
  ASSERT_EQ(schedule.size(), 2u);
  EXPECT_EQ(schedule[0].rate_c_per_h, 300);
  EXPECT_EQ(schedule[0].to, Celsius(615));
  EXPECT_EQ(schedule[0].hold_min, 20);
  EXPECT_EQ(schedule[1].rate_c_per_h, 150.5);
  EXPECT_EQ(schedule[1].hold_min, 0) << "left out";
}

TEST(ScheduleFile, EveryFaultIsNamedWithItsLineAndWhatToDo) {
  const std::string rate = "it must be 0.1 to 10000 \u00b0C per hour, up and down alike";
  const std::string to = "it must be 20 to 1500 \u00b0C; a kiln gets no colder than the room";
  for (const auto& [text, line] : std::vector<std::pair<std::string, std::string>>{
           {changed("300", "0"), "kiln.toml:2: [[segment]] 1: 'rate_c_per_h' is 0; " + rate},
           {changed("300", "-300"), "kiln.toml:2: [[segment]] 1: 'rate_c_per_h' is -300; " + rate},
           {changed("300", "inf"), "kiln.toml:2: [[segment]] 1: 'rate_c_per_h' is inf; " + rate},
           {changed("615", "nan"), "kiln.toml:3: [[segment]] 1: 'to_c' is nan; " + to},
           {changed("= 50\n", "= 5\n"), "kiln.toml:8: [[segment]] 2: 'to_c' is 5; " + to},
           {changed("20\n", "-1\n"),
            "kiln.toml:4: [[segment]] 1: 'hold_min' is -1; it must be 0 to 20000 minutes"},
           {changed("to_c = 615\n", ""), "kiln.toml:1: [[segment]] 1: 'to_c' is missing; add it: a number, " +
                                             to.substr(std::string("it must be ").size())},
           {changed("hold_min", "holdmin"),
            "kiln.toml:4: [[segment]] 1: unknown key 'holdmin'; did you mean 'hold_min'?"},
           {changed("615", "\"615\""),
            "kiln.toml:3: [[segment]] 1: 'to_c' must be a number; write it without quotes"},
           {"",
            "kiln.toml: the schedule has no segments; add a [[segment]] with rate_c_per_h, to_c and "
            "hold_min for each leg"}})
    EXPECT_EQ(complaint(text), line);
  EXPECT_EQ(complaint("[[segment]\n"),
            "kiln.toml:1: \"[[segment]\" is no whole heading; write [name] or [[name]], alone on its line");
}

}  // namespace
}  // namespace powderplan
