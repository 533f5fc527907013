// Chance that comes from a seed and a place, so that grains are the same however a piece is drawn.
#pragma once

#include <array>
#include <cstdint>

namespace powderplan {

// Evenly spread bits from a seed and a place, and others from such bits.
std::uint64_t bits_of_place(std::uint64_t seed, std::int64_t x, std::int64_t y);
std::uint64_t mixed(std::uint64_t bits);

// Four numbers in [0, 1) out of 64 bits.
std::array<double, 4> four_shares(std::uint64_t bits);

// A Poisson number by its cumulative distribution, which for large means is taken as normal.
double poisson(double mean, std::uint64_t bits);

}  // namespace powderplan
