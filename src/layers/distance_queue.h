// A queue of places by how far off they are, for searches that take the nearest first (Dial 1969: buckets).
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace powderplan {

// Distances are 0 or more, in any unit. A bucket holds those that agree to 1 in 1024, or that are less than
// 1/4096; within it the last comes first. So what comes first is at most that much farther than the nearest,
// and a search that looks again at places to which it has found a shorter way still ends with the shortest.
class DistanceQueue {
 public:
  struct Entry {
    float distance;
    int place;
  };

  void clear() {
    entries_.clear();
    for (std::size_t i = first_word_; i < words; ++i) {
      for (; filled_[i] != 0; filled_[i] &= filled_[i] - 1)
        last_of_[i * word_bits + static_cast<std::size_t>(std::countr_zero(filled_[i]))] = nothing;
    }
    first_word_ = words;
    free_ = nothing;
  }

  void add(float distance, int place) {
    const std::size_t bucket = bucket_of(distance), word = bucket / word_bits;
    const Link link{{distance, place}, last_of_[bucket]};
    if (free_ == nothing) {
      last_of_[bucket] = static_cast<std::int32_t>(entries_.size());
      entries_.push_back(link);
    } else {
      last_of_[bucket] = free_;
      Link& reused = entries_[static_cast<std::size_t>(free_)];
      free_ = reused.next;
      reused = link;
    }
    filled_[word] |= std::uint64_t{1} << (bucket % word_bits);
    first_word_ = word < first_word_ ? word : first_word_;
  }

  [[nodiscard]] bool empty() {
    while (first_word_ < words && filled_[first_word_] == 0)
      ++first_word_;
    return first_word_ == words;
  }

  // Neither may be called when it is empty.
  [[nodiscard]] Entry first() { return entries_[static_cast<std::size_t>(last_of_[first_bucket()])].entry; }
  void remove_first() {
    const std::size_t bucket = first_bucket();
    const std::int32_t gone = last_of_[bucket];
    Link& link = entries_[static_cast<std::size_t>(gone)];
    last_of_[bucket] = link.next;
    if (link.next == nothing)
      filled_[first_word_] &= filled_[first_word_] - 1;
    link.next = free_;
    free_ = gone;
  }

 private:
  // The bits of a float that is not negative are in the order of its value: its power of two, then 23 bits.
  static constexpr int finer_bits = 13;
  static constexpr std::uint32_t lowest = std::bit_cast<std::uint32_t>(1.0F / 4096) >> finer_bits;
  static constexpr std::size_t buckets = 40 * 1024;  // so many powers of two
  static constexpr std::size_t word_bits = 64, words = buckets / word_bits;
  static constexpr std::int32_t nothing = -1;

  struct Link {
    Entry entry;
    std::int32_t next;  // of the same bucket
  };

  static std::size_t bucket_of(float distance) {
    const std::uint32_t order = std::bit_cast<std::uint32_t>(distance) >> finer_bits;
    const std::size_t bucket = order < lowest ? 0 : order - lowest + 1;
    return bucket < buckets ? bucket : buckets - 1;
  }
  std::size_t first_bucket() {
    while (filled_[first_word_] == 0)
      ++first_word_;
    return first_word_ * word_bits + static_cast<std::size_t>(std::countr_zero(filled_[first_word_]));
  }

  std::vector<std::int32_t> last_of_ = std::vector<std::int32_t>(buckets, nothing);
  std::array<std::uint64_t, words> filled_{};  // a bit a bucket
  std::size_t first_word_ = words;             // none before it has a bucket that is filled
  std::vector<Link> entries_;
  std::int32_t free_ = nothing;
};

}  // namespace powderplan
