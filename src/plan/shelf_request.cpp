#include "plan/shelf_request.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <string_view>

#include "problem.h"
#include "report/panel_words.h"

namespace powderplan {
namespace {

constexpr Range shelf_edges{50, 5000, "mm"};

std::optional<Millimetres> edge_of(std::string_view text) {
  double value = 0;
  const char* const end = text.data() + text.size();
  const auto [stopped, error] = std::from_chars(text.data(), end, value);
  if (stopped != end || error != std::errc())
    return std::nullopt;
  return Millimetres(value);
}

std::optional<Shelf> shelf_of(const PlanRequest& request) {
  if (!request.shelf)
    return std::nullopt;
  return Shelf{*request.shelf, request.shelf_margin.value_or(usual_shelf_margin)};
}

Shelf larger(Shelf shelf, int by_mm) {
  shelf.size.width += Millimetres(by_mm);
  shelf.size.height += Millimetres(by_mm);
  return shelf;
}

// So many mm added to both edges are enough.
int least_growth(const Grid& grid, const Shelf& shelf) {
  int too_little = 0, enough = 1;
  while (fewest_panels(grid, larger(shelf, enough)) > most_panels) {
    too_little = enough;
    enough *= 2;
  }
  while (enough - too_little > 1) {
    const int middle = (too_little + enough) / 2;
    (fewest_panels(grid, larger(shelf, middle)) > most_panels ? too_little : enough) = middle;
  }
  return enough;
}

}  // namespace

ShelfSize shelf_size_of(const Answer& answer) {
  const std::string said = answer.text();
  const std::size_t sign = said.find('x');
  const auto width = edge_of(std::string_view(said).substr(0, sign));
  const auto height =
      sign == std::string::npos ? std::nullopt : edge_of(std::string_view(said).substr(sign + 1));
  if (!width || !height)
    answer.fail(fmt::format("\"{}\" is no size of a shelf", said),
                "give its width and height in mm, as 500x400");
  for (const Millimetres edge : {*width, *height})
    if (!shelf_edges.holds(edge.value()))
      answer.fail(fmt::format("{} is out of range", edge.value()),
                  fmt::format("an edge of the shelf must be {}", text_of(shelf_edges)));
  return {*width, *height};
}

std::string in_words(const ShelfSize& size) {
  return fmt::format("{}x{}", size.width.value(), size.height.value());
}

void check_shelf_room(const PlanRequest& request) {
  if (!request.shelf)
    return;
  const Millimetres margin = shelf_of(request)->margin, margins = margin * 2;
  const Millimetres room = std::min(request.shelf->width, request.shelf->height) - margins;
  if (room < least_shelf_room)
    throw Problem(ProblemKind::command_line, "--shelf",
                  fmt::format("of a shelf of {} mm only {} mm are left within margins of {} mm",
                              in_words(*request.shelf), std::max(0.0, room.value()), margin.value()),
                  fmt::format("give a shelf of at least {} mm both ways, or a smaller --shelf-margin-mm",
                              (least_shelf_room + margins).value()));
}

void check_panel_count(const PlanRequest& request, const Grid& grid) {
  const std::optional<Shelf> shelf = shelf_of(request);
  if (!shelf)
    return;
  const std::size_t count = fewest_panels(grid, *shelf);
  if (count <= most_panels)
    return;
  throw Problem(ProblemKind::infeasible, "--shelf",
                fmt::format("the piece would be cut into {} panels, and more than {} are not planned", count,
                            most_panels),
                fmt::format("give a shelf of {} mm, or a smaller piece",
                            in_words(larger(*shelf, least_growth(grid, *shelf)).size)));
}

void set_up_panels(PlanRecord& record, const PlanRequest& request, const Target& target) {
  record.shelf = shelf_of(request);
  if (!record.shelf)
    return;
  if (record.panels.panels.empty())
    record.panels =
        cut_into_panels(record.separation, record.layers, target.wanted, *record.shelf, request.smallest);
  if (record.panels.panels.empty())
    return;
  record.notes.push_back(joins_in_words(record));
  if (request.repeats == RepeatUse::always)
    record.notes.push_back("small templates are left out: they would be laid across the joins of the panels");
}

}  // namespace powderplan
