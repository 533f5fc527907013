#include "app/fit_flags.h"

#include <string_view>

#include "app/option_help.h"
#include "app/photo_flags.h"

namespace powderplan {
namespace {

constexpr std::string_view examples = R"(Examples:
  powderplan fit fired.jpg --tile tile-1 --palette shelf.toml --chart fit.png
  powderplan fit fired.jpg --tile tile-1 --palette shelf.toml --grams heron-grey=0.05,0.1,0.2,0.41,0.8 --update
  powderplan fit --spectra heron.csv --palette shelf.toml --powder heron-grey --update
  powderplan fit --swatch 0.1,white,#c8c2ba --swatch 0.4,white,#8f8a85 --swatch 0.4,black,#4a4a4c \
    --palette shelf.toml --powder heron-grey

Columns of a spectra file: wavelength_nm, "reflectance 0 white" (the bare ground), "reflectance 0.2 white"
(0.2 g/cm2 on it), "transmittance 0" and "transmittance 0.2" (a clear sheet), values from 0 to 1.
Spectra and swatches are taken to be of powder fired to full.)";

}  // namespace

CLI::App* setup_fit(CLI::App& app, FitOptions& options) {
  CLI::App* command = app.add_subcommand("fit", "Measures powders by a step tile, spectra or swatches");
  add_text(*command, "PHOTO", "", "photo of the fired tile on its card", options.photo);
  add_text(*command, "--tile", "FOLDER", "of the tile, or its tile.json", options.tile);
  add_text(*command, "--grams", "ID=G,...",
           "really sifted, for each cell with powder from the lightest; once a powder", options.grams);
  add_text(*command, "--marks", "X,Y,...",
           "the four marks in the photo, pixels: that with the white eye, then clockwise", options.marks);
  add_text(*command, "--reference", "WHAT", std::string(reference_help), options.reference);
  add_text(*command, "--spectra", "CSV", "spectra of fired steps instead of a photo", options.spectra);
  add_text(*command, "--gloss", "included|left-out", "the mirror reflection in those spectra [left-out]",
           options.gloss);
  add_text(*command, "--swatch", "LOAD,GROUND,#rrggbb",
           "fired swatch: g/cm2; white, black or the bare ground's #rrggbb; 3 or more", options.swatches);
  add_text(*command, "--palette", "FILE", "shelf with the powder", options.palette);
  add_text(*command, "--powder", "ID[,ID...]", "which to measure [all of the tile]", options.powders);
  add_text(*command, "--body", "transparent|opalescent", "of a powder that is not on the shelf yet",
           options.body);
  add_text(*command, "--grain", "MM", "of a powder that is not on the shelf yet", options.grain);
  add_text(*command, "--chart", "PNG", "draw measured beside predicted colours into this file",
           options.chart);
  command->add_flag("--update", options.update, "write it into the palette; the old file is kept beside it");
  command->add_flag("--replace", options.replace, "replace the chart that is there already");
  command->footer(std::string(examples));
  return command;
}

}  // namespace powderplan
