// Whether a photo is good enough to read colours from.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "photo/find_marks.h"
#include "photo/light_field.h"

namespace powderplan {

// What is refused; found by trial on photos that were made up, see tests/photo.
inline constexpr double most_degrees_off = 45;
inline constexpr double least_px_per_mm = 2;
inline constexpr double most_edge_mm = 1.5;        // from 10 to 90 % of an edge between black and white
inline constexpr double darkest_paper = 0.12;      // linear, 1 is full
inline constexpr double most_paper_clipped = 0.2;  // share of the pieces of paper
inline constexpr double most_paper_uneven = 0.01;  // LightField::uneven
inline constexpr double most_paper_off = 0.2;      // LightField::off

// How wide edges are seen at the marks, in mm: the widest of the four, 0 when there are no rings.
double edge_width_mm(const FoundMarks& marks);

// Throw Problem (input), its place `file`. What is bad but not too bad goes to `notes`.
void judge_view(const FoundMarks& marks, const CardLayout& card, const std::filesystem::path& file,
                std::vector<std::string>& notes);
void judge_exposure(const PaperSeen& paper, const std::filesystem::path& file,
                    std::vector<std::string>& notes);
void judge_light(const LightField& light, const PaperSeen& paper, const FoundMarks& marks,
                 const std::filesystem::path& file, std::vector<std::string>& notes);

}  // namespace powderplan
