#include "app/progress.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <iostream>

namespace powderplan {
namespace {

constexpr std::chrono::milliseconds between_drawings(250);
constexpr std::string_view wipe = "\r\x1b[K";  // ECMA-48: to the first column, erase in line

}  // namespace

bool is_terminal(const std::ostream& stream) {
  return &stream == &std::cerr && isatty(STDERR_FILENO) == 1;
}

std::string progress_line(std::string_view step, double share, std::chrono::seconds so_far,
                          std::size_t columns) {
  const double known = share > 0 ? std::min(share, 1.0) : 0.0;  // NaN too
  std::string line = fmt::format("  {:<36} {:3.0f} %  {}:{:02}", step, known * 100, so_far.count() / 60,
                                 so_far.count() % 60);
  return line.substr(0, columns);
}

ProgressLine::ProgressLine(std::ostream& out, bool shown, std::chrono::milliseconds patience)
    : out_(out), patience_(patience) {
  if (shown)
    drawer_ = std::thread([this] { redraw_until_done(); });
}

ProgressLine::~ProgressLine() {
  {
    const std::lock_guard lock(mutex_);
    done_ = true;
  }
  wake_.notify_all();
  if (drawer_.joinable())
    drawer_.join();
}

void ProgressLine::operator()(std::string_view step, double share) {
  const std::lock_guard lock(mutex_);
  step_ = step;
  share_ = share;
}

void ProgressLine::redraw_until_done() {
  std::unique_lock lock(mutex_);
  bool drawn = false;
  for (auto until = patience_; !wake_.wait_for(lock, until, [this] { return done_; });
       until = between_drawings) {
    if (step_.empty())
      continue;
    const auto so_far = std::chrono::steady_clock::now() - begin_;
    out_ << wipe << progress_line(step_, share_, std::chrono::duration_cast<std::chrono::seconds>(so_far))
         << std::flush;
    drawn = true;
  }
  if (drawn)
    out_ << wipe << std::flush;
}

}  // namespace powderplan
