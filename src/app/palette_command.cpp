#include "app/palette_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <ostream>

#include "app/interrupt.h"
#include "app/usual_flags.h"
#include "glass/expansion.h"
#include "glass/reactions.h"
#include "plan/flag_answer.h"
#include "problem.h"
#include "report/files.h"
#include "report/whole_file.h"
#include "spoken.h"
#include "utf8.h"

namespace powderplan {
namespace {

std::string counted(std::size_t count, std::string_view one, std::string_view more) {
  return fmt::format("{} {}", count, count == 1 ? one : more);
}

// Pairs that react, one powder a line.
std::string reaction_lines(const Palette& palette) {
  const std::vector<Reaction> pairs = reactions_of(palette);
  if (pairs.empty())
    return "";
  std::string text = "\nThese darken where they touch in the kiln; fire a test before you rely on them:\n";
  for (std::size_t p = 0; p < palette.powders.size(); ++p) {
    std::vector<std::string> partners;
    for (const Reaction& pair : pairs) {
      if (pair.powder == p)
        partners.push_back(fmt::format(
            "{} ({})",
            pair.other ? palette.powders[*pair.other].id : "the sheet " + palette.sheets[*pair.sheet].id,
            spoken(pair.chemistry)));
    }
    if (!partners.empty())
      text += fmt::format("  {} with {}\n", palette.powders[p].id, fmt::join(partners, ", "));
  }
  return text;
}

// For each glass that states its own expansion the one it differs from most.
std::string expansion_lines(const Palette& palette) {
  const std::vector<MismatchedPair> pairs = mismatches_of(palette);
  std::string text;
  const auto add = [&](const auto& glass) {
    if (!glass.expansion_per_k)
      return;
    const MismatchedPair* worst = nullptr;
    for (const MismatchedPair& pair : pairs) {
      if ((pair.one == glass.id || pair.other == glass.id) &&
          (worst == nullptr || pair.mismatch.ppm > worst->mismatch.ppm))
        worst = &pair;
    }
    if (worst != nullptr)
      text += fmt::format("  {}: {} against {}{}\n", glass.id, shown(worst->mismatch),
                          worst->one == glass.id ? worst->other : worst->one,
                          worst->mismatch.ppm >= warned_mismatch_ppm ? "; fire a test first" : "");
  };
  for (const Powder& powder : palette.powders)
    add(powder);
  for (const Sheet& sheet : palette.sheets)
    add(sheet);
  if (text.empty())
    return "";
  return fmt::format(
             "\nThese shrink differently on cooling (at most; above {:.0f} ppm glass is likely to "
             "fracture, ASTM F144):\n",
             most_mismatch_ppm) +
         text;
}

std::size_t widest_id(const Palette& palette) {
  std::size_t widest = std::string_view("powder").size();
  for (const Powder& powder : palette.powders)
    widest = std::max(widest, powder.id.size());
  for (const Sheet& sheet : palette.sheets)
    widest = std::max(widest, sheet.id.size());
  return widest;
}

}  // namespace

std::string palette_table(const Palette& palette) {
  const std::size_t measured = static_cast<std::size_t>(std::count_if(
      palette.powders.begin(), palette.powders.end(), [](const Powder& p) { return p.measured; }));
  std::string text = palette.name.empty() ? "" : palette.name + ": ";
  text += fmt::format("{}, {}", counted(palette.powders.size(), "powder", "powders"),
                      counted(palette.sheets.size(), "sheet", "sheets"));
  if (!palette.family.empty())
    text += fmt::format(", expansion family {}", palette.family);

  const std::size_t width = widest_id(palette);
  text += fmt::format("\n\n  {:<{}}  {:<11}  {:>10}  {:>9}  {:>14}  {}\n", "powder", width, "body",
                      "load g/cm2", "grain mm", "expected error", "known from");
  for (const Powder& powder : palette.powders)
    text += fmt::format("  {:<{}}  {:<11}  {:>10.2f}  {:>9.3f}  {:>14.1f}  {}\n", powder.id, width,
                        name_of(powder.body), powder.swatch_load.value(), powder.optics.grain.value(),
                        powder.expected_de00, powder.measured ? "measurement" : "swatch colours");
  text += fmt::format("\n  {:<{}}  {:<11}  {}\n", "sheet", width, "body", "thickness mm");
  for (const Sheet& sheet : palette.sheets)
    text +=
        fmt::format("  {:<{}}  {:<11}  {}\n", sheet.id, width, name_of(sheet.body), sheet.thickness.value());

  text += fmt::format("\n{} of {} measured. Errors are CIEDE2000", measured,
                      counted(palette.powders.size(), "powder is", "powders are"));
  text += measured < palette.powders.size() ? "; measuring a powder makes its error smaller.\n" : ".\n";
  return text + reaction_lines(palette) + expansion_lines(palette);
}

void run_palette(const PaletteOptions& options, const PaletteChart& draw, std::ostream& out) {
  if (options.files.empty())
    throw Problem(ProblemKind::command_line, "FILE", "no palette is given", "name the file of your shelf");
  std::optional<std::filesystem::path> chart;
  std::optional<FoundPlace> found;
  if (!options.out.empty()) {
    chart = FlagAnswer("--out", options.out).file();
    found.emplace(check_whole_file(*chart, ".png", options.replace));
  }
  const Palette palette = shelf_in(options.files);
  if (chart) {
    const std::vector<std::uint8_t> png = draw(palette);
    const SignalGuard guard;
    write_whole_file(*chart, *found, png, SignalGuard::check);
  }
  out << palette_table(palette);
  if (chart)
    out << fmt::format("\nThe chart is in {}.\n", plain_text(chart->string()));
}

}  // namespace powderplan
