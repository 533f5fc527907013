#include "parallel.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace powderplan {
namespace {

constexpr int rows_per_band = 16;

// The thread count is a property of the calling thread, not of the process.
// NOLINTNEXTLINE(cppcoreguidelines-avoid-non-const-global-variables): only ThreadCount's scope sets it.
thread_local unsigned thread_cap = 0;

}  // namespace

ThreadCount::ThreadCount(unsigned count) : before_(thread_cap) {
  thread_cap = count;
}
ThreadCount::~ThreadCount() {
  thread_cap = before_;
}
unsigned ThreadCount::current() {
  return thread_cap != 0 ? thread_cap : std::max(1u, std::thread::hardware_concurrency());
}

void for_each_block(std::size_t blocks, const std::function<void(std::size_t)>& work) {
  const unsigned cap = ThreadCount::current();
  const std::size_t threads = std::min<std::size_t>(cap, blocks);
  if (threads <= 1) {
    for (std::size_t block = 0; block < blocks; ++block)
      work(block);
    return;
  }
  std::atomic<std::size_t> next{0};
  std::exception_ptr failure;
  std::size_t failed = blocks;
  std::mutex failure_lock;
  const auto run = [&] {
    // A new thread knows no cap. What this call leaves unused is shared by the calls inside its blocks.
    const ThreadCount share(static_cast<unsigned>(cap / threads));
    for (std::size_t block = next++; block < blocks; block = next++) {
      try {
        work(block);
      } catch (...) {
        const std::lock_guard guard(failure_lock);
        // Blocks are taken in their order, so all before this one run to their end, and the first of those
        // that fail is the same one however the threads are timed.
        if (block < failed) {
          failed = block;
          failure = std::current_exception();
        }
        next = blocks;
      }
    }
  };
  {
    std::vector<std::jthread> crew;
    for (std::size_t i = 1; i < threads; ++i)
      crew.emplace_back(run);
    run();
  }
  if (failure)
    std::rethrow_exception(failure);
}

void for_each_row_band(int rows, const std::function<void(int, int)>& work) {
  const int bands = (rows + rows_per_band - 1) / rows_per_band;
  for_each_block(static_cast<std::size_t>(std::max(bands, 0)), [&](std::size_t band) {
    const int begin = static_cast<int>(band) * rows_per_band;
    work(begin, std::min(rows, begin + rows_per_band));
  });
}

}  // namespace powderplan
