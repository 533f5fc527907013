#include "raster/bit_mask.h"

#include <algorithm>
#include <cstring>
#include <opencv2/core/mat.hpp>

namespace powderplan {
namespace {

using Word = BitMask::Word;

constexpr Word each_byte = 0x0101010101010101;

// 1 in each byte that is not 0.
Word ones_of(Word bytes) {
  constexpr Word low_bits = 0x7f * each_byte;
  return (((bytes & low_bits) + low_bits) | bytes) >> 7 & each_byte;
}
// Eight bytes to eight bits and back; the first byte is the lowest bit.
Word packed(const std::uint8_t* bytes) {
  Word word = 0;
  std::memcpy(&word, bytes, sizeof word);
  return ones_of(word) * 0x0102040810204080 >> 56;
}
void unpack(Word bits, std::uint8_t* bytes) {
  const Word word = ones_of(bits * each_byte & 0x8040201008040201);
  std::memcpy(bytes, &word, sizeof word);
}
static_assert(std::endian::native == std::endian::little);

// The bits of a row's word w that lie from `begin` to before `end`, some of which do.
Word within(int w, int begin, int end) {
  constexpr int bits = BitMask::word_bits;
  const int from = std::max(begin - w * bits, 0), to = std::min(end - w * bits, bits);
  return ~Word{0} << from & ~Word{0} >> (bits - to);
}

// Calls visit(w, bits) for the words of a row that hold points from `begin` to before `end`.
template <class Visit>
void for_each_word(const BitMask& mask, int y, int begin, int end, Visit&& visit) {
  begin = std::max(begin, 0);
  end = std::min(end, mask.width());
  if (y < 0 || y >= mask.height() || begin >= end)
    return;
  for (int w = begin / BitMask::word_bits; w * BitMask::word_bits < end; ++w)
    visit(w, within(w, begin, end));
}

// Each point with those to its left and right.
void spread(const Word* from, Word* to, int words) {
  for (int w = 0; w < words; ++w) {
    const Word left = from[w] << 1 | (w > 0 ? from[w - 1] >> 63 : 0);
    const Word right = from[w] >> 1 | (w + 1 < words ? from[w + 1] << 63 : 0);
    to[w] = from[w] | left | right;
  }
}

}  // namespace

cv::Size_<int> BitMask::size() const {
  return {width_, height_};
}

BitMask::BitMask(int width, int height, bool value)
    : width_(width),
      height_(height),
      words_((width + word_bits - 1) / word_bits),
      bits_(index(height), value ? ~Word{0} : 0) {
  if (value)
    trim();
}

BitMask::BitMask(const cv::Mat& bytes) : BitMask(bytes.cols, bytes.rows) {
  for (int y = 0; y < height_; ++y)
    read_row(y, bytes.ptr<std::uint8_t>(y));
}
BitMask::BitMask(const Image<std::uint8_t>& bytes) : BitMask(bytes.width(), bytes.height()) {
  for (int y = 0; y < height_; ++y)
    read_row(y, bytes.row(y));
}

void BitMask::read_row(int y, const std::uint8_t* bytes) {
  Word* to = row(y);
  int x = 0;
  for (; x + 8 <= width_; x += 8)
    to[x / word_bits] |= packed(bytes + x) << (x % word_bits);
  for (; x < width_; ++x)
    to[x / word_bits] |= Word{bytes[x] != 0} << (x % word_bits);
}

cv::Mat BitMask::bytes() const {
  cv::Mat out(height_, width_, CV_8U);
  for (int y = 0; y < height_; ++y) {
    auto* to = out.ptr<std::uint8_t>(y);
    const Word* from = row(y);
    int x = 0;
    for (; x + 8 <= width_; x += 8)
      unpack(from[x / word_bits] >> (x % word_bits) & 0xff, to + x);
    for (; x < width_; ++x)
      to[x] = static_cast<std::uint8_t>(from[x / word_bits] >> (x % word_bits) & 1);
  }
  return out;
}

void BitMask::set_run(int y, int begin, int end) {
  for_each_word(*this, y, begin, end, [&](int w, Word bits) { row(y)[w] |= bits; });
}
void BitMask::clear_run(int y, int begin, int end) {
  for_each_word(*this, y, begin, end, [&](int w, Word bits) { row(y)[w] &= ~bits; });
}

BitMask::Word BitMask::bits(int x, int y, int count) const {
  if (y < 0 || y >= height_ || count <= 0 || x >= width_)
    return 0;
  if (x < 0)
    return -x >= count ? 0 : bits(0, y, count + x) << -x;
  const int w = x / word_bits;
  const int shift = x % word_bits;
  Word out = row(y)[w] >> shift;
  if (shift != 0 && w + 1 < words_)
    out |= row(y)[w + 1] << (word_bits - shift);
  return count >= word_bits ? out : out & ((Word{1} << count) - 1);
}

void BitMask::flip(int x, int y, Word bits) {
  const int w = x / word_bits;
  const int shift = x % word_bits;
  row(y)[w] ^= bits << shift;
  if (shift != 0 && w + 1 < words_)
    row(y)[w + 1] ^= bits >> (word_bits - shift);
}

bool BitMask::any() const {
  return std::any_of(bits_.begin(), bits_.end(), [](Word w) { return w != 0; });
}

std::size_t BitMask::count() const {
  std::size_t sum = 0;
  for (const Word word : bits_)
    sum += static_cast<std::size_t>(std::popcount(word));
  return sum;
}

BitMask BitMask::inverted() const {
  BitMask out = *this;
  for (Word& word : out.bits_)
    word = ~word;
  out.trim();
  return out;
}

BitMask BitMask::cut_out(const cv::Rect& box, bool beyond) const {
  BitMask cut(box.width, box.height, beyond);
  const int begin = std::max(box.x, 0), end = std::min(box.x + box.width, width_);
  if (begin >= end)
    return cut;
  for (int y = std::max(box.y, 0); y < std::min(box.y + box.height, height_); ++y) {
    Word* to = cut.row(y - box.y);
    cut.clear_run(y - box.y, begin - box.x, end - box.x);
    // A word of the new row at a time.
    for (int w = (begin - box.x) / word_bits; w * word_bits + box.x < end; ++w) {
      const int x = w * word_bits + box.x;
      to[w] |= bits(x, y, std::min(end - x, word_bits));
    }
  }
  return cut;
}

void BitMask::trim() {
  for (int y = 0; y < height_ && words_ > 0; ++y)
    row(y)[words_ - 1] &= last_bits();
}

BitMask& BitMask::operator&=(const BitMask& other) {
  for (std::size_t i = 0; i < bits_.size(); ++i)
    bits_[i] &= other.bits_[i];
  return *this;
}
BitMask& BitMask::operator|=(const BitMask& other) {
  for (std::size_t i = 0; i < bits_.size(); ++i)
    bits_[i] |= other.bits_[i];
  return *this;
}
BitMask& BitMask::operator^=(const BitMask& other) {
  for (std::size_t i = 0; i < bits_.size(); ++i)
    bits_[i] ^= other.bits_[i];
  return *this;
}
BitMask& BitMask::remove(const BitMask& other) {
  for (std::size_t i = 0; i < bits_.size(); ++i)
    bits_[i] &= ~other.bits_[i];
  return *this;
}

void BitMask::keep_rows(int begin, int end) {
  std::fill(bits_.data(), row(begin), 0);
  std::fill(row(end), bits_.data() + bits_.size(), 0);
}

BitMask grown(const BitMask& mask, int reach) {
  const int words = mask.words();
  BitMask across = mask, out(mask.width(), mask.height());
  // Sideways by doubling: a step of s spreads what has reached s points already to 2 s.
  std::vector<Word> line(static_cast<std::size_t>(words));
  const auto shifted_in = [&](Word* row, int by) {
    const int whole = by / BitMask::word_bits;
    const int part = by % BitMask::word_bits;
    const auto word = [&](int w) { return w < words ? row[w] : Word{0}; };
    for (int w = 0; w < words; ++w) {
      Word left = w >= whole ? word(w - whole) << part : 0, right = word(w + whole) >> part;
      if (part != 0) {
        left |= w >= whole + 1 ? word(w - whole - 1) >> (BitMask::word_bits - part) : 0;
        right |= word(w + whole + 1) << (BitMask::word_bits - part);
      }
      line[static_cast<std::size_t>(w)] = row[w] | left | right;
    }
    std::copy(line.begin(), line.end(), row);
  };
  for (int y = 0; y < mask.height() && words > 0; ++y) {
    Word* row = across.row(y);
    if (std::all_of(row, row + words, [](Word w) { return w == 0; }))
      continue;
    for (int reached = 0; reached < reach;) {
      const int step = std::min(reach - reached, reached + 1);
      shifted_in(row, step);
      reached += step;
    }
    row[words - 1] &= mask.last_bits();
    for (int to = std::max(0, y - reach); to <= std::min(mask.height() - 1, y + reach); ++to) {
      for (int w = 0; w < words; ++w)
        out.row(to)[w] |= row[w];
    }
  }
  return out;
}

BitMask worn(const BitMask& mask, bool cross) {
  // What is out grows.
  const BitMask outside = mask.inverted();
  BitMask out(mask.width(), mask.height());
  const int words = mask.words();
  BitMask wide(mask.width(), mask.height());
  for (int y = 0; y < mask.height(); ++y)
    spread(outside.row(y), wide.row(y), words);
  const BitMask& beside = cross ? outside : wide;
  for (int y = 0; y < mask.height(); ++y) {
    for (int w = 0; w < words; ++w) {
      const Word above = y > 0 ? beside.row(y - 1)[w] : 0;
      const Word below = y + 1 < mask.height() ? beside.row(y + 1)[w] : 0;
      out.row(y)[w] = mask.row(y)[w] & ~(wide.row(y)[w] | above | below);
    }
  }
  return out;
}

}  // namespace powderplan
