// How heavy the layers on a fired piece must be for it to look as it does.
#pragma once

#include <optional>
#include <vector>

#include "colour/tristimulus.h"
#include "report/piece_comparison.h"
#include "report/stage.h"

namespace powderplan {

struct Strengths {
  std::vector<double> of_layer;        // by layer of the plan, as a multiple of its load; 1: not there yet
  std::vector<PowderFinding> powders;  // those that lie, from the bottom up
};

// By layer of the plan: what was weighed out for it, as a multiple of what was planned; nothing where nobody
// wrote it down. Empty: none was weighed.
using Weighed = std::vector<std::optional<double>>;

// What is seen of the piece after `moment`: the colours of some spots (of PlanRecord::spots), adapted to D65.
struct SeenSpots {
  std::vector<std::size_t> spots;
  std::vector<Xyz> colours;
  Spectrum under;  // what it lay on
};

// Least squares in the logarithms of the strengths, with weights that fall for what fits nowhere (Huber
// 1964): a powder's layers are off alike, and each a little by itself, round what was weighed out for it; the
// exposure of the photo is fitted too, within `exposure_sigma`. Without any spot every powder is as planned,
// and its off_by large.
//
// A powder's factor is the mean over its layers that lie, by area, and off_by the standard deviation of that
// mean, to first order from the covariance of the fit.
Strengths fit_strengths(const PlanRecord& record, const Moment& moment, const SeenSpots& seen,
                        const Weighed& weighed = {});

// What a hand and a scale do (estimates of ours): standard deviations of the logarithms of what all layers of
// a powder have in common, and of each beside that.
inline constexpr double powder_sigma = 0.4, layer_sigma = 0.08;
// How far a photo is off as a whole, as a share of the light: what the white reference leaves.
inline constexpr double exposure_sigma = 0.02;

}  // namespace powderplan
