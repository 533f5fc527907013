#include "layers/fade_course.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "layers/mask_view.h"

namespace powderplan {
namespace {

// Amounts this near to the fullest or thinnest count as that.
constexpr double as_full = 0.03;

class Course {
 public:
  Course(const Lattice& amount, const Image<std::uint8_t>& laid) : amount_(amount), laid_(laid) {}

  FadeWay way() {
    FadeWay way;
    find_range();
    if (most_ <= 0)
      return way;
    way.starts = starts();
    if (most_ - least_ < least_course)
      return way;
    // Down the slope everywhere.
    double length = 0, xx = 0, xy = 0, yy = 0;
    PointMm sum;
    for_each([&](int column, int row) {
      const PointMm g = slope(column, row);
      sum = {sum.x - g.x, sum.y - g.y};
      length += std::sqrt(g.x * g.x + g.y * g.y);
      xx += g.x * g.x;
      xy += g.x * g.y;
      yy += g.y * g.y;
    });
    if (length <= 0)
      return way;
    const double mean = std::hypot(sum.x, sum.y);
    way.dominance = mean / length;
    const PointMm thinnest = middle_of([&](double a) { return a <= least_ + as_full * (most_ - least_); });
    if (way.dominance >= least_dominance) {
      way.course = FadeCourse::one_way;
      way.towards = {sum.x / mean, sum.y / mean};
    } else if (const double spread = std::hypot(xx - yy, 2 * xy);
               (1 + spread / (xx + yy)) / 2 >= least_banded) {
      const double angle = std::atan2(2 * xy, xx - yy) / 2;
      way.towards = {std::cos(angle), std::sin(angle)};
      // To the right or, where it is more up and down, downwards.
      if (std::abs(way.towards.y) > std::abs(way.towards.x) ? way.towards.y < 0 : way.towards.x < 0)
        way.towards = {-way.towards.x, -way.towards.y};
      way.course = full_between(way.towards) ? FadeCourse::from_band : FadeCourse::to_band;
    } else if (way.starts.size() == 1 && away_from(way.starts[0]) / length >= least_round) {
      way.course = FadeCourse::outwards;
      way.middle = way.starts[0];
    } else if (-away_from(thinnest) / length >= least_round) {
      way.course = FadeCourse::inwards;
      way.middle = thinnest;
    } else {
      way.course = FadeCourse::several;
    }
    return way;
  }

 private:
  template <class Visit>
  void for_each(Visit&& visit) const {
    for (int row = 0; row < laid_.height(); ++row) {
      for (int column = 0; column < laid_.width(); ++column) {
        if (laid_.at(column, row) != 0)
          visit(column, row);
      }
    }
  }
  [[nodiscard]] double amount(int column, int row) const { return amount_.values.at(column, row); }
  [[nodiscard]] PointMm place(int column, int row) const {
    return {column * amount_.across, row * amount_.down};
  }
  [[nodiscard]] PointMm slope(int column, int row) const {
    const int left = std::max(column - 1, 0), right = std::min(column + 1, laid_.width() - 1);
    const int top = std::max(row - 1, 0), bottom = std::min(row + 1, laid_.height() - 1);
    return {(amount(right, row) - amount(left, row)) / (std::max(right - left, 1) * amount_.across),
            (amount(column, bottom) - amount(column, top)) / (std::max(bottom - top, 1) * amount_.down)};
  }

  void find_range() {
    least_ = 1;
    most_ = 0;
    for_each([&](int column, int row) {
      least_ = std::min(least_, amount(column, row));
      most_ = std::max(most_, amount(column, row));
    });
  }

  // The sum of all slopes downwards, each along the way that leads straight away from a place.
  [[nodiscard]] double away_from(PointMm from) const {
    double sum = 0;
    for_each([&](int column, int row) {
      const PointMm p = place(column, row), g = slope(column, row);
      const double far = std::sqrt((p.x - from.x) * (p.x - from.x) + (p.y - from.y) * (p.y - from.y));
      if (far > 0)
        sum -= (g.x * (p.x - from.x) + g.y * (p.y - from.y)) / far;
    });
    return sum;
  }

  // Powder lies nearer to the middle line than the area does.
  [[nodiscard]] bool full_between(PointMm across) const {
    double area = 0, at = 0, spread_of_area = 0, powder = 0, spread_of_powder = 0;
    for_each([&](int column, int row) {
      const PointMm p = place(column, row);
      ++area;
      at += p.x * across.x + p.y * across.y;
    });
    at /= area;
    for_each([&](int column, int row) {
      const PointMm p = place(column, row);
      const double off = p.x * across.x + p.y * across.y - at, a = amount(column, row);
      spread_of_area += off * off;
      spread_of_powder += a * off * off;
      powder += a;
    });
    return spread_of_powder / powder < spread_of_area / area;
  }

  // The one of the wanted points that is nearest to their middle.
  template <class Wanted>
  [[nodiscard]] PointMm middle_of(Wanted&& wanted, const cv::Mat* ids = nullptr, int id = 0) const {
    const auto counts = [&](int column, int row) {
      return (ids == nullptr || ids->at<int>(row, column) == id) && wanted(amount(column, row));
    };
    double count = 0;
    PointMm mean;
    for_each([&](int column, int row) {
      if (!counts(column, row))
        return;
      const PointMm p = place(column, row);
      ++count;
      mean = {mean.x + p.x, mean.y + p.y};
    });
    mean = {mean.x / count, mean.y / count};
    PointMm nearest;
    double least = -1;
    for_each([&](int column, int row) {
      const PointMm p = place(column, row);
      const double far = std::sqrt((p.x - mean.x) * (p.x - mean.x) + (p.y - mean.y) * (p.y - mean.y));
      if (counts(column, row) && (least < 0 || far < least)) {
        least = far;
        nearest = p;
      }
    });
    return nearest;
  }

  [[nodiscard]] std::vector<PointMm> starts() const {
    Image<std::uint8_t> full(laid_.width(), laid_.height());
    for (std::size_t i = 0; i < full.size(); ++i)
      full[i] = laid_[i] != 0 && amount_.values[i] >= start_amount * most_ ? 1 : 0;
    cv::Mat ids;
    const int count = cv::connectedComponents(view_of(full), ids, 8, CV_32S);
    struct Hill {
      int id;
      double powder = 0, most = 0;
    };
    std::vector<Hill> hills;
    for (int id = 0; id < count; ++id)
      hills.push_back({id});
    for_each([&](int column, int row) {
      Hill& hill = hills[static_cast<std::size_t>(ids.at<int>(row, column))];
      hill.powder += amount(column, row);
      hill.most = std::max(hill.most, amount(column, row));
    });
    hills.erase(hills.begin());  // what is not full
    std::stable_sort(hills.begin(), hills.end(),
                     [](const Hill& a, const Hill& b) { return a.powder > b.powder; });
    std::vector<PointMm> found;
    for (const Hill& hill : hills) {
      if (found.size() == most_starts || hill.powder < start_worth * hills[0].powder)
        break;
      const double full_from = hill.most - as_full * most_;
      found.push_back(middle_of([&](double a) { return a >= full_from; }, &ids, hill.id));
    }
    return found;
  }

  const Lattice& amount_;
  const Image<std::uint8_t>& laid_;
  double least_ = 0, most_ = 0;
};

}  // namespace

std::string_view name_of(FadeCourse course) {
  switch (course) {
    case FadeCourse::even:
      return "even";
    case FadeCourse::one_way:
      return "one way";
    case FadeCourse::outwards:
      return "outwards";
    case FadeCourse::inwards:
      return "inwards";
    case FadeCourse::from_band:
      return "from a band";
    case FadeCourse::to_band:
      return "to a band";
    case FadeCourse::several:
      return "several";
  }
  return "";
}

FadeWay way_of_fade(const Lattice& amount, const Image<std::uint8_t>& laid) {
  return Course(amount, laid).way();
}

}  // namespace powderplan
