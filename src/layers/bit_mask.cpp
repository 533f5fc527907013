#include "layers/bit_mask.h"

#include <algorithm>

#include "parallel.h"

namespace powderplan {
namespace {

constexpr int bits = BitMask::bits;
constexpr std::uint64_t all_set = ~std::uint64_t{0};

// The bits of word `i` of a row that lie from `begin` to before `end`, which are within the row.
std::uint64_t within(int i, int begin, int end) {
  const int from = std::max(begin - i * bits, 0), to = std::min(end - i * bits, bits);
  const std::uint64_t below = to == bits ? all_set : (std::uint64_t{1} << to) - 1;
  return below & (all_set << from);
}

}  // namespace

BitMask::BitMask(int width, int height, bool value)
    : width_(width),
      height_(height),
      words_((width + bits - 1) / bits),
      values_(index(height), value ? all_set : 0) {
  if (value)
    trim();
}

BitMask::BitMask(const Image<std::uint8_t>& mask) : BitMask(mask.width(), mask.height()) {
  for_each_row_band(height_, [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int i = 0; i < words_; ++i) {
        const std::uint8_t* from = mask.row(y) + i * bits;
        std::uint64_t word = 0;
        for (int k = 0; k < std::min(bits, width_ - i * bits); ++k)
          word |= std::uint64_t{from[k] != 0} << k;
        row(y)[i] = word;
      }
    }
  });
}

void BitMask::clear(int y, int begin, int end) {
  begin = std::max(begin, 0);
  end = std::min(end, width_);
  if (y < 0 || y >= height_ || begin >= end)
    return;
  for (int i = begin / bits; i * bits < end; ++i)
    row(y)[i] &= ~within(i, begin, end);
}

void BitMask::set(int y, int begin, int end) {
  begin = std::max(begin, 0);
  end = std::min(end, width_);
  if (y < 0 || y >= height_ || begin >= end)
    return;
  for (int i = begin / bits; i * bits < end; ++i)
    row(y)[i] |= within(i, begin, end);
}

bool BitMask::any() const {
  return std::any_of(values_.begin(), values_.end(), [](std::uint64_t word) { return word != 0; });
}

std::size_t BitMask::count() const {
  std::size_t sum = 0;
  for (const std::uint64_t word : values_)
    sum += static_cast<std::size_t>(std::popcount(word));
  return sum;
}

Image<std::uint8_t> BitMask::image() const {
  Image<std::uint8_t> image(width_, height_);
  for_each_row_band(height_, [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      std::uint8_t* to = image.row(y);
      for (int x = 0; x < width_; ++x)
        to[x] = static_cast<std::uint8_t>(row(y)[x / bits] >> (x % bits) & 1);
    }
  });
  return image;
}

BitMask BitMask::cut_out(const cv::Rect& box, bool beyond) const {
  BitMask cut(box.width, box.height, beyond);
  const int first = std::max(box.x, 0), end = std::min(box.x + box.width, width_);
  if (first >= end)
    return cut;
  for (int y = std::max(box.y, 0); y < std::min(box.y + box.height, height_); ++y) {
    std::uint64_t* to = cut.row(y - box.y);
    cut.clear(y - box.y, first - box.x, end - box.x);
    for (int x = first / bits * bits; x < end; x += bits) {
      const int from = std::max(x, first), till = std::min(x + bits, end);
      const std::uint64_t word = row(y)[x / bits] & within(x / bits, from, till);
      // Its points in the new row, which may lie in two words there.
      const int at = x - box.x, shift = (at % bits + bits) % bits, i = (at - shift) / bits;
      if (i >= 0)
        to[i] |= word << shift;
      if (shift != 0 && i + 1 < cut.words_)
        to[i + 1] |= word >> (bits - shift);
    }
  }
  return cut;
}

BitMask BitMask::inverted() const {
  BitMask other = *this;
  for (std::uint64_t& word : other.values_)
    word = ~word;
  other.trim();
  return other;
}

BitMask& BitMask::operator&=(const BitMask& other) {
  for (std::size_t i = 0; i < values_.size(); ++i)
    values_[i] &= other.values_[i];
  return *this;
}
BitMask& BitMask::operator|=(const BitMask& other) {
  for (std::size_t i = 0; i < values_.size(); ++i)
    values_[i] |= other.values_[i];
  return *this;
}
BitMask& BitMask::without(const BitMask& other) {
  for (std::size_t i = 0; i < values_.size(); ++i)
    values_[i] &= ~other.values_[i];
  return *this;
}

void BitMask::trim() {
  if (width_ % bits == 0)
    return;
  for (int y = 0; y < height_; ++y)
    row(y)[words_ - 1] &= within(words_ - 1, 0, width_);
}

BitWidthRule::BitWidthRule(const std::vector<cv::Point>& disc, int diameter) : diameter_(diameter) {
  // The disc's points come row by row, each row without a gap.
  for (const cv::Point& p : disc) {
    if (rows_.empty() || rows_.back().down != p.y)
      rows_.push_back({p.y, p.x, 0});
    ++rows_.back().length;
  }
  for (const Row& row : rows_)
    mirrored_.push_back({-row.down, -(row.right + row.length - 1), row.length});
}

// What all (`both`), or else any, of the points under a disc are. What is beyond the mask counts as set for
// all and as not set for any.
template <bool both>
BitMask BitWidthRule::swept(const BitMask& mask, const std::vector<Row>& rows, int width, int height) {
  constexpr std::uint64_t beyond = both ? all_set : 0;
  BitMask result(width, height);
  std::vector<int> lengths;
  int reach = 0, above = 0, below = 0;
  for (const Row& row : rows) {
    lengths.push_back(row.length);
    reach = std::max({reach, std::abs(row.right), row.length});
    above = std::min(above, row.down);
    below = std::max(below, row.down);
  }
  std::sort(lengths.begin(), lengths.end());
  lengths.erase(std::unique(lengths.begin(), lengths.end()), lengths.end());
  // A row has room on both sides for what discs reach over.
  const int room = reach / bits + 1;
  const int used = std::max(mask.words(), result.words()) + 2 * room, stride = used + room + 1;
  constexpr int rows_at_once = 64;
  for_each_block(static_cast<std::size_t>((height + rows_at_once - 1) / rows_at_once), [&](std::size_t b) {
    const int begin = static_cast<int>(b) * rows_at_once, end = std::min(height, begin + rows_at_once);
    const int first = std::max(begin + above, 0), last = std::min(end - 1 + below, mask.height() - 1);
    // For each length and row: whether so many points from here on are set.
    const auto place = [&](std::size_t length, int y) {
      return (length * static_cast<std::size_t>(last - first + 1) + static_cast<std::size_t>(y - first)) *
             static_cast<std::size_t>(stride);
    };
    std::vector<std::uint64_t> runs(first <= last ? place(lengths.size(), first) : 0, beyond);
    for (int y = first; y <= last; ++y) {
      std::uint64_t* now = runs.data() + place(0, y);
      std::copy_n(mask.row(y), mask.words(), now + room);
      if (both && mask.width() % bits != 0)
        now[room + mask.words() - 1] |= ~within(mask.words() - 1, 0, mask.width());
      int length = 1;
      for (std::size_t k = 0; k < lengths.size(); ++k) {
        std::uint64_t* next = runs.data() + place(k, y);
        if (k > 0)
          std::copy_n(now, stride, next);
        now = next;
        while (length < lengths[k]) {
          const int step = std::min(length, lengths[k] - length);
          // From left to right, so what is read has not been written yet.
          const int skipped = step / bits, shift = step % bits;
          for (int i = 0; i < used; ++i) {
            const std::uint64_t ahead = shift == 0 ? now[i + skipped]
                                                   : now[i + skipped] >> shift | now[i + skipped + 1]
                                                                                     << (bits - shift);
            now[i] = both ? now[i] & ahead : now[i] | ahead;
          }
          length += step;
        }
      }
    }
    for (int y = begin; y < end; ++y) {
      std::uint64_t* to = result.row(y);
      std::fill_n(to, result.words(), beyond);
      for (const Row& row : rows) {
        if (y + row.down < first || y + row.down > last)
          continue;
        const auto length = static_cast<std::size_t>(
            std::lower_bound(lengths.begin(), lengths.end(), row.length) - lengths.begin());
        const int start = room * bits + row.right, skipped = start / bits, shift = start % bits;
        const std::uint64_t* from = runs.data() + place(length, y + row.down) + skipped;
        for (int i = 0; i < result.words(); ++i) {
          const std::uint64_t word = shift == 0 ? from[i] : from[i] >> shift | from[i + 1] << (bits - shift);
          to[i] = both ? to[i] & word : to[i] | word;
        }
      }
      if (width % bits != 0)
        to[result.words() - 1] &= within(result.words() - 1, 0, width);
    }
  });
  return result;
}

BitMask BitWidthRule::places(const BitMask& mask) const {
  return swept<true>(mask, rows_, mask.width(), mask.height());
}

BitMask BitWidthRule::touching(const BitMask& mask) const {
  return swept<false>(mask, rows_, mask.width(), mask.height());
}
BitMask BitWidthRule::discs_on(const BitMask& places) const {
  return swept<false>(places, mirrored_, places.width(), places.height());
}

// As in WidthRule::opened: a disc of even diameter may lie on the right and lower edges with its anchor a
// point beyond.
BitMask BitWidthRule::opened(const BitMask& mask) const {
  if (mask.width() == 0 || mask.height() == 0)
    return mask;
  const int beyond = diameter_ % 2 == 0 ? 1 : 0;
  const BitMask kept = swept<true>(mask, rows_, mask.width() + beyond, mask.height() + beyond);
  return swept<false>(kept, mirrored_, mask.width(), mask.height());
}

BitMask BitWidthRule::shrunk_to_rule(BitMask mask) const {
  for (;;) {
    mask = opened(mask);
    BitMask webs = mask.inverted();
    webs.without(opened(webs));
    if (!webs.any())
      return mask;
    mask.without(touching(webs));
  }
}

void BitWidthRule::clear_round(BitMask& mask, const std::vector<cv::Point>& points) const {
  for (const cv::Point& p : points) {
    for (const Row& row : rows_)
      mask.clear(p.y + row.down, p.x + row.right, p.x + row.right + row.length);
  }
}

}  // namespace powderplan
