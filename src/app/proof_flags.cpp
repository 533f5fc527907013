#include "app/proof_flags.h"

#include <string_view>

#include "app/option_help.h"

namespace powderplan {
namespace {

constexpr std::string_view examples = R"(Examples:
  powderplan proof heron-plan --palette shelf.toml --out heron-proof
  powderplan proof heron-plan --palette shelf.toml --room hall.jpg \
    --wall 284,109,931,80,923,557,290,534 --wall-mm 1600,1100 --at-mm 800,500

For a room: anything flat, upright and rectangular on the wall will do, a door or a window, whose four corners
you find in the photo and whose width and height you measure. The piece hangs on the same wall.)";

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

}  // namespace powderplan
