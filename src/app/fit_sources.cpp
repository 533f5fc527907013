#include "app/fit_sources.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>

#include "app/photo_flags.h"
#include "app/usual_flags.h"
#include "measure/spectra_file.h"
#include "measure/swatch_readings.h"
#include "measure/tile_file.h"
#include "measure/tile_readings.h"
#include "nearest_word.h"
#include "optics/finish.h"
#include "plan/flag_answer.h"
#include "problem.h"
#include "raster/read_photo.h"
#include "report/files.h"
#include "report/inside_folder.h"
#include "spoken.h"
#include "utf8.h"

namespace powderplan {
namespace {

constexpr Range grain_sizes{0.005, 2, "mm"};
constexpr Range real_weights{1e-4, 1000, "g"};

[[noreturn]] void refuse(std::string flag, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::command_line, std::move(flag), std::move(wrong), std::move(remedy));
}

// `known` by its nearest word, or all of them.
std::string did_you_mean(const std::string& word, const std::vector<std::string>& known) {
  const std::vector<std::string_view> views(known.begin(), known.end());
  if (const auto nearest = nearest_word(word, views))
    return fmt::format("did you mean {}?", *nearest);
  return fmt::format("choose of {}", fmt::join(known, ", "));
}

std::vector<std::string> ids_of(const Palette& palette) {
  std::vector<std::string> ids;
  for (const Powder& powder : palette.powders)
    ids.push_back(powder.id);
  return ids;
}

// An option that says something about another source than the one that was given.
void refuse_strangers(const FitOptions& options) {
  const auto only_with = [](const std::vector<std::string>& said, std::string_view flag, bool fits,
                            std::string_view source) {
    if (!said.empty() && !fits)
      refuse(std::string(flag), fmt::format("belongs to {}", source), "leave it out");
  };
  const bool photo = !options.photo.empty();
  only_with(options.tile, "--tile", photo, "a photo of a tile");
  only_with(options.grams, "--grams", photo, "a photo of a tile");
  only_with(options.marks, "--marks", photo, "a photo of a tile");
  only_with(options.reference, "--reference", photo, "a photo of a tile");
  only_with(options.gloss, "--gloss", !options.spectra.empty(), "--spectra");
  only_with(options.body, "--body", !photo, "a powder that is not on the shelf yet; those of a tile are");
  only_with(options.grain, "--grain", !photo, "a powder that is not on the shelf yet; those of a tile are");
}

Tile read_tile(const FitOptions& options) {
  need(options.tile, "--tile", "name the folder of the tile, or its tile.json");
  std::filesystem::path file = FlagAnswer("--tile", options.tile).file();
  if (std::filesystem::is_directory(file))
    file = file_inside(file, "tile.json");
  return parse_tile(read_text_file(file), file.string());
}

// By id of the powder.
std::map<std::string, std::vector<Grams>> real_grams(const FitOptions& options, const Tile& tile) {
  std::map<std::string, std::vector<Grams>> all;
  for (const std::string& said : options.grams) {
    const std::size_t equals = said.find('=');
    if (equals == std::string::npos || equals == 0)
      refuse("--grams", fmt::format("\"{}\" names no powder", said),
             "write ID=G,G,... with a weight for each cell that carries powder, the lightest first");
    const std::string id = said.substr(0, equals), flag = "--grams " + id;
    const auto row = std::find_if(tile.rows.begin(), tile.rows.end(),
                                  [&](const TileRow& one) { return one.powder == id; });
    if (row == tile.rows.end())
      refuse(
          flag, "is not on this tile", "it has " + [&] {
            std::vector<std::string> ids;
            for (const TileRow& one : tile.rows)
              ids.push_back(one.powder);
            return spoken(ids);
          }());
    const std::size_t cells = static_cast<std::size_t>(std::count_if(
        row->cells.begin(), row->cells.end(), [](const TileCell& cell) { return cell.grams > Grams(0); }));
    std::vector<Grams> weights;
    for (const double weight : FlagAnswer(flag, {said.substr(equals + 1)}).numbers(cells, real_weights))
      weights.emplace_back(weight);
    if (!all.emplace(id, std::move(weights)).second)
      refuse(flag, "is given twice", "give it once");
  }
  return all;
}

// Places in Tile::rows.
std::vector<std::size_t> rows_asked(const FitOptions& options, const Tile& tile) {
  std::vector<std::size_t> rows;
  std::vector<std::string> ids;
  for (const TileRow& row : tile.rows)
    ids.push_back(row.powder);
  if (options.powders.empty()) {
    for (std::size_t i = 0; i < ids.size(); ++i)
      rows.push_back(i);
    return rows;
  }
  for (const std::string& id : FlagAnswer("--powder", options.powders, true).texts()) {
    const auto found = std::find(ids.begin(), ids.end(), id);
    if (found == ids.end())
      refuse("--powder", fmt::format("there is no powder \"{}\" on this tile", id), did_you_mean(id, ids));
    const auto row = static_cast<std::size_t>(found - ids.begin());
    if (std::find(rows.begin(), rows.end(), row) == rows.end())
      rows.push_back(row);
  }
  return rows;
}

FitSources from_photo(const FitOptions& options, const Palette& palette, const std::string& palette_file) {
  const std::filesystem::path file = FlagAnswer("PHOTO", options.photo).file();
  const Tile tile = read_tile(options);
  const std::map<std::string, std::vector<Grams>> weights = real_grams(options, tile);
  const std::vector<std::size_t> rows = rows_asked(options, tile);
  for (const std::size_t row : rows)
    if (palette.find_powder(tile.rows[row].powder) == nullptr)
      throw Problem(ProblemKind::input, palette_file,
                    fmt::format("there is no powder \"{}\", which is on the tile", tile.rows[row].powder),
                    did_you_mean(tile.rows[row].powder, ids_of(palette)));
  for (const auto& [id, grams] : weights)
    if (std::none_of(rows.begin(), rows.end(),
                     [&, &id = id](std::size_t row) { return tile.rows[row].powder == id; }))
      refuse("--grams " + id, "is not among the powders of --powder", "leave it out, or name it there");
  const PhotoRules rules = photo_rules(options.marks, options.reference);
  const Picture picture = read_photo(file);
  const CardPhoto photo(picture, tile.card, rules, file);
  FitSources sources;
  sources.notes = picture.notes;
  sources.notes.insert(sources.notes.end(), photo.notes().begin(), photo.notes().end());
  for (const std::size_t row : rows) {
    const std::string& id = tile.rows[row].powder;
    const auto weighed = weights.find(id);
    Readings readings =
        read_row(tile, row, photo, palette.find_powder(id)->optics.grain, palette.glass.density,
                 weighed == weights.end() ? std::vector<Grams>{} : weighed->second);
    std::string words = fmt::format("{}, row {} of {}: {} on a light and a dark sheet, fired to {}",
                                    plain_text(file.filename().string()), row + 1, tile.rows.size(),
                                    counted(loads_of(readings).size(), "load"), name_of(tile.finish));
    if (weighed != weights.end())
      words += ", grams as weighed";
    sources.powders.push_back(
        {id, std::move(words), fmt::format("{}, {}", file.string(), id), {}, std::move(readings)});
  }
  return sources;
}

std::string only_powder(const FitOptions& options) {
  need(options.powders, "--powder", "say of which powder these readings are");
  const std::vector<std::string> ids = FlagAnswer("--powder", options.powders).texts();
  if (ids.size() != 1)
    refuse("--powder", fmt::format("{} powders are named", ids.size()),
           "name the one that these readings are of");
  return ids.front();
}

std::optional<NewPowder> new_powder(const FitOptions& options, const Palette& palette, const std::string& id,
                                    const std::string& palette_file) {
  if (palette.find_powder(id) != nullptr) {
    for (const auto& [said, flag] :
         {std::pair{&options.body, "--body"}, std::pair{&options.grain, "--grain"}})
      if (!said->empty())
        refuse(flag, fmt::format("{} is in {} already, with its own", id, palette_file),
               "leave it out, or change it there");
    return {};
  }
  if (options.body.empty() || options.grain.empty()) {
    const std::vector<std::string> known = ids_of(palette);
    const std::vector<std::string_view> views(known.begin(), known.end());
    const auto nearest = nearest_word(id, views);
    refuse("--powder", fmt::format("there is no powder \"{}\" in {}", id, palette_file),
           fmt::format("{}to add it, say --body transparent or opalescent, and --grain in mm",
                       nearest ? fmt::format("did you mean {}? ", *nearest) : ""));
  }
  const FlagAnswer body("--body", options.body);
  if (body.text() != name_of(Body::transparent) && body.text() != name_of(Body::opalescent))
    body.fail(fmt::format("\"{}\" is none of its values", body.text()), "choose transparent or opalescent");
  return NewPowder{body.text() == name_of(Body::transparent) ? Body::transparent : Body::opalescent,
                   Millimetres(FlagAnswer("--grain", options.grain).number(grain_sizes))};
}

Gloss gloss_of(const FitOptions& options) {
  if (options.gloss.empty())
    return Gloss::left_out;
  const FlagAnswer answer("--gloss", options.gloss);
  if (answer.text() == "included")
    return Gloss::included;
  if (answer.text() == "left-out")
    return Gloss::left_out;
  answer.fail(fmt::format("\"{}\" is none of its values", answer.text()), "choose included or left-out");
}

FitSources from_readings(const FitOptions& options, const Palette& palette, const std::string& palette_file) {
  FitSource source;
  source.id = only_powder(options);
  source.added = new_powder(options, palette, source.id, palette_file);
  if (!options.spectra.empty()) {
    const std::string file = FlagAnswer("--spectra", options.spectra).text();
    source.place = file;
    source.readings = read_spectra(read_text_file(file), file, gloss_of(options));
    source.words = fmt::format("{}: {} spectra", plain_text(std::filesystem::path(file).filename().string()),
                               source.readings.steps.size());
  } else {
    source.place = "--swatch";
    source.readings = swatch_readings(options.swatches, source.place);
    source.words = fmt::format("{} fired swatches", source.readings.steps.size());
  }
  source.readings.grain = source.added ? source.added->grain : palette.find_powder(source.id)->optics.grain;
  source.readings.flow = flow_for(Finish::full, source.readings.grain);
  source.readings.density = palette.glass.density;
  return {{std::move(source)}, {}};
}

}  // namespace

FitSources fit_sources(const FitOptions& options, const Palette& palette, const std::string& palette_file) {
  const int kinds = (options.photo.empty() ? 0 : 1) + (options.spectra.empty() ? 0 : 1) +
                    (options.swatches.empty() ? 0 : 1);
  if (kinds != 1)
    refuse("fit", kinds == 0 ? "nothing was measured" : "more than one kind of readings is given",
           "give a PHOTO of a tile, or --spectra, or --swatch once for each");
  refuse_strangers(options);
  return options.photo.empty() ? from_readings(options, palette, palette_file)
                               : from_photo(options, palette, palette_file);
}

}  // namespace powderplan
