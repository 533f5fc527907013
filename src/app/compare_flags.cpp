#include "app/compare_flags.h"

#include <string_view>

#include "app/option_help.h"
#include "app/photo_flags.h"

namespace powderplan {
namespace {

constexpr std::string_view examples = R"(Examples:
  powderplan compare --cards corners.pdf
  powderplan compare fired.jpg --plan heron-plan --palette shelf.toml --out heron-seen
  powderplan compare first.jpg --plan heron-plan --palette shelf.toml --after-firing 1 --replan heron-plan-2

Print the corner cards, lay them round the piece on white paper as they say, and photograph it. With
firings still to come, --replan plans their layers anew from what the piece looks like.)";

}  // namespace

CLI::App* setup_compare(CLI::App& app, CompareOptions& options) {
  CLI::App* command =
      app.add_subcommand("compare", "Lays the photo of a fired piece on its plan; plans the rest anew");
  add_text(*command, "PHOTO", "", "photo of the fired piece with the corner cards round it", options.photo);
  add_text(*command, "--plan", "FOLDER", "the plan of the piece", options.plan);
  add_text(*command, "--palette", "FILE", "shelf that it was planned with; may be given several times",
           options.palettes);
  add_text(*command, "--weights", "FILE",
           "grams really used: exported by the worksheet, or a CSV file layer,grams", options.weights);
  add_text(*command, "--after-firing", "N", "the piece is photographed after this firing [the last]",
           options.after_firing);
  add_text(*command, "--reference", "WHAT", std::string(reference_help), options.reference);
  add_text(*command, "--marks", "X,Y,...",
           "the four marks in the photo, pixels: that with the white eye, then clockwise", options.marks);
  add_text(*command, "--corners", "X,Y,...",
           "without corner cards: the corners of the piece, pixels: top left, then clockwise",
           options.corners);
  add_text(*command, "--out", "FOLDER", "where the comparison goes [the photo's name and -compared]",
           options.out);
  add_text(*command, "--replan", "FOLDER", "plan the layers still to come anew, into this folder",
           options.replan);
  add_text(*command, "--cards", "PDF", "only write the corner cards to print", options.cards);
  add_text(*command, "--paper", "a4|letter", "of the corner cards [a4]", options.paper);
  add_text(*command, "--threads", "N", "at most so many at a time; the result is the same [all cores]",
           options.threads);
  command->add_flag("--replace", options.replace, "replace what is there already");
  command->footer(std::string(examples));
  return command;
}

}  // namespace powderplan
