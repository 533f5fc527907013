#include "separation/bit_mask.h"

#include <algorithm>
#include <cstring>

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

// Each point with those to its left and right.
void spread(const Word* from, Word* to, std::size_t words) {
  for (std::size_t w = 0; w < words; ++w) {
    const Word left = from[w] << 1 | (w > 0 ? from[w - 1] >> 63 : 0);
    const Word right = from[w] >> 1 | (w + 1 < words ? from[w + 1] << 63 : 0);
    to[w] = from[w] | left | right;
  }
}

}  // namespace

BitMask::BitMask(int width, int height)
    : width_(width),
      height_(height),
      words_((static_cast<std::size_t>(width) + word_bits - 1) / word_bits),
      bits_(words_ * static_cast<std::size_t>(height), 0) {}

BitMask::BitMask(const cv::Mat& bytes) : BitMask(bytes.cols, bytes.rows) {
  for (int y = 0; y < height_; ++y) {
    const auto* from = bytes.ptr<std::uint8_t>(y);
    Word* to = row(y);
    int x = 0;
    for (; x + 8 <= width_; x += 8)
      to[x / word_bits] |= packed(from + x) << (x % word_bits);
    for (; x < width_; ++x)
      to[x / word_bits] |= Word{from[x] != 0} << (x % word_bits);
  }
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

BitMask::Word BitMask::bits(int x, int y, int count) const {
  if (y < 0 || y >= height_ || count <= 0 || x >= width_)
    return 0;
  if (x < 0)
    return -x >= count ? 0 : bits(0, y, count + x) << -x;
  const auto w = static_cast<std::size_t>(x / word_bits);
  const int shift = x % word_bits;
  Word out = row(y)[w] >> shift;
  if (shift != 0 && w + 1 < words_)
    out |= row(y)[w + 1] << (word_bits - shift);
  return count >= word_bits ? out : out & ((Word{1} << count) - 1);
}

void BitMask::flip(int x, int y, Word bits) {
  const auto w = static_cast<std::size_t>(x / word_bits);
  const int shift = x % word_bits;
  row(y)[w] ^= bits << shift;
  if (shift != 0 && w + 1 < words_)
    row(y)[w + 1] ^= bits >> (word_bits - shift);
}

bool BitMask::any() const {
  return std::any_of(bits_.begin(), bits_.end(), [](Word w) { return w != 0; });
}

BitMask BitMask::inverted() const {
  BitMask out(width_, height_);
  for (int y = 0; y < height_ && words_ > 0; ++y) {
    for (std::size_t w = 0; w < words_; ++w)
      out.row(y)[w] = ~row(y)[w];
    out.row(y)[words_ - 1] &= last_bits();
  }
  return out;
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
  std::fill(bits_.begin(),
            bits_.begin() + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(begin) * words_), 0);
  std::fill(bits_.begin() + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(end) * words_), bits_.end(),
            0);
}

BitMask grown(const BitMask& mask, int reach) {
  const std::size_t words = mask.words();
  BitMask across = mask, out(mask.width(), mask.height());
  // Sideways by doubling: a step of s spreads what has reached s points already to 2 s.
  std::vector<Word> line(words);
  const auto shifted_in = [&](Word* row, int by) {
    const auto whole = static_cast<std::size_t>(by / BitMask::word_bits);
    const int part = by % BitMask::word_bits;
    const auto word = [&](std::size_t w) { return w < words ? row[w] : Word{0}; };
    for (std::size_t w = 0; w < words; ++w) {
      Word left = w >= whole ? word(w - whole) << part : 0, right = word(w + whole) >> part;
      if (part != 0) {
        left |= w >= whole + 1 ? word(w - whole - 1) >> (BitMask::word_bits - part) : 0;
        right |= word(w + whole + 1) << (BitMask::word_bits - part);
      }
      line[w] = row[w] | left | right;
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
      for (std::size_t w = 0; w < words; ++w)
        out.row(to)[w] |= row[w];
    }
  }
  return out;
}

BitMask worn(const BitMask& mask, bool cross) {
  // What is out grows.
  const BitMask outside = mask.inverted();
  BitMask out(mask.width(), mask.height());
  const std::size_t words = mask.words();
  BitMask wide(mask.width(), mask.height());
  for (int y = 0; y < mask.height(); ++y)
    spread(outside.row(y), wide.row(y), words);
  const BitMask& beside = cross ? outside : wide;
  for (int y = 0; y < mask.height(); ++y) {
    for (std::size_t w = 0; w < words; ++w) {
      const Word above = y > 0 ? beside.row(y - 1)[w] : 0;
      const Word below = y + 1 < mask.height() ? beside.row(y + 1)[w] : 0;
      out.row(y)[w] = mask.row(y)[w] & ~(wide.row(y)[w] | above | below);
    }
  }
  return out;
}

}  // namespace powderplan
