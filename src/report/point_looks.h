// What each grid point looks like at a moment, told row by row, so that a picture of a large piece need not
// be held to be written. The rule of the stack is that of report/stage.h, the optics those of
// optics/quick_stack.h. Points that carry the same are mostly near each other: what was seen lately is kept.
#pragma once

#include <cstdint>
#include <vector>

#include "optics/quick_stack.h"
#include "report/stage.h"

namespace powderplan {

// Colour is Rgb8 or PackedLab. Its largest difference from spot_colours is quick_stack_codes, then rounded.
// For one thread; the answers do not depend on what was asked before.
template <class Colour>
class PointLooks {
 public:
  PointLooks(const PlanRecord& record, const Moment& moment, View view);
  // At several moments. The same colours as one by one, faster where each adds a little to the one before.
  PointLooks(const PlanRecord& record, const std::vector<Moment>& moments, View view);

  // Of the points of a row of the grid, at the first moment.
  void row(int y, Colour* to);
  // Of one point, counted row by row.
  Colour at(std::size_t point) { return *at_all(point); }
  // One a moment; valid until the next question.
  const Colour* at_all(std::size_t point);

 private:
  // A layer that lies at a moment.
  struct Lying {
    std::size_t place;  // of its amounts
    Load load;
    std::size_t kind;  // whose table its coats are in
  };
  // Layers of one powder in one state of heat: their loads add up where nothing lies between.
  struct Kind {
    std::size_t powder;
    FinishValues values;
    Load most;
    friend bool operator==(const Kind&, const Kind&) = default;
  };
  struct OneCoat {
    std::size_t kind = 0;
    Load load;
    friend bool operator==(const OneCoat&, const OneCoat&) = default;
  };
  // The amounts of all that lies, as words to be compared at once; false when they are those of the last
  // time.
  bool take_amounts(std::size_t point);
  const Colour* colours();
  void lay_coats(const std::vector<Lying>& lying);

  int width_;
  std::vector<const Amount*> layers_;      // amounts of all that lies at any moment
  std::vector<std::vector<Lying>> lying_;  // by moment
  std::vector<CoatTable> tables_;          // by kind
  QuickStack stack_;
  std::vector<OneCoat> laid_, coats_;  // on stack_, and wanted there
  QuickCoat room_;
  std::vector<std::uint64_t> amounts_, last_;
  const Colour* last_colours_ = nullptr;
  // By a number made of the amounts, what was seen last: one colour a moment.
  std::vector<std::uint64_t> kept_amounts_;
  std::vector<Colour> kept_colours_;
  std::vector<std::uint8_t> kept_;
};

// All points, shared between the threads.
template <class Colour>
void looks_by_rows(const PlanRecord& record, const Moment& moment, View view, Image<Colour>& into);

extern template class PointLooks<Rgb8>;
extern template class PointLooks<PackedLab>;
extern template void looks_by_rows(const PlanRecord&, const Moment&, View, Image<Rgb8>&);
extern template void looks_by_rows(const PlanRecord&, const Moment&, View, Image<PackedLab>&);

}  // namespace powderplan
