// Work split into numbered blocks over the machine's cores. The blocks are the same whatever the
// number of threads, so a result built from per-block parts is the same too.
#pragma once

#include <cstddef>
#include <functional>

namespace powderplan {

// Calls work(block) once for every block in [0, blocks). Blocks run at the same time and in any
// order: each must write only its own results. Of exceptions, the first block's is rethrown here.
void for_each_block(std::size_t blocks, const std::function<void(std::size_t block)>& work);

// The same for rows [begin, end) of a picture, a fixed number of rows a block.
void for_each_row_band(int rows, const std::function<void(int begin, int end)>& work);

// Caps the threads used by the calls above while it lives, those made from inside their blocks included;
// 0 = all cores.
class ThreadCount {
 public:
  explicit ThreadCount(unsigned count);
  ~ThreadCount();
  ThreadCount(const ThreadCount&) = delete;
  ThreadCount& operator=(const ThreadCount&) = delete;
  [[nodiscard]] static unsigned current();

 private:
  unsigned before_;
};

}  // namespace powderplan
