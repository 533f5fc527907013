#include "separation/disc_sweep.h"

#include <algorithm>
#include <cmath>

#include "parallel.h"

namespace powderplan {
namespace {

using Word = BitMask::Word;
constexpr int word_bits = BitMask::word_bits;

// The word that begins `part` points after the beginning of *at.
Word shifted(const Word* at, int part) {
  return part == 0 ? *at : at[0] >> part | at[1] << (word_bits - part);
}

// What a word beyond the mask is.
template <bool all>
constexpr Word beyond = all ? ~Word{0} : 0;

// Each bit of a row says whether all (or any) of `reached` points from it on are in; afterwards of `length`.
template <bool all>
void lengthen(std::vector<Word>& row, int reached, int length) {
  while (reached < length) {
    const int step = std::min(reached, length - reached);
    const int whole = step / word_bits, part = step % word_bits;
    const int count = static_cast<int>(row.size()) - whole - 1;
    // From left to right, so what is read has not been written yet.
    Word* to = row.data();
    for (int w = 0; w < count; ++w) {
      const Word ahead = shifted(to + w + whole, part);
      to[w] = all ? to[w] & ahead : to[w] | ahead;
    }
    reached += step;
  }
}

// Whether a row is like what lies beyond the mask, so that it changes nothing.
template <bool all>
bool is_idle(const Word* row, const BitMask& mask) {
  const int last = mask.words() - 1;
  return std::all_of(row, row + last, [](Word w) { return w == beyond<all>; }) &&
         row[last] == (beyond<all> & mask.last_bits());
}

// The rows [begin, end) of the result.
template <bool all>
void sweep_rows(const BitMask& mask, const DiscRows& disc, int begin, int end, BitMask& out) {
  const int diameter = static_cast<int>(disc.rows.size()), last = mask.words() - 1;
  // A row has room on both sides for what discs reach over.
  const int room = diameter / word_bits + 1;
  const auto length = static_cast<std::size_t>(2 * room + std::max(mask.words(), out.words()) + 1);
  std::vector<Word> padded(length, beyond<all>), line = padded;
  const int till = std::min(mask.height(), end + disc.first_row + diameter - 1);
  for (int y = std::max(0, begin + disc.first_row); y < till; ++y) {
    const Word* from = mask.row(y);
    if (is_idle<all>(from, mask))
      continue;
    std::copy(from, from + last + 1, padded.begin() + room);
    if constexpr (all)
      padded[static_cast<std::size_t>(room + last)] |= ~mask.last_bits();
    std::copy(padded.begin(), padded.end(), line.begin());
    // Rows of the disc are as long above its middle as below, and the longer the nearer to it.
    int reached = 1;
    for (int r = 0; 2 * r < diameter; ++r) {
      const DiscRows::Run& run = disc.rows[static_cast<std::size_t>(r)];
      lengthen<all>(line, reached, run.length);
      reached = run.length;
      const int at = room * word_bits + run.first;
      const Word* runs = line.data() + at / word_bits;
      const int part = at % word_bits;
      // The middle row of an odd disc is written twice, which changes nothing.
      for (const int row : {r, diameter - 1 - r}) {
        const int to_y = y - disc.first_row - row;
        if (to_y < begin || to_y >= end)
          continue;
        Word* to = out.row(to_y);
        for (int w = 0; w < out.words(); ++w) {
          const Word word = shifted(runs + w, part);
          to[w] = all ? to[w] & word : to[w] | word;
        }
      }
    }
  }
  for (int y = begin; y < end; ++y)
    out.row(y)[out.words() - 1] &= out.last_bits();
}

template <bool all>
BitMask swept(const BitMask& mask, const DiscRows& disc, cv::Size size) {
  BitMask out(size.width, size.height, all);
  if (mask.empty() || out.empty())
    return out;
  constexpr int rows_at_once = 128;
  const int blocks = (size.height + rows_at_once - 1) / rows_at_once;
  for_each_block(static_cast<std::size_t>(blocks), [&](std::size_t block) {
    const int begin = static_cast<int>(block) * rows_at_once;
    sweep_rows<all>(mask, disc, begin, std::min(size.height, begin + rows_at_once), out);
  });
  return out;
}

}  // namespace

DiscRows rows_of_disc(int diameter, bool mirrored) {
  const int anchor = diameter / 2, last = diameter - 1;
  const double centre = last / 2.0, radius = diameter / 2.0;
  DiscRows disc{mirrored ? anchor - last : -anchor, {}};
  for (int y = 0; y < diameter; ++y) {
    int margin = 0;
    while (std::hypot(margin - centre, y - centre) > radius)
      ++margin;
    disc.rows.push_back({margin + disc.first_row, diameter - 2 * margin});
  }
  return disc;
}

BitMask where_all_in(const BitMask& mask, const DiscRows& disc, cv::Size size) {
  return swept<true>(mask, disc, size);
}
BitMask where_any_in(const BitMask& mask, const DiscRows& disc, cv::Size size) {
  return swept<false>(mask, disc, size);
}

BitMask places_of_disc(const BitMask& mask, int diameter) {
  return where_all_in(mask, rows_of_disc(diameter, false), mask.size());
}
BitMask discs_touching(const BitMask& mask, int diameter) {
  return where_any_in(mask, rows_of_disc(diameter, false), mask.size());
}
BitMask covered_by_discs(const BitMask& places, int diameter) {
  return where_any_in(places, rows_of_disc(diameter, true), places.size());
}

void clear_discs(BitMask& mask, const DiscRows& disc, const std::vector<cv::Point>& points) {
  for (const cv::Point& p : points) {
    int y = p.y + disc.first_row;
    for (const DiscRows::Run& run : disc.rows)
      mask.clear_run(y++, p.x + run.first, p.x + run.first + run.length);
  }
}

}  // namespace powderplan
