#include "report/grain_chance.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace powderplan {
namespace {

double share_of(std::uint64_t bits) {
  return (static_cast<double>(bits >> 11) + 0.5) * 0x1p-53;
}

}  // namespace

std::uint64_t mixed(std::uint64_t x) {  // splitmix64, Steele, Lea, Flood 2014 (from memory)
  x += 0x9e3779b97f4a7c15U;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9U;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebU;
  return x ^ (x >> 31);
}

std::array<double, 4> four_shares(std::uint64_t bits) {
  std::array<double, 4> shares{};
  for (std::size_t i = 0; i < 4; ++i)
    shares[i] = (static_cast<double>((bits >> (16 * i)) & 0xffffU) + 0.5) / 65536;
  return shares;
}

double poisson(double mean, std::uint64_t bits) {
  constexpr double many = 25;
  if (mean > many) {
    // Box and Muller 1958.
    const double one = share_of(bits), other = share_of(mixed(bits));
    return std::max(0.0, std::round(mean + std::sqrt(mean) * std::sqrt(-2 * std::log(one)) *
                                               std::cos(2 * std::numbers::pi * other)));
  }
  double left = share_of(bits), chance = std::exp(-mean);
  int number = 0;
  while (left > chance && number < 400) {
    left -= chance;
    ++number;
    chance *= mean / number;
  }
  return number;
}

std::uint64_t bits_of_place(std::uint64_t seed, std::int64_t x, std::int64_t y) {
  return mixed(mixed(mixed(seed) ^ static_cast<std::uint64_t>(x)) ^ static_cast<std::uint64_t>(y));
}

}  // namespace powderplan
