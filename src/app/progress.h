// One line on a terminal that says what is being done and how far it is; nothing when the output goes
// elsewhere.
#pragma once

#include <chrono>
#include <condition_variable>
#include <iosfwd>
#include <mutex>
#include <string>
#include <string_view>
#include <thread>

namespace powderplan {

// True when the stream is the standard error of this program and a person is looking at it.
bool is_terminal(const std::ostream& stream);

// "  choosing powders   34 %   1:12", at most `columns` wide. `share` is cut to 0..1.
std::string progress_line(std::string_view step, double share, std::chrono::seconds so_far,
                          std::size_t columns = 79);

class ProgressLine {
 public:
  // Nothing is drawn before `patience` has passed. When not `shown`, nothing is drawn at all.
  ProgressLine(std::ostream& out, bool shown, std::chrono::milliseconds patience = std::chrono::seconds(1));
  // Takes the line away.
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  void operator()(std::string_view step, double share);

 private:
  void redraw_until_done();

  std::ostream& out_;
  const std::chrono::milliseconds patience_;
  const std::chrono::steady_clock::time_point begin_ = std::chrono::steady_clock::now();
  std::mutex mutex_;  // guards what follows
  std::condition_variable wake_;
  std::string step_;
  double share_ = 0;
  bool done_ = false;
  std::thread drawer_;  // a step may take long, and the line's clock goes on
};

}  // namespace powderplan
