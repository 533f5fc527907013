// Properties: a claim checked on many generated cases. Silent unless it fails, and the same cases every
// time, so that a red run can be repeated; the seed is in the failure message.
#pragma once

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/detail/TestListenerAdapter.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <sstream>
#include <string>
#include <unordered_map>
#include <utility>

#include "colour/tristimulus.h"

namespace powderplan {

// Returns how many cases it tried, for tests that count what the cases led to: it is not always `cases`.
template <class Claim>
int holds_always(Claim&& claim, int cases = 200) {
#ifdef __SANITIZE_ADDRESS__
  cases = std::max(1, cases / 8);  // this build is ten times as slow, and it is there for the memory
#endif
  rc::detail::TestParams params;
  params.seed = 20240229;
  params.maxSuccess = cases;
  rc::detail::TestListenerAdapter silent;
  const auto result =
      rc::detail::checkTestable(std::forward<Claim>(claim), rc::detail::TestMetadata{}, params, silent,
                                std::unordered_map<std::string, rc::detail::Reproduce>{});
  if (!result.template is<rc::detail::SuccessResult>()) {
    std::ostringstream text;
    rc::detail::printResultMessage(result, text);
    ADD_FAILURE() << "seed " << params.seed << "\n" << text.str();
  }
  return cases;
}

// Evenly distributed, both ends included; shrinks towards `least`. A bare inRange keeps the early cases near
// its lower end.
inline int any_whole(int least, int most) {
  return *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(least, most + 1));
}
inline double any_between(double least, double most) {
  constexpr int steps = 1000000;
  return least + (most - least) * any_whole(0, steps) / steps;
}

// Evenly distributed in the logarithm: for quantities that range over decades.
inline double any_decade_between(double least, double most) {
  return std::exp(any_between(std::log(least), std::log(most)));
}

inline Rgb8 any_rgb8() {
  const auto code = [] { return static_cast<std::uint8_t>(any_whole(0, 255)); };
  const std::uint8_t r = code(), g = code(), b = code();
  return {r, g, b};
}

}  // namespace powderplan
