#include "app/progress.h"

#include <gtest/gtest.h>

#include <limits>
#include <sstream>

namespace powderplan {
namespace {

using std::chrono::milliseconds;
using std::chrono::seconds;

TEST(Progress, TheLine) {
  EXPECT_EQ(progress_line("separation", 0.345, seconds(72)),
            "  separation                            34 %  1:12");
  EXPECT_EQ(progress_line("picture", 0, seconds(0)), "  picture                                0 %  0:00");
  EXPECT_EQ(progress_line("x", 7, seconds(1)), "  x                                    100 %  0:01");
  EXPECT_EQ(progress_line("x", -1, seconds(1)), "  x                                      0 %  0:01");
  EXPECT_EQ(progress_line("x", std::numeric_limits<double>::quiet_NaN(), seconds(1)),
            "  x                                      0 %  0:01");
  EXPECT_EQ(progress_line(std::string(200, 'x'), 0.5, seconds(1)).size(), 79U);
}

TEST(Progress, NothingWhenNobodyLooks) {
  std::ostringstream out;
  {
    ProgressLine line(out, false, milliseconds(0));
    line("separation", 0.5);
    std::this_thread::sleep_for(milliseconds(20));
  }
  EXPECT_EQ(out.str(), "");
  EXPECT_FALSE(is_terminal(out));
}

TEST(Progress, NothingForShortWork) {
  std::ostringstream out;
  {
    ProgressLine line(out, true, seconds(30));
    line("separation", 0.5);
  }
  EXPECT_EQ(out.str(), "");
}

TEST(Progress, LongWorkIsShownAndTheLineTakenAway) {
  std::ostringstream out;
  {
    ProgressLine line(out, true, milliseconds(1));
    line("separation", 0.5);
    std::this_thread::sleep_for(milliseconds(600));
  }
  const std::string text = out.str();
  // Within ten seconds: a busy machine may draw it late.
  EXPECT_NE(text.find("\r\x1b[K  separation                            50 %  0:0"), std::string::npos)
      << text;
  EXPECT_TRUE(text.ends_with("\r\x1b[K")) << text;
  EXPECT_EQ(text.find('\n'), std::string::npos);
}

}  // namespace
}  // namespace powderplan
