// The firings on a line of days: what is put down on each, and the time in the kiln.
#pragma once

#include <string>
#include <vector>

#include "report/pdf_document.h"
#include "report/plan_record.h"

namespace powderplan {

struct HangingStep {
  std::size_t number = 0;  // of the step, from 1
  std::string name;        // of its powder
};

struct FiringStop {
  std::size_t number = 0;  // from 1
  int day = 1;             // of sifting, at the earliest, from 1; 0 for one that is done
  std::string finish;
  Celsius top;
  double hours = 0;  // of its schedule, cooling included
  bool done = false;
  std::vector<HangingStep> steps;
};

// A piece goes into the kiln on the evening of a day, and what follows is sifted on the first day that finds
// it cold: a schedule of up to 16 hours is over the next morning, one of up to 40 the morning after that.
inline constexpr double hours_overnight = 16;
std::vector<FiringStop> firing_line(const PlanRecord& record);

// Drawn within this width, in rows where there are many; `size` of the letters, mm.
double firing_line_height(const std::vector<FiringStop>& stops, double width, double size);
void draw_firing_line(PdfDocument& pdf, const std::vector<FiringStop>& stops, PointMm top_left, double width,
                      double size);

// A step's number in a square, a firing's in a disc, by their middle: the same wherever they are drawn.
enum class SignInk { open, pale, full };
void draw_step_sign(PdfDocument& pdf, PointMm middle, double side, std::size_t number, SignInk ink);
void draw_firing_sign(PdfDocument& pdf, PointMm middle, double side, std::size_t number, SignInk ink);

}  // namespace powderplan
