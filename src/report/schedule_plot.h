// A schedule as a picture: temperature against time, with the points of the glass and the holds in words.
// Black, white and grey, so that any printer will do; letters are a thirty-sixth of its width, so that it can
// be read on a phone as on paper.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "firing/schedule.h"
#include "report/pdf_document.h"

namespace powderplan {

// `schedule` must have legs. An SVG file, with the caution that goes with it below the curve.
std::string schedule_plot_svg(const Schedule& schedule, const GlassConstants& glass);
// The same as an element of class "curve" within an HTML page; it fills the width that it is given.
std::string schedule_plot_element(const Schedule& schedule, const GlassConstants& glass);
// The same as PNG, 170 mm wide.
std::vector<std::uint8_t> schedule_plot_png(const Schedule& schedule, const GlassConstants& glass);
// The same on a printed page, `plot_height_of_width` times as high as wide.
inline constexpr double plot_height_of_width = 0.41;
void draw_schedule_plot(PdfDocument& pdf, PointMm top_left, double width, const Schedule& schedule,
                        const GlassConstants& glass);

}  // namespace powderplan
