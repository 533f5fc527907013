// The proof: one page on which a client sees and agrees to what will be made.
#pragma once

#include <cstdint>
#include <vector>

#include "report/firing_strip.h"
#include "report/plan_record.h"
#include "shape.h"

namespace powderplan {

// The pictures of a proof.
struct ProofPictures {
  Image<Rgb8> surface;   // the whole piece finished, in the plan's view (report/surface.h)
  Image<Rgb8> close_up;  // the part with most going on, at close_up_pitch
  BoxMm close_up_at;     // which part
  std::vector<FiringPictures> firings;
};
// 300 points an inch.
inline constexpr Millimetres close_up_pitch{25.4 / 300};
// The whole piece's longer side, pixels; fewer where that would be finer than print.
inline constexpr int surface_pixels = 1500;

// `mean` is fired_preview in the plan's view, or that shrunk to no less than so wide.
int mean_picture_width(const PlanRecord& record);
// Where the close-up of it is taken.
BoxMm close_up_place(const PlanRecord& record, const Image<Rgb8>& mean);
ProofPictures proof_pictures(const PlanRecord& record, const Image<Rgb8>& mean,
                             std::vector<FiringPictures> firings);
// All of it from the plan alone.
ProofPictures proof_pictures(const PlanRecord& record);

// The whole piece on a stretch of its wall or before its window, as a picture of its own.
struct FinishedPicture {
  Image<Rgb8> picture;
  Millimetres pitch;  // of the piece
};
FinishedPicture finished_picture(const PlanRecord& record, const ProofPictures& pictures);

// One upright page, A4 or Letter as the plan's paper (of A3 and Tabloid the half that is next of kin): the
// predicted piece where it will hang, with its size; a part of its surface at true size; its firings; what is
// handwork and how near colours will come; what is agreed, and a place to sign. `room`, when it is not empty,
// is a picture of the client's room with the piece in it; it comes first.
// As a picture at proof_pitch.
Image<Rgb8> proof(const PlanRecord& record, const ProofPictures& pictures, const Image<Rgb8>& room = {});
std::vector<std::uint8_t> proof_pdf(const PlanRecord& record, const ProofPictures& pictures,
                                    const Image<Rgb8>& room = {});

// 150 points an inch.
inline constexpr Millimetres proof_pitch{25.4 / 150};

}  // namespace powderplan
