#include "glass/palette.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "colour/observer.h"
#include "glass/expansion.h"
#include "glass/toml_reader.h"
#include "optics/kubelka_munk.h"
#include "optics/surface.h"
#include "optics/swatch.h"
#include "problem.h"
#include "utf8.h"

namespace powderplan {
namespace {

constexpr Range swatch_loads{0.001, 5};         // g/cm2
constexpr Range curve_loads{1e-6, 100};         // g/cm2
constexpr Range grain_sizes{0.005, 2.0};        // mm
constexpr Range stocks{0, 1e6};                 // g
constexpr Range prices{0, 1e6};                 // per 100 g
constexpr Range thicknesses{0.1, 50};           // mm
constexpr Range glass_temperatures{200, 1500};  // C
constexpr Range expansions{1e-7, 2e-5};         // per K
constexpr Range differences{0, 100};            // CIEDE2000
constexpr Range spreadings{0.1, 10};
constexpr std::size_t longest_id = 48;
constexpr Millimetres usual_grain{0.10};

std::string need_id(TomlTable& table, std::string_view kind) {
  const std::string id = table.need_text("id");
  const auto plain = [](unsigned char c) {
    return c < 0x80 && (std::isalnum(c) != 0 || c == '-' || c == '_');
  };
  if (id.size() > longest_id || !std::all_of(id.begin(), id.end(), plain))
    table.fail("id", fmt::format("id \"{}\" cannot be used in file names", id),
               fmt::format("use at most {} letters, digits, '-' and '_'", longest_id));
  table.retitle(fmt::format("[[{}]] {}", kind, id));
  return id;
}

// What is called by somebody's words: one line that controls nothing, wherever it is shown.
std::string name_in(const TomlTable& table, std::string_view key, const std::string& otherwise) {
  return plain_text(table.text(key).value_or(otherwise));
}

std::vector<std::string> names_in(const TomlTable& table, std::string_view key) {
  std::vector<std::string> names = table.texts(key).value_or(std::vector<std::string>{});
  std::transform(names.begin(), names.end(), names.begin(),
                 [](const std::string& name) { return plain_text(name); });
  return names;
}

Body need_body(const TomlTable& table) {
  const std::string body = table.need_text("body");
  if (body == "transparent")
    return Body::transparent;
  if (body == "opalescent")
    return Body::opalescent;
  table.fail("body", fmt::format("body is \"{}\"", body), "it must be \"transparent\" or \"opalescent\"");
}

std::string family_of(const TomlTable& table, const std::string& of_palette) {
  const std::string family = name_in(table, "family", of_palette);
  if (of_palette.empty() && !family.empty())
    table.fail("family", fmt::format("expansion family \"{}\" on a shelf that states none", family),
               fmt::format("if all its glasses are of that family, write family = \"{}\" under [palette]; "
                           "else keep them in separate palettes, because they crack each other",
                           family));
  if (family != of_palette)
    table.fail("family",
               fmt::format("expansion family \"{}\" on a shelf of family \"{}\"", family, of_palette),
               "glasses of different expansion crack each other; keep them in separate palettes");
  return family;
}

SwatchFit need_possible(const TomlTable& table, const Rgb8& over_white, const Rgb8& over_black, Load load) {
  const SwatchFit fit = fit_swatch(over_white, over_black, load);
  if (std::max(fit.white_de00, fit.black_de00) > impossible_swatch_de00)
    table.fail(
        "over_black",
        fmt::format("no glass looks {} over white and {} over black", to_hex(over_white), to_hex(over_black)),
        "over black it cannot be lighter than over white; check that the two are not swapped");
  return fit;
}

LoadCurve need_rising(const TomlTable& table) {
  std::vector<LoadPoint> points;
  for (const auto& [load, effective] :
       table.pairs("load_curve", curve_loads).value_or(std::vector<std::pair<double, double>>{})) {
    if (!points.empty() && (Load(load) <= points.back().load || Load(effective) <= points.back().effective))
      table.fail("load_curve", fmt::format("'load_curve' does not rise at [{}, {}]", load, effective),
                 "write its pairs from the lightest load to the heaviest");
    points.push_back({Load(load), Load(effective)});
  }
  return LoadCurve(std::move(points));
}

// What a layer of known k and s looks like over a ground, glossy, under D65.
Rgb8 predicted(const Spectrum& k, const Spectrum& s, Load load, double ground) {
  const Spectrum inside = reflectance_over(kubelka_munk(k, s, load), Spectrum::constant(ground));
  const Observer see(illuminant_d65());
  return to_rgb8(
      to_linear_rgb(see(per_band([](double r) { return seen_through(glass_surface(), r, 0.0); }, inside))));
}

Powder read_powder(TomlTable table, const Palette& shelf) {
  Powder powder;
  powder.id = need_id(table, "powder");
  table.only({"id",
              "name",
              "body",
              "over_white",
              "over_black",
              "load",
              "grain_mm",
              "stock_g",
              "price_per_100g",
              "carries",
              "reacts_with",
              "strikes",
              "unfired",
              "k",
              "s",
              "residual",
              "expected_error",
              "spreads",
              "load_curve",
              "family",
              "expansion_per_k"});
  powder.name = name_in(table, "name", powder.id);
  powder.family = family_of(table, shelf.family);
  powder.body = need_body(table);
  powder.swatch_load = Load(table.number("load", swatch_loads).value_or(full_load.value()));
  powder.optics.grain = Millimetres(table.number("grain_mm", grain_sizes).value_or(usual_grain.value()));
  if (const auto stock = table.number("stock_g", stocks))
    powder.stock = Grams(*stock);
  powder.price_per_100g = table.number("price_per_100g", prices);
  powder.carries = names_in(table, "carries");
  powder.reacts_with = names_in(table, "reacts_with");
  powder.expansion_per_k = table.number("expansion_per_k", expansions);
  powder.strikes = table.yes_no("strikes").value_or(false);
  powder.unfired = table.colour("unfired");

  powder.measured = table.has("k") || table.has("s");
  if (powder.measured) {
    const auto k = table.spectrum("k"), s = table.spectrum("s");
    if (!k || !s)
      table.fail(k ? "k" : "s", "a measured powder needs both 'k' and 's'", "add the one that is missing");
    powder.optics.k = *k;
    powder.optics.s = *s;
    powder.optics.spreads = table.number("spreads", spreadings).value_or(1.0);
    powder.optics.curve = need_rising(table);
    const auto residual = table.number("residual", differences);
    powder.expected_de00 =
        table.number("expected_error", differences).value_or(residual.value_or(unmeasured_de00));
    const Load worth = powder.optics.curve(powder.swatch_load);
    powder.over_white = table.colour("over_white").value_or(predicted(*k, *s, worth, white_ground));
    powder.over_black = table.colour("over_black").value_or(predicted(*k, *s, worth, black_ground));
    return powder;
  }
  for (const std::string_view key : {"residual", "expected_error", "spreads", "load_curve"})
    if (table.has(key))
      table.fail(key, fmt::format("'{}' belongs to a measurement, and there is none", key),
                 "remove it, or give 'k' and 's' too");
  powder.over_white = table.need_colour("over_white");
  powder.over_black = table.need_colour("over_black");
  const SwatchFit fit = need_possible(table, powder.over_white, powder.over_black, powder.swatch_load);
  powder.optics.k = fit.k;
  powder.optics.s = fit.s;
  powder.expected_de00 = std::max({unmeasured_de00, fit.white_de00, fit.black_de00});
  return powder;
}

Sheet read_sheet(TomlTable table, const Palette& shelf) {
  Sheet sheet;
  sheet.id = need_id(table, "sheet");
  table.only({"id", "name", "body", "thickness_mm", "over_white", "over_black", "k", "s", "family", "carries",
              "reacts_with", "expansion_per_k"});
  sheet.name = name_in(table, "name", sheet.id);
  sheet.family = family_of(table, shelf.family);
  sheet.body = need_body(table);
  sheet.thickness = Millimetres(table.number("thickness_mm", thicknesses).value_or(3.0));
  sheet.carries = names_in(table, "carries");
  sheet.reacts_with = names_in(table, "reacts_with");
  sheet.expansion_per_k = table.number("expansion_per_k", expansions);
  const Load load = load_of_sheet(sheet.thickness, shelf.glass.density);
  const auto k = table.spectrum("k"), s = table.spectrum("s");
  if (k && s) {
    sheet.k = *k;
    sheet.s = *s;
    sheet.over_white = table.colour("over_white").value_or(predicted(*k, *s, load, white_ground));
    sheet.over_black = table.colour("over_black").value_or(predicted(*k, *s, load, black_ground));
    return sheet;
  }
  if (k || s)
    table.fail(k ? "k" : "s", "a measured sheet needs both 'k' and 's'", "add the one that is missing");
  sheet.over_white = table.need_colour("over_white");
  sheet.over_black = table.need_colour("over_black");
  const SwatchFit fit = need_possible(table, sheet.over_white, sheet.over_black, load);
  sheet.k = fit.k;
  sheet.s = fit.s;
  return sheet;
}

GlassConstants read_glass(const TomlTable& table) {
  table.only({"strain_c", "annealing_c", "softening_c", "expansion_per_k", "density_g_cm3"});
  GlassConstants glass;
  glass.strain = Celsius(table.number("strain_c", glass_temperatures).value_or(glass.strain.value()));
  glass.annealing =
      Celsius(table.number("annealing_c", glass_temperatures).value_or(glass.annealing.value()));
  glass.softening =
      Celsius(table.number("softening_c", glass_temperatures).value_or(glass.softening.value()));
  glass.expansion_per_k = table.number("expansion_per_k", expansions).value_or(glass.expansion_per_k);
  glass.density = Density(table.number("density_g_cm3", {1.5, 8}).value_or(glass.density.value()));
  if (const auto fault = fault_of_points(glass))
    table.fail(fault->key, fault->wrong, fault->remedy);
  return glass;
}

template <class Entry>
void refuse_duplicate(const std::vector<Entry>& entries, const Entry& added, const TomlTable& table) {
  if (std::any_of(entries.begin(), entries.end(), [&](const Entry& e) { return e.id == added.id; }))
    table.fail("id", fmt::format("id \"{}\" is used twice", added.id), "give each its own id");
}

}  // namespace

std::string_view name_of(Body body) {
  return body == Body::transparent ? "transparent" : "opalescent";
}

const Powder* Palette::find_powder(std::string_view id) const {
  const auto at = std::find_if(powders.begin(), powders.end(), [&](const Powder& p) { return p.id == id; });
  return at == powders.end() ? nullptr : &*at;
}

const Sheet* Palette::find_sheet(std::string_view id) const {
  const auto at = std::find_if(sheets.begin(), sheets.end(), [&](const Sheet& s) { return s.id == id; });
  return at == sheets.end() ? nullptr : &*at;
}

Millimetres median_grain(const Palette& palette, std::vector<std::size_t> powders) {
  const auto middle = powders.begin() + static_cast<std::ptrdiff_t>(powders.size() / 2);
  std::nth_element(powders.begin(), middle, powders.end(), [&](std::size_t a, std::size_t b) {
    return palette.powders[a].optics.grain < palette.powders[b].optics.grain;
  });
  return palette.powders[*middle].optics.grain;
}

Palette parse_palette(const std::string& text, const std::string& file) {
  const toml::table root = parse_toml(text, file);
  TomlTable(root, file, "palette file").only_tables({"palette", "powder", "sheet", "glass"});
  Palette shelf;
  if (const auto head = sub_table(root, "palette", file)) {
    head->only({"name", "note", "family"});
    shelf.name = name_in(*head, "name", "");
    shelf.note = name_in(*head, "note", "");
    shelf.family = name_in(*head, "family", "");
  }
  if (const auto glass = sub_table(root, "glass", file))
    shelf.glass = read_glass(*glass);
  for (TomlTable& table : table_list(root, "powder", file)) {
    Powder powder = read_powder(table, shelf);
    refuse_duplicate(shelf.powders, powder, table);
    refuse_mismatch(shelf, powder, table.place_of("expansion_per_k"));
    shelf.powders.push_back(std::move(powder));
  }
  for (TomlTable& table : table_list(root, "sheet", file)) {
    Sheet sheet = read_sheet(table, shelf);
    refuse_duplicate(shelf.sheets, sheet, table);
    refuse_mismatch(shelf, sheet, table.place_of("expansion_per_k"));
    shelf.sheets.push_back(std::move(sheet));
  }
  if (shelf.powders.empty())
    throw Problem(ProblemKind::input, file, "the palette has no powders", "add at least one [[powder]]");
  if (shelf.sheets.empty())
    throw Problem(ProblemKind::input, file, "the palette has no sheets",
                  "add at least one [[sheet]] to lay powder on");
  return shelf;
}

Palette merge(const std::vector<Palette>& shelves, const std::vector<std::string>& files) {
  Palette all = shelves.front();
  const auto used_twice = [&](std::string_view kind, const std::string& id, std::size_t on,
                              const auto& has_it) {
    const auto first = std::find_if(shelves.begin(), shelves.end(), has_it) - shelves.begin();
    return Problem(ProblemKind::input, files[on],
                   fmt::format("{} \"{}\" is in {} too", kind, id, files[static_cast<std::size_t>(first)]),
                   "give each its own id");
  };
  for (std::size_t i = 1; i < shelves.size(); ++i) {
    const Palette& more = shelves[i];
    if (more.family != all.family || more.glass.expansion_per_k != all.glass.expansion_per_k)
      throw Problem(
          ProblemKind::input, files[i],
          fmt::format("expansion family \"{}\" ({} per K) cannot be mixed with \"{}\" ({} per K) of {}",
                      more.family, more.glass.expansion_per_k, all.family, all.glass.expansion_per_k,
                      files[0]),
          "glasses of different expansion crack each other; plan with one family");
    if (more.glass.density != all.glass.density)
      throw Problem(ProblemKind::input, files[i],
                    fmt::format("its glass has another density than that of {}", files[0]),
                    "plan with one kind of glass");
    if (more.glass.strain != all.glass.strain || more.glass.annealing != all.glass.annealing ||
        more.glass.softening != all.glass.softening)
      throw Problem(
          ProblemKind::input, files[i],
          fmt::format("its glass has other strain, annealing or softening points than that of {}", files[0]),
          "plan with one kind of glass; where it is one, give both palettes the same [glass]");
    for (const Powder& powder : more.powders) {
      if (all.find_powder(powder.id) != nullptr)
        throw used_twice("powder", powder.id, i,
                         [&](const Palette& p) { return p.find_powder(powder.id) != nullptr; });
      refuse_mismatch(all, powder, files[i]);
      all.powders.push_back(powder);
    }
    for (const Sheet& sheet : more.sheets) {
      if (all.find_sheet(sheet.id) != nullptr)
        throw used_twice("sheet", sheet.id, i,
                         [&](const Palette& p) { return p.find_sheet(sheet.id) != nullptr; });
      refuse_mismatch(all, sheet, files[i]);
      all.sheets.push_back(sheet);
    }
    all.name += " + " + more.name;
  }
  return all;
}

}  // namespace powderplan
