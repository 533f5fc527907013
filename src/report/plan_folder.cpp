#include "report/plan_folder.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <system_error>

#include "parallel.h"
#include "problem.h"
#include "raster/png.h"
#include "report/amount_file.h"
#include "report/difference_map.h"
#include "report/files.h"
#include "report/grams_csv.h"
#include "report/layer_names.h"
#include "report/line_files.h"
#include "report/lost_map.h"
#include "report/own_folder.h"
#include "report/panel_files.h"
#include "report/panel_words.h"
#include "report/plan_json.h"
#include "report/preview.h"
#include "report/proof.h"
#include "report/reaction_words.h"
#include "report/reactions_map.h"
#include "report/schedule_plot.h"
#include "report/separation_file.h"
#include "report/stencil_dxf.h"
#include "report/stencil_files.h"
#include "report/stencil_svg.h"
#include "report/templates_pdf.h"
#include "report/whole_folder.h"
#include "report/worksheet.h"
#include "report/worksheet_pdf.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;
using Bytes = std::vector<std::uint8_t>;

// Files that are made together, mostly one.
struct File {
  std::vector<std::string> names;  // below the folder
  std::function<std::vector<Bytes>()> make;

  File(std::string name, std::function<Bytes()> make_one)
      : names{std::move(name)}, make([one = std::move(make_one)] { return std::vector<Bytes>{one()}; }) {}
  File(std::vector<std::string> of, std::function<std::vector<Bytes>()> make_all)
      : names(std::move(of)), make(std::move(make_all)) {}
};

// Drawings of lines, laid and scratched.
std::vector<File> line_drawings(const PlanRecord& record) {
  std::vector<File> files;
  const auto add = [&](const std::optional<LinePlan>& lines, const std::string& name) {
    if (lines)
      files.push_back({name, [&record, &lines, name] {
                         return bytes_of(
                             lines_svg(*lines, record.width, record.height, fs::path(name).stem().string()));
                       }});
  };
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    add(record.layers[i].lines, lines_file(record, i));
    add(record.layers[i].scratched, scratched_file(record, i));
  }
  return files;
}

// A panel's drawings of lines, laid and scratched.
void add_panel_lines(std::vector<File>& files, const PlanRecord& record, std::size_t panel) {
  const auto add = [&](const std::optional<LinePlan>& lines, const std::string& whole) {
    if (!lines || lines_for_panel(record, panel, *lines).paths.empty())
      return;
    files.push_back({in_panel_folder(panel, whole), [&record, &lines, panel, whole] {
                       const BoxMm box = in_mm(record.panels.panels[panel].box, record.separation.grid.pitch);
                       return bytes_of(lines_svg(lines_for_panel(record, panel, *lines),
                                                 Millimetres(box.right - box.left),
                                                 Millimetres(box.bottom - box.top),
                                                 panel_name(panel) + ", " + fs::path(whole).stem().string()));
                     }});
  };
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    add(record.layers[i].lines, lines_file(record, i));
    add(record.layers[i].scratched, scratched_file(record, i));
  }
}

// Cut files and templates of each panel, and their grams.
std::vector<File> panel_files(const PlanRecord& record) {
  std::vector<File> files;
  for (std::size_t p = 0; p < record.panels.panels.size(); ++p) {
    bool any_stencil = false;
    for (std::size_t i = 0; i < record.layers.size(); ++i) {
      if (!opens_in(record, p, i))
        continue;
      any_stencil = true;
      const std::string file = panel_stencil_file(record, p, i);
      files.push_back({file + ".svg", [&record, p, i] {
                         return bytes_of(stencil_svg(stencil_for_panel(record, p, i),
                                                     fmt::format("{}: {}, {}", record.title, panel_name(p),
                                                                 layer_file_stem(record, i))));
                       }});
      files.push_back({file + ".dxf",
                       [&record, p, i] { return bytes_of(stencil_dxf(stencil_for_panel(record, p, i))); }});
    }
    if (any_stencil)
      files.push_back({panel_folder(p) + "/templates.pdf", [&record, p] {
                         return templates_pdf(panel_templates(record, p), record.paper,
                                              fmt::format("{}, panel {}", record.title, p + 1));
                       }});
    add_panel_lines(files, record, p);
  }
  if (!record.panels.panels.empty())
    files.push_back({"panels/grams.csv", [&record] { return bytes_of(panel_grams_csv(record)); }});
  return files;
}

bool any_bare(const PlanRecord& record) {
  const std::uint8_t* bare = record.bare.data();
  return std::any_of(bare, bare + record.bare.size(), [](std::uint8_t b) { return b != 0; });
}

// What the previews leave behind for the files that are made of them.
struct KeptPictures {
  Image<Rgb8> finished;  // in the plan's view, as wide as mean_picture_width
  std::vector<FiringPictures> firings;
  WorksheetPictures pages;
};

// Pictures of the piece at its moments, each looked at once: for its file and, smaller, for what is kept.
class Previews {
 public:
  Previews(const PlanRecord& record, KeptPictures& kept, const LookKeeper& keeper)
      : record_(record), kept_(kept), keeper_(keeper), page_(page_picture_size(record.separation.grid)) {
    kept.firings.resize(record.firing_plan.firings.size());
    kept.pages.laid.resize(record.layers.size());
    kept.pages.fired.resize(record.firing_plan.firings.size());
  }

  [[nodiscard]] Bytes target() const {
    LookedAt looked = through("target", [&] {
      Shrinking page = for_page();
      Bytes bytes = png(passing(target_rows(record_), {&page}));
      return LookedAt{{std::move(bytes)}, {page.picture()}};
    });
    kept_.pages.target = std::move(looked.small.at(0));
    return std::move(looked.files.at(0));
  }
  [[nodiscard]] Bytes unfired(std::size_t k) const {
    LookedAt looked = through(fmt::format("unfired-{}", k), [&] {
      Shrinking page = for_page(), strip = at_most(strip_picture_width);
      Bytes bytes = png(passing(rows_at(record_, moment_before(record_, k), View::wall), {&page, &strip}));
      return LookedAt{{std::move(bytes)}, {strip.picture(), page.picture()}};
    });
    kept_.firings[k].before = std::move(looked.small.at(0));
    const std::vector<std::size_t>& layers = record_.firing_plan.firings[k].layers;
    if (!layers.empty() && k >= record_.firings_done)
      kept_.pages.laid[layers.back()] = std::move(looked.small.at(1));
    return std::move(looked.files.at(0));
  }
  // In the plan's view; not the last firing.
  [[nodiscard]] Bytes fired(std::size_t k) const {
    LookedAt looked = through(fmt::format("fired-{}", k), [&] {
      Shrinking page = for_page(), strip = at_most(strip_picture_width);
      Bytes bytes = png(passing(rows_at(record_, moment_after(k), record_.view), {&page, &strip}));
      return LookedAt{{std::move(bytes)}, {strip.picture(), page.picture()}};
    });
    kept_.firings[k].after = std::move(looked.small.at(0));
    keep(std::move(looked.small.at(1)), k, record_.view);
    return std::move(looked.files.at(0));
  }
  // The other view of the finished piece.
  [[nodiscard]] Bytes finished_other_way(View view) const {
    LookedAt looked = through("finished other way", [&] {
      Shrinking page = for_page();
      Bytes bytes = png(passing(rows_at(record_, moment_finished(record_), view), {&page}));
      return LookedAt{{std::move(bytes)}, {page.picture()}};
    });
    if (!kept_.firings.empty())
      keep(std::move(looked.small.at(0)), kept_.firings.size() - 1, view);
    return std::move(looked.files.at(0));
  }
  // In the plan's view, and how it differs from the target.
  [[nodiscard]] std::vector<Bytes> finished() const {
    LookedAt looked = through("finished", [&] {
      Shrinking page = for_page(), strip = at_most(strip_picture_width),
                mean = at_most(mean_picture_width(record_));
      const Image<Rgb8> picture =
          whole(passing(rows_at(record_, moment_finished(record_), record_.view), {&page, &strip, &mean}));
      return LookedAt{{png(rows_of(picture)), png(difference_map(record_, rows_of(picture)))},
                      {mean.picture(), page.picture(), strip.picture()}};
    });
    kept_.finished = std::move(looked.small.at(0));
    kept_.pages.final = looked.small.at(1);
    if (!kept_.firings.empty()) {
      kept_.firings.back().after = std::move(looked.small.at(2));
      keep(std::move(looked.small.at(1)), kept_.firings.size() - 1, record_.view);
    }
    return std::move(looked.files);
  }
  [[nodiscard]] Bytes lost() const {
    LookedAt looked = through("lost", [&] { return LookedAt{{png(lost_map(record_))}, {}}; });
    return std::move(looked.files.at(0));
  }

 private:
  [[nodiscard]] LookedAt through(const std::string& name, const std::function<LookedAt()>& look) const {
    return keeper_ ? keeper_(name, look) : look();
  }
  [[nodiscard]] Bytes png(const PictureRows<Rgb8>& rows) const {
    return encode_png(rows, record_.separation.grid.pitch);
  }
  [[nodiscard]] Shrinking at_most(int width) const {
    return {record_.separation.grid.width, record_.separation.grid.height, width};
  }
  [[nodiscard]] Shrinking for_page() const {
    return {record_.separation.grid.width, record_.separation.grid.height, page_.width, page_.height};
  }
  // Pages show nothing of firings that are done.
  void keep(Image<Rgb8> page, std::size_t firing, View view) const {
    if (firing < record_.firings_done)
      return;
    FiredPictures& fired = kept_.pages.fired[firing];
    (view == View::wall ? fired.wall : fired.window) = std::move(page);
  }

  const PlanRecord& record_;
  KeptPictures& kept_;
  const LookKeeper& keeper_;
  PageSize page_;
};

// All pictures that stand in the worksheets.
template <class Take>
void for_each_picture(WorksheetPictures& pictures, const Take& take) {
  for (Image<Rgb8>* const picture : {&pictures.final, &pictures.target, &pictures.reactions})
    take(*picture);
  for (std::vector<Image<Rgb8>>* const list : {&pictures.steps, &pictures.laid})
    for (Image<Rgb8>& picture : *list)
      take(picture);
  for (FiredPictures& fired : pictures.fired) {
    take(fired.wall);
    take(fired.window);
  }
}

WorksheetPictures pictures_of_pages(const PlanRecord& record, WorksheetPictures pages,
                                    const LookKeeper& keeper) {
  if (!keeper)
    return worksheet_pictures(record, std::move(pages));
  WorksheetPictures drawn;
  LookedAt looked = keeper("pages", [&] {
    drawn = worksheet_pictures(record, std::move(pages));
    LookedAt made;
    for_each_picture(drawn, [&](Image<Rgb8>& picture) { made.small.push_back(std::move(picture)); });
    return made;
  });
  drawn.steps.resize(record.layers.size());
  drawn.laid.resize(record.layers.size());
  drawn.fired.resize(record.firing_plan.firings.size());
  std::size_t next = 0;
  for_each_picture(drawn, [&](Image<Rgb8>& picture) { picture = std::move(looked.small.at(next++)); });
  return drawn;
}

ProofPictures pictures_of_proof(const PlanRecord& record, const Image<Rgb8>& mean,
                                std::vector<FiringPictures> firings, const LookKeeper& keeper) {
  if (!keeper)
    return proof_pictures(record, mean, std::move(firings));
  ProofPictures pictures;
  LookedAt looked = keeper("surface", [&] {
    ProofPictures drawn = proof_pictures(record, mean, {});
    return LookedAt{{}, {std::move(drawn.surface), std::move(drawn.close_up)}};
  });
  pictures.surface = std::move(looked.small.at(0));
  pictures.close_up = std::move(looked.small.at(1));
  pictures.close_up_at = close_up_place(record, mean);
  pictures.firings = std::move(firings);
  return pictures;
}

// The slowest first, so that no core waits for the last file.
std::vector<File> files_of(const PlanRecord& record, const Bytes& plan, const Previews& previews) {
  const bool wall = record.view == View::wall;
  const std::size_t firings = record.firing_plan.firings.size();
  std::vector<File> files{
      {{fmt::format("previews/fired-{}.png", wall ? "wall" : "window"), "previews/difference.png"},
       [&previews, firings] {
         std::vector<Bytes> bytes = previews.finished();
         // The last firing leaves the finished piece.
         if (firings > 0)
           bytes.push_back(bytes.front());
         return bytes;
       }},
      {fmt::format("previews/fired-{}.png", wall ? "window" : "wall"),
       [&previews, wall] { return previews.finished_other_way(wall ? View::window : View::wall); }}};
  if (firings > 0)
    files.front().names.push_back(fmt::format("previews/firing-{}.png", firings));
  for (std::size_t k = firings; k-- > 0;) {
    files.push_back({k == 0 ? "previews/unfired.png" : fmt::format("previews/unfired-{}.png", k + 1),
                     [&previews, k] { return previews.unfired(k); }});
    if (k + 1 < firings)
      files.push_back(
          {fmt::format("previews/firing-{}.png", k + 1), [&previews, k] { return previews.fired(k); }});
  }
  files.push_back({"previews/target.png", [&previews] { return previews.target(); }});
  if (!record.lost_detail.empty())
    files.push_back({"previews/lost-detail.png", [&previews] { return previews.lost(); }});
  for (std::size_t k = 0; k < record.firing_plan.firings.size(); ++k) {
    if (!record.firing_plan.firings[k].segments.empty())
      files.push_back({fmt::format("schedules/firing-{}.svg", k + 1), [&record, k] {
                         return bytes_of(
                             schedule_plot_svg(record.firing_plan.firings[k].segments, record.palette.glass));
                       }});
  }
  for (std::size_t i = 0; i < record.layers.size(); ++i)
    files.push_back({"layers/" + layer_file_stem(record, i) + ".png",
                     [&, i] { return amount_png(record.layers[i].amount, record.separation.grid.pitch); }});
  const std::vector<CutSheet> sheets = cut_sheets(record);
  for (const CutSheet& sheet : sheets) {
    files.push_back({sheet.file + ".svg", [&record, sheet] {
                       const std::string stem = std::filesystem::path(sheet.file).filename().string();
                       return bytes_of(stencil_svg(*sheet.stencil, record.title + ": " + stem));
                     }});
    files.push_back({sheet.file + ".dxf", [sheet] { return bytes_of(stencil_dxf(*sheet.stencil)); }});
  }
  if (!sheets.empty())
    files.push_back({"templates.pdf", [&record] {
                       return templates_pdf(printed_templates(record), record.paper, record.title);
                     }});
  files.push_back({"separation/labels.png", [&record] {
                     return encode_png(record.separation.label_at, record.separation.grid.pitch);
                   }});
  if (any_bare(record))
    files.push_back({std::string(bare_file), [&record] {
                       Image<Amount> map(record.bare.width(), record.bare.height());
                       for (std::size_t i = 0; i < map.size(); ++i)
                         map[i] = record.bare[i] != 0 ? whole_amount : Amount{0};
                       return amount_png(map, record.separation.grid.pitch);
                     }});
  files.push_back({"separation/separation.json", [&record] { return bytes_of(separation_json(record)); }});
  files.push_back({"plan.json", [&plan] { return plan; }});
  files.push_back({"grams.csv", [&record] { return bytes_of(grams_csv(record)); }});
  if (!marked_meetings(record).empty())
    files.push_back({"previews/reactions.png", [&record] {
                       const Image<Rgb8> map = reactions_map(record);
                       return encode_png(
                           map, record.separation.grid.pitch *
                                    (static_cast<double>(record.separation.grid.width) / map.width()));
                     }});
  for (File& drawing : line_drawings(record))
    files.push_back(std::move(drawing));
  for (File& file : panel_files(record))
    files.push_back(std::move(file));
  return files;
}

// What is drawn from small pictures: the pages, and what a client is shown.
std::vector<File> pages_of(const PlanRecord& record, const Bytes& plan, const WorksheetPictures& drawn,
                           const ProofPictures& pictures) {
  return {{"worksheet.html", [&] { return bytes_of(worksheet(record, drawn, sha256(plan))); }},
          {"worksheet.pdf", [&] { return worksheet_pdf(record, drawn); }},
          {"proof.pdf", [&] { return proof_pdf(record, pictures); }},
          {"proof.png", [&] { return encode_png(proof(record, pictures), proof_pitch); }},
          {"previews/finished.png",
           [&] {
             const FinishedPicture finished = finished_picture(record, pictures);
             return encode_png(finished.picture, finished.pitch);
           }},
          {"previews/surface.png", [&] { return encode_png(pictures.close_up, close_up_pitch); }},
          {"previews/strip.png",
           [&] { return encode_png(firing_strip(record, pictures.firings), screen_pitch); }}};
}

constexpr FolderKind plan_kind{"plan", "plan.json", plan_folder_entries};

}  // namespace

OwnPlace check_plan_folder(const fs::path& folder, bool replace) {
  return check_own_folder(folder, replace, plan_kind);
}

std::vector<std::string> write_plan_folder(const PlanRecord& record, const fs::path& folder, bool replace,
                                           const std::function<void()>& may_go_on, const LookKeeper& keeper) {
  return write_plan_folder(record, check_plan_folder(folder, replace), may_go_on, keeper);
}

std::vector<std::string> write_plan_folder(const PlanRecord& record, const OwnPlace& place,
                                           const std::function<void()>& may_go_on, const LookKeeper& keeper) {
  const auto go_on = [&] {
    if (may_go_on)
      may_go_on();
  };
  WholeFolder whole(place.folder);
  go_on();
  const Bytes plan = bytes_of(plan_json(record));  // first: the worksheet carries its fingerprint
  const auto write = [&](const std::vector<File>& files) {
    for_each_block(files.size(), [&](std::size_t i) {
      go_on();
      const std::vector<Bytes> bytes = files[i].make();
      for (std::size_t k = 0; k < bytes.size(); ++k)
        whole.write(files[i].names[k], bytes[k]);
    });
  };
  KeptPictures kept;
  write(files_of(record, plan, Previews(record, kept, keeper)));
  go_on();
  WorksheetPictures drawn;
  ProofPictures pictures;
  // Each has stretches for one thread alone.
  for_each_block(2, [&](std::size_t which) {
    if (which == 0)
      pictures = pictures_of_proof(record, kept.finished, std::move(kept.firings), keeper);
    else
      drawn = pictures_of_pages(record, std::move(kept.pages), keeper);
  });
  write(pages_of(record, plan, drawn, pictures));

  go_on();
  check_again(place, plan_kind);
  std::vector<std::string> notes;
  if (const auto left = whole.commit(place.found))
    notes.push_back(fmt::format("the old plan could not be removed and lies in {} now", left->string()));
  return notes;
}

}  // namespace powderplan
