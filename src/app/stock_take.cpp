#include "app/stock_take.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <system_error>

#include "app/interrupt.h"
#include "glass/palette_edit.h"
#include "problem.h"
#include "report/files.h"
#include "report/kept_file.h"
#include "report/whole_file.h"
#include "spoken.h"
#include "utf8.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

std::vector<std::uint8_t> bytes_of(const std::string& text) {
  return {text.begin(), text.end()};
}

TakenRecord record_beside(const StockPalette& shelf) {
  const fs::path file = taken_record_of(shelf.file);
  std::error_code error;
  if (!fs::exists(fs::symlink_status(file, error)))
    return {};
  return parse_taken(read_text_file(file), file.string());
}

// Layers of these jars only: those of the other shelves stand in their own records.
bool is_of(const StockPalette& shelf, const PlannedLayer& layer) {
  const Powder* powder = shelf.palette.find_powder(layer.powder);
  return powder != nullptr && powder->stock.has_value();
}

std::vector<std::string> taken_layers(const StockPlan& plan, const StockPalette& shelf,
                                      const TakenRecord& record) {
  std::vector<std::string> layers;
  for (const PlannedLayer& layer : plan.layers)
    if (is_of(shelf, layer) && times_taken(record, plan.sha256, layer.index) > 0)
      layers.push_back(std::to_string(layer.index));
  return layers;
}

std::string layers_in_words(const std::vector<std::string>& layers) {
  return fmt::format("layer{} {}", layers.size() == 1 ? "" : "s", spoken(layers));
}

// To a hundredth of a gram: nobody weighs a jar finer, and a person reads it.
double written(Grams grams) {
  return std::round(grams.value() * 100) / 100;
}

// What changes for one shelf.
struct Change {
  const StockPalette* shelf = nullptr;
  std::string text;
  TakenRecord record;
};

void add_to(TakenRecord& record, const StockPlan& plan, const StockPalette& shelf) {
  TakenPlan taken{.plan_sha256 = plan.sha256, .title = plan.title, .layers = {}};
  for (const PlannedLayer& layer : plan.layers)
    if (is_of(shelf, layer))
      taken.layers.push_back({layer.index, layer.powder, layer.used});
  if (!taken.layers.empty())
    record.push_back(std::move(taken));
}

// Puts the old palette back unless the new one is to stay.
class PutBack {
 public:
  PutBack(fs::path palette, fs::path kept) : palette_(std::move(palette)), kept_(std::move(kept)) {}
  ~PutBack() {
    std::error_code ignored;
    if (!stays_)
      fs::rename(kept_, palette_, ignored);
  }
  PutBack(const PutBack&) = delete;
  PutBack& operator=(const PutBack&) = delete;
  PutBack(PutBack&& other) noexcept
      : palette_(std::move(other.palette_)), kept_(std::move(other.kept_)), stays_(other.stays_) {
    other.stays_ = true;
  }
  PutBack& operator=(PutBack&&) = delete;
  void stay() { stays_ = true; }
  [[nodiscard]] const fs::path& kept() const { return kept_; }

 private:
  fs::path palette_, kept_;
  bool stays_ = false;
};

// Puts back what a record held, or takes the new one away.
class RecordBack {
 public:
  explicit RecordBack(fs::path file) : file_(std::move(file)) {
    std::error_code error;
    there_ = fs::exists(file_, error);
    if (there_)
      bytes_ = read_file(file_);
  }
  ~RecordBack() {
    if (stays_)
      return;
    std::error_code ignored;
    try {
      if (there_)
        WholeFile(file_, bytes_).put_over();
      else
        fs::remove(file_, ignored);
    } catch (const std::exception&) {
      // The disk takes nothing any more; what led here is told already.
      return;
    }
  }
  RecordBack(const RecordBack&) = delete;
  RecordBack& operator=(const RecordBack&) = delete;
  RecordBack(RecordBack&& other) noexcept
      : file_(std::move(other.file_)),
        bytes_(std::move(other.bytes_)),
        there_(other.there_),
        stays_(other.stays_) {
    other.stays_ = true;
  }
  RecordBack& operator=(RecordBack&&) = delete;
  void stay() { stays_ = true; }

 private:
  fs::path file_;
  std::vector<std::uint8_t> bytes_;
  bool there_ = false, stays_ = false;
};

std::vector<std::string> write_all(const std::vector<Change>& changes) {
  for (const Change& change : changes) {
    check_can_replace(change.shelf->file);
    check_whole_file(taken_record_of(change.shelf->file), ".json", true);
  }
  const SignalGuard guard;
  std::vector<std::string> done;
  std::vector<PutBack> palettes;
  std::vector<RecordBack> records;
  for (const Change& change : changes) {
    const fs::path file = change.shelf->file, record = taken_record_of(file);
    records.emplace_back(record);
    WholeFile taken(record, bytes_of(taken_json(change.record)));
    // The record first: a run that is killed between the two then refuses to be repeated, and takes nothing
    // twice.
    palettes.emplace_back(fs::canonical(file),
                          replace_keeping(file, change.shelf->bytes, bytes_of(change.text), [&] {
                            SignalGuard::check();
                            taken.put_over();
                          }));
    done.push_back(fmt::format(
        "{} is changed; as it was before, it lies in {}; what was taken is recorded in {}",
        plain_text(file.string()), plain_text(palettes.back().kept().string()), plain_text(record.string())));
  }
  for (PutBack& palette : palettes)
    palette.stay();
  for (RecordBack& record : records)
    record.stay();
  return done;
}

}  // namespace

StockPalette read_stock_palette(const std::string& file) {
  StockPalette shelf{.file = file, .bytes = {}, .palette = parse_palette(read_text_file(file), file)};
  shelf.bytes = read_file(file);
  return shelf;
}

std::vector<std::string> taken_before(const std::vector<StockPlan>& plans,
                                      const std::vector<StockPalette>& shelves) {
  std::vector<std::string> words;
  for (const StockPalette& shelf : shelves) {
    const TakenRecord record = record_beside(shelf);
    for (const StockPlan& plan : plans)
      if (const std::vector<std::string> layers = taken_layers(plan, shelf, record); !layers.empty())
        words.push_back(fmt::format("{} of {} {} taken off {} before", layers_in_words(layers), plan.title,
                                    layers.size() == 1 ? "was" : "were", shelf.file));
  }
  return words;
}

std::vector<std::string> take_off(const std::vector<StockPlan>& plans,
                                  const std::vector<StockPalette>& shelves, const std::vector<JarState>& jars,
                                  const Palette& palette, bool again) {
  std::vector<std::string> notes;
  std::vector<Change> changes;
  for (const StockPalette& shelf : shelves) {
    Change change{.shelf = &shelf,
                  .text = std::string(shelf.bytes.begin(), shelf.bytes.end()),
                  .record = record_beside(shelf)};
    for (const StockPlan& plan : plans)
      if (const std::vector<std::string> layers = taken_layers(plan, shelf, change.record);
          !layers.empty() && !again)
        throw Problem(
            ProblemKind::command_line, plan.file,
            fmt::format("{} of it {} taken off {} before", layers_in_words(layers),
                        layers.size() == 1 ? "was" : "were", shelf.file),
            "name the firings that are still to be taken by --firing, or say --again if the piece is "
            "made again");
    for (const StockPlan& plan : plans)
      add_to(change.record, plan, shelf);

    std::vector<PowderEdit> edits;
    for (const JarState& jar : jars) {
      const Powder& powder = palette.powders[jar.powder];
      if (!jar.wanted || shelf.palette.find_powder(powder.id) == nullptr)
        continue;
      if (!jar.stock)
        notes.push_back(
            fmt::format("{} has no stock_g in {}, so nothing was taken off it", powder.id, shelf.file));
      else
        edits.push_back({powder.id, {{"stock_g", toml_value(written(*jar.left))}}});
      if (jar.stock && jar.used > *jar.stock)
        notes.push_back(
            fmt::format("{} has used more than the jar is said to have held, so it is at 0 now: weigh "
                        "the jar and write its grams as stock_g",
                        powder.id));
    }
    if (edits.empty())
      continue;
    change.text = edit_powders(change.text, shelf.file, edits);
    changes.push_back(std::move(change));
  }
  if (changes.empty())
    throw Problem(ProblemKind::input, shelves.front().file, "none of the powders that are used has a stock_g",
                  "weigh the jars and write their grams as stock_g");
  std::vector<std::string> done = write_all(changes);
  done.insert(done.end(), notes.begin(), notes.end());
  return done;
}

}  // namespace powderplan
