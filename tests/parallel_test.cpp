#include "parallel.h"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <thread>
#include <vector>

#include "problem.h"

namespace powderplan {
namespace {

std::vector<int> visits(std::size_t blocks, unsigned threads) {
  const ThreadCount cap(threads);
  std::vector<int> count(blocks);
  for_each_block(blocks, [&](std::size_t block) { ++count[block]; });
  return count;
}

TEST(ForEachBlock, VisitsEveryBlockOnceForAnyNumberOfBlocksAndThreads) {
  for (const std::size_t blocks : {0u, 1u, 2u, 3u, 7u, 100u}) {
    for (const unsigned threads : {1u, 2u, 3u, 8u})
      EXPECT_EQ(visits(blocks, threads), std::vector<int>(blocks, 1))
          << blocks << " blocks, " << threads << " threads";
  }
}

// A sum of floating-point numbers depends on its order; a sum of per-block sums must not.
double sum_of_blocks(unsigned threads) {
  const ThreadCount cap(threads);
  constexpr std::size_t blocks = 97;
  std::vector<double> part(blocks);
  for_each_block(blocks, [&](std::size_t block) {
    for (int i = 0; i < 1000; ++i)
      part[block] += std::sin(static_cast<double>(block) * 1000 + i) * std::exp(i % 40);
  });
  return std::accumulate(part.begin(), part.end(), 0.0);
}

TEST(ForEachBlock, GivesTheSameBitsForAnyNumberOfThreads) {
  const double alone = sum_of_blocks(1);
  for (const unsigned threads : {2u, 3u, 4u, 16u, 0u})
    EXPECT_EQ(sum_of_blocks(threads), alone) << threads << " threads";
}

TEST(ForEachBlock, RethrowsAnExceptionWithItsType) {
  for (const unsigned threads : {1u, 2u, 8u}) {
    const ThreadCount cap(threads);
    try {
      for_each_block(50, [](std::size_t block) {
        if (block == 20)
          throw Problem(ProblemKind::input, "block 20", "broken", "mend it");
      });
      FAIL() << "nothing was thrown with " << threads << " threads";
    } catch (const Problem& problem) {
      EXPECT_STREQ(problem.what(), "block 20: broken; mend it");
    }
  }
}

TEST(ForEachBlock, StopsEarlyAndThrowsOnceWhenEveryBlockFails) {
  const ThreadCount cap(4);
  std::atomic<int> ran{0};
  EXPECT_THROW(for_each_block(100000,
                              [&](std::size_t) {
                                ++ran;
                                throw std::runtime_error("no");
                              }),
               std::runtime_error);
  EXPECT_LT(ran.load(), 100000);
}

// What a person is told must not depend on which thread came first.
TEST(ForEachBlock, RethrowsTheFirstBlocksExceptionThoughALaterOneFailsSooner) {
  const ThreadCount cap(2);
  std::atomic<bool> later_failed{false};
  try {
    for_each_block(2, [&](std::size_t block) {
      if (block == 1) {
        later_failed = true;
        throw std::runtime_error("block 1");
      }
      while (!later_failed)
        std::this_thread::yield();
      // The other thread needs a moment from its throw to where it is noted.
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
      throw std::runtime_error("block 0");
    });
    FAIL() << "nothing was thrown";
  } catch (const std::runtime_error& error) {
    EXPECT_STREQ(error.what(), "block 0");
  }
}

TEST(ForEachBlock, WorksAgainAfterAFailure) {
  EXPECT_THROW(for_each_block(10, [](std::size_t) { throw std::runtime_error("no"); }), std::runtime_error);
  EXPECT_EQ(visits(10, 4), std::vector<int>(10, 1));
}

TEST(ForEachBlock, MayBeNested) {
  const ThreadCount cap(3);
  std::vector<std::vector<int>> count(9, std::vector<int>(11));
  for_each_block(count.size(), [&](std::size_t outer) {
    for_each_block(count[outer].size(), [&](std::size_t inner) { ++count[outer][inner]; });
  });
  EXPECT_EQ(count, (std::vector<std::vector<int>>(9, std::vector<int>(11, 1))));
}

TEST(ForEachRowBand, CoversEveryRowOnceInBandsThatDoNotDependOnThreads) {
  for (const int rows : {-1, 0, 1, 2, 15, 16, 17, 160, 1001}) {
    std::vector<std::vector<int>> first_rows;
    for (const unsigned threads : {1u, 5u}) {
      const ThreadCount cap(threads);
      std::vector<int> count(static_cast<std::size_t>(std::max(rows, 0)));
      std::vector<int> begins(count.size());
      for_each_row_band(rows, [&](int begin, int end) {
        EXPECT_LT(begin, end);
        EXPECT_LE(end, rows);
        for (int row = begin; row < end; ++row) {
          ++count[static_cast<std::size_t>(row)];
          begins[static_cast<std::size_t>(row)] = begin;
        }
      });
      EXPECT_EQ(count, std::vector<int>(count.size(), 1)) << rows;
      first_rows.push_back(begins);
    }
    EXPECT_EQ(first_rows[0], first_rows[1]) << rows;
  }
}

TEST(ThreadCount, IsRestoredWhenItGoesOutOfScope) {
  const unsigned all = ThreadCount::current();
  EXPECT_GE(all, 1u);
  {
    const ThreadCount two(2);
    EXPECT_EQ(ThreadCount::current(), 2u);
    {
      const ThreadCount one(1);
      EXPECT_EQ(ThreadCount::current(), 1u);
    }
    EXPECT_EQ(ThreadCount::current(), 2u);
    const ThreadCount no_cap(0);
    EXPECT_EQ(ThreadCount::current(), all);
  }
  EXPECT_EQ(ThreadCount::current(), all);
}

// Two plans in one process do not change each other's count.
TEST(ThreadCount, BelongsToTheCallingThread) {
  const ThreadCount two(2);
  unsigned seen = 0;
  std::thread([&] {
    const ThreadCount seven(7);
    seen = ThreadCount::current();
  }).join();
  EXPECT_EQ(seen, 7u);
  EXPECT_EQ(ThreadCount::current(), 2u);
}

std::vector<unsigned> counts_inside(unsigned cap, std::size_t blocks) {
  const ThreadCount threads(cap);
  std::vector<unsigned> seen(blocks);
  for_each_block(blocks, [&](std::size_t block) { seen[block] = ThreadCount::current(); });
  EXPECT_EQ(ThreadCount::current(), cap);
  return seen;
}

// What is started inside a block shares what its call leaves unused, and so never exceeds the cap.
TEST(ThreadCount, IsSharedByTheCallsInsideABlock) {
  EXPECT_EQ(counts_inside(3, 40), std::vector<unsigned>(40, 1u));
  EXPECT_EQ(counts_inside(8, 2), std::vector<unsigned>(2, 4u));
  EXPECT_EQ(counts_inside(8, 1), std::vector<unsigned>(1, 8u));
}

}  // namespace
}  // namespace powderplan
