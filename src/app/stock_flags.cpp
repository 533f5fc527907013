#include "app/stock_flags.h"

#include <string_view>

#include "app/option_help.h"

namespace powderplan {
namespace {

constexpr std::string_view example = R"(Examples:
  powderplan stock plan-a plan-b --palette shelf.toml --reserve 50
  powderplan stock plan-a --palette shelf.toml --firing 1 --weights weighed.csv --take

Without --take it only tells. With --take every stock_g that changes is written into the palette, all else
in it stays as it is, and the old palette is kept beside it as shelf.before-1.toml, then -2, and so on. What
was taken is recorded layer by layer in shelf.taken.json, and a layer is not taken twice unless you say
--again: for a piece that you really make again.

Real weights are grams that left the jar for good, by the layer's number on the worksheet: the file that
the worksheet saves, CSV with the head layer,grams, or JSON {"schema": 1, "layers": [{"index": 1,
"grams": 12.3}]}. Layers without grams count as planned.)";

}  // namespace

CLI::App* setup_stock(CLI::App& app, StockOptions& options) {
  CLI::App* command = app.add_subcommand("stock", "Takes plans off the jars, and lists what to order");
  add_text(*command, "PLAN-FOLDER", "", "folder of a plan; several count together", options.plans)
      ->expected(1, -1)
      ->allow_extra_args();
  add_text(*command, "--palette", "FILE", "shelf with the jars; may be given several times",
           options.palettes);
  add_text(*command, "--firing", "N", "count only this firing; may be given several times", options.firings);
  add_text(*command, "--weights", "FILE", "real grams of layers (.csv or .json)", options.weights);
  add_text(*command, "--reserve", "G", "what should stay in every jar [0]", options.reserve);
  command->add_flag("--take", options.take, "write what will be left into the palette");
  command->add_flag("--again", options.again, "take what has been taken before once more");
  command->footer(std::string(example));
  return command;
}

}  // namespace powderplan
