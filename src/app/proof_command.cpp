#include "app/proof_command.h"

#include <fmt/format.h>

#include <optional>
#include <ostream>

#include "app/interrupt.h"
#include "app/photo_flags.h"
#include "app/usual_flags.h"
#include "plan/flag_answer.h"
#include "plan/replan.h"
#include "problem.h"
#include "raster/read_photo.h"
#include "report/plan_reader.h"
#include "report/proof_files.h"
#include "report/whole_folder.h"
#include "utf8.h"

namespace powderplan {
namespace {

constexpr Range wall_sizes{100, 20'000, "mm"};
constexpr Range wall_places{-20'000, 20'000, "mm"};

std::optional<RoomWish> room_wished(const ProofOptions& options) {
  if (options.room.empty()) {
    for (const auto& [said, flag] : {std::pair{&options.wall, "--wall"},
                                     {&options.wall_mm, "--wall-mm"},
                                     {&options.at_mm, "--at-mm"},
                                     {&options.paint, "--paint"}})
      if (!said->empty())
        throw Problem(ProblemKind::command_line, flag, "is of a room, and no photo of one is given",
                      "name the photo with --room");
    return std::nullopt;
  }
  need(options.wall, "--wall", "give the four corners of something on the wall, in pixels");
  need(options.wall_mm, "--wall-mm", "give the width and height of what has these corners");
  RoomWish wish;
  wish.room.corners = four_places("--wall", options.wall);
  const std::vector<double> size = FlagAnswer("--wall-mm", options.wall_mm).numbers(2, wall_sizes);
  wish.room.width = Millimetres(size[0]);
  wish.room.height = Millimetres(size[1]);
  if (!options.at_mm.empty()) {
    const std::vector<double> at = FlagAnswer("--at-mm", options.at_mm).numbers(2, wall_places);
    wish.middle = PointMm{at[0], at[1]};
  }
  if (!options.paint.empty())
    wish.room.paint = FlagAnswer("--paint", options.paint).colour();
  wish.room.photo = read_photo(FlagAnswer("--room", options.room).file());
  return wish;
}

}  // namespace

void run_proof(const ProofOptions& options, std::ostream& out) {
  need(options.plan, "PLAN-FOLDER", "name the folder of the plan");
  need(options.palettes, "--palette", "name the file of your shelf");
  const std::filesystem::path plan_folder = FlagAnswer("PLAN-FOLDER", options.plan).file();
  // Named after the folder itself, even where that is said as "." or with a stroke at its end.
  std::filesystem::path folder = full_folder_path(plan_folder).filename();
  folder += "-proof";
  if (!options.out.empty())
    folder = FlagAnswer("--out", options.out).file();
  const OwnPlace place = looked_at([&] { return check_proof_folder(folder, options.replace); });
  PlanRecord plan = read_plan(plan_folder, shelf_in(options.palettes));
  plan.paper = options.paper.empty() ? request_of(plan, (plan_folder / "plan.json").string()).paper
                                     : paper_said(options.paper);
  const std::optional<RoomWish> wish = room_wished(options);
  const SignalGuard guard;
  for (const std::string& note : write_proof(plan, wish, place, SignalGuard::check))
    out << fmt::format("Note: {}.\n", note);
  out << fmt::format("The proof is in {}.\n", plain_text(folder.string()));
}

}  // namespace powderplan
