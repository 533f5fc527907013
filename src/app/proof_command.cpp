#include "app/proof_command.h"

#include <fmt/format.h>

#include <optional>
#include <ostream>

#include "app/interrupt.h"
#include "app/option_help.h"
#include "app/photo_flags.h"
#include "app/usual_flags.h"
#include "plan/flag_answer.h"
#include "plan/replan.h"
#include "problem.h"
#include "report/plan_reader.h"
#include "report/proof_files.h"
#include "report/whole_folder.h"

namespace powderplan {
namespace {

constexpr Range wall_sizes{100, 20'000, "mm"};
constexpr Range wall_places{-20'000, 20'000, "mm"};

constexpr std::string_view examples = R"(Examples:
  powderplan proof heron-plan --palette shelf.toml --out heron-proof
  powderplan proof heron-plan --palette shelf.toml --room hall.jpg \
    --wall 284,109,931,80,923,557,290,534 --wall-mm 1600,1100 --at-mm 800,500

For a room: anything flat, upright and rectangular on the wall will do, a door or a window, whose four corners
you find in the photo and whose width and height you measure. The piece hangs on the same wall.)";

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
  wish.room.photo = read_picture(FlagAnswer("--room", options.room).file());
  return wish;
}

}  // namespace

CLI::App* setup_proof(CLI::App& app, ProofOptions& options) {
  CLI::App* command = app.add_subcommand(
      "proof", "Makes the page for the client again, with the piece in a photo of its room");
  add_text(*command, "PLAN-FOLDER", "", "the plan of the piece", options.plan);
  add_text(*command, "--palette", "FILE", "shelf that it was planned with; may be given several times",
           options.palettes);
  add_text(*command, "--room", "PHOTO", "of the wall or window where the piece will hang", options.room);
  add_text(*command, "--wall", "X,Y,...",
           "four corners of something on that wall in the photo, pixels: top left, then clockwise",
           options.wall);
  add_text(*command, "--wall-mm", "W,H", "width and height of what has these corners", options.wall_mm);
  add_text(*command, "--at-mm", "X,Y",
           "middle of the piece, to the right and down from the first corner [the middle of the four]",
           options.at_mm);
  add_text(*command, "--paint", "#RRGGBB", "colour of the wall's paint [near white, if it looks grey]",
           options.paint);
  add_text(*command, "--paper", "a4|letter", "of the page [as planned]", options.paper);
  add_text(*command, "--out", "FOLDER", "where the proof goes [the plan's name and -proof]", options.out);
  command->add_flag("--replace", options.replace, "replace the proof that is there already");
  command->footer(std::string(examples));
  return command;
}

void run_proof(const ProofOptions& options, std::ostream& out) {
  need(options.plan, "PLAN-FOLDER", "name the folder of the plan");
  need(options.palettes, "--palette", "name the file of your shelf");
  const std::filesystem::path plan_folder = FlagAnswer("PLAN-FOLDER", options.plan).file();
  // Named after the folder itself, even where that is said as "." or with a stroke at its end.
  std::filesystem::path folder = full_folder_path(plan_folder).filename();
  folder += "-proof";
  if (!options.out.empty())
    folder = FlagAnswer("--out", options.out).file();
  {
    const SignalGuard guard;
    check_proof_folder(folder, options.replace);
    SignalGuard::check();
  }
  PlanRecord plan = read_plan(plan_folder, shelf_in(options.palettes));
  plan.paper = options.paper.empty() ? request_of(plan, (plan_folder / "plan.json").string()).paper
                                     : paper_said(options.paper);
  const std::optional<RoomWish> wish = room_wished(options);
  const SignalGuard guard;
  for (const std::string& note : write_proof(plan, wish, folder, options.replace, SignalGuard::check))
    out << fmt::format("Note: {}.\n", note);
  out << fmt::format("The proof is in {}.\n", folder.string());
}

}  // namespace powderplan
