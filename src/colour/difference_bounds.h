// How small and how large CIEDE2000 can be between any colour of one box in Lab and any of another: what lets
// a search leave out all colours but a few.
//
// Derivation. Names as in Sharma, Wu and Dalal (2005); v1, v2 are the two colours in the plane of a' and b,
// C1', C2' their lengths, D = |v2 - v1|. For every pair dC'^2 + dH'^2 = D^2.
//
// 1. Near the middles. From the pair of the middles (index 0) to any pair of the boxes leads a straight path
// in
//    L, a, b of both colours and G. On it, with d_i the most that v_i moves at one G, and dG the most that G
//    does:
//      |d C_i' / d v_i| = 1, so |dC'| changes by at most d1 + d2;
//      |d dH' / d v1| = sqrt(C2'/C1') =: k1 exactly, d dH' / d v2 likewise, for dH' = 2 sqrt(C1'C2')
//      sin(dh'/2); the two gradients have the cosine sin(dh'/2) between them, so (dC'/S_C, dH'/S_H) moves by
//      at most d_i * sqrt(max(1/S_C^2, k_i^2/S_H^2) + k_i |sin(dh'/2)| / (S_C S_H)), the root of a bound of
//      the larger eigenvalue of their Gram matrix; d dH' / d G = dH' sin^2(h mean) / (1 + G), and |d dC' / d
//      G| <= |dC'| + |dH'| (k1 + k2) / 2.
//    With weights held, sqrt(l^2 + c^2 + h^2 + R_T c h) is a norm, at most sqrt(1 + |R_T|/2) times the
//    Euclidean one in c and h, so by the triangle inequality it changes by no more than the norm of what its
//    arguments do. Then the weights change: |1/S - 1/S0| = |S - S0| / (S S0), again by the triangle
//    inequality, with
//      |dS_L / dL mean| <= 0.01634, |d^2T / dh^2| <= 7.21, and each hue turns by at most asin(d_i / C_i') +
//      dG / 2.
//    Last R_T: |sqrt(N + r z) - sqrt(N + s z)| = |r - s| |z| / (sum of both roots) where z = c h, |z| at most
//    half of c^2 + h^2 and each root at least sqrt(1 - |R_T|/2) times the root of c^2 + h^2. R_T changes with
//    the hue by at most 2.06 R_C a radian, less away from 275 degrees, and R_C by at most 0.123 for each unit
//    of C' mean. Valid only while both d_i < C_i' and no pair of the boxes has opposite hues, where CIEDE2000
//    jumps.
// 2. Whatever the hues: 0.07 <= T <= 1.93, so 1 <= S_H <= S_C and c^2 + h^2 lies between (D/S_C)^2 and D^2,
// and
//    N between 1 -+ |R_T|/2 times that, |R_T| <= 2 sin 60 degrees * R_C/2; 0 where both boxes lie at b >= 0,
//    for then the mean hue is 85 degrees and more from 275.
// Of both the better one counts. A thousandth is added for rounding.
// 3. Which of two colours is nearer to a box, better than by their bounds: with the weights of the middle,
// and
//    dC', dH' linear in the place p inside the box, the square difference to each colour is a quadratic form
//    in p, and where the two forms differ by little more than a linear function, that is least in a corner.
//    The gradient of dC' by v1 is the unit vector of -h1, that of dH' is -k1 times the unit vector across h
//    mean; they turn as the hues do, so what is not linear moves c and h by at most d1 (asin(d1/C1') + dG) /
//    S_C and d1 (k1 - k1 of the middle + k1 dh mean) / S_H. That, G and the weights as in 1 are the error of
//    the form's root.
#pragma once

#include <cstddef>

#include "colour/difference_keys.h"

namespace powderplan {

struct ColourBox {
  QuickLab middle;
  float half_l = 0, half_a = 0, half_b = 0;
};

// Of each of `count` boxes against `cell`. A box without extent is a colour.
void difference_bounds(const ColourBox& cell, const ColourBox* boxes, std::size_t count, float* low,
                       float* high);

// The difference between one colour and any place of a cell, as 3. has it: within `error` of the root of
// square + 2 g . p + p . H p, p from the cell's middle.
struct DifferenceModel {
  float low = 0, high = 0;  // as above
  float error = 0;          // very large where hues may be opposite
  float square = 0;
  float g_l = 0, g_a = 0, g_b = 0;
  float h_ll = 0, h_aa = 0, h_ab = 0, h_bb = 0;
};
void difference_models(const ColourBox& cell, const QuickLab* colours, std::size_t count,
                       DifferenceModel* models);

// Whether everywhere in the cell `one` is farther than `other`. False says nothing.
bool farther_everywhere(const DifferenceModel& one, const DifferenceModel& other, const ColourBox& cell);

}  // namespace powderplan
