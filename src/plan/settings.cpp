#include "plan/settings.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

#include "colour/observer.h"
#include "colour/tristimulus.h"
#include "optics/finish.h"
#include "plan/shelf_request.h"
#include "problem.h"
#include "raster/piece_edges.h"

namespace powderplan {
namespace {

// What a person can have meant; anything else is a slip of the hand.
constexpr Range shares{0, 1};
constexpr Range eye_distances{100, 100'000, "mm"};
constexpr Range layer_counts{1, 32};
constexpr Range firing_counts{1, 20};
constexpr Range powder_counts{1, 64};
constexpr Range stack_heights{1, 6};  // powders at a spot: each may double the states of a stack
constexpr Range smallest_widths{0.1, 100, "mm"};
constexpr Range loose_loads{0.01, 5, "g/cm2"};
constexpr Range least_loads{0.0005, 1, "g/cm2"};
constexpr Range pitches{0.02, 5, "mm"};
constexpr Range soft_edges{2, 200, "mm"};
constexpr Range sweep_margins{0, 200, "mm"};
constexpr Range bridge_widths{0.1, 100, "mm"};
constexpr Range borders{0, 200, "mm"};
constexpr Range cut_tolerances{0.01, 5, "mm"};
constexpr Range shelf_margins{0, 200, "mm"};

// One of a few words.
template <class Value, std::size_t count>
Value one_of(const Answer& answer, const std::array<std::pair<std::string_view, Value>, count>& words) {
  const std::string said = answer.text();
  std::string known;
  for (const auto& [word, value] : words) {
    if (word == said)
      return value;
    known += fmt::format("{}{}", known.empty() ? "" : ", ", word);
  }
  answer.fail(fmt::format("\"{}\" is none of its values", said), "choose one of " + known);
}

template <class Value, std::size_t count>
std::string word_for(Value value, const std::array<std::pair<std::string_view, Value>, count>& words) {
  for (const auto& [word, candidate] : words)
    if (candidate == value)
      return std::string(word);
  return "";
}

constexpr std::array<std::pair<std::string_view, FitMode>, 2> fit_words{
    {{"fill", FitMode::fill}, {"whole", FitMode::whole}}};
constexpr std::array<std::pair<std::string_view, View>, 2> view_words{
    {{"wall", View::wall}, {"window", View::window}}};
constexpr std::array<std::pair<std::string_view, RangeFit>, 2> range_words{
    {{"fit", RangeFit::fit}, {"keep", RangeFit::keep}}};
constexpr std::array<std::pair<std::string_view, Finish>, 3> finish_words{
    {{"tack", Finish::tack}, {"contour", Finish::contour}, {"full", Finish::full}}};
constexpr std::array<std::pair<std::string_view, RaisedUse>, 3> raised_words{
    {{"never", RaisedUse::never}, {"when-needed", RaisedUse::when_needed}, {"freely", RaisedUse::freely}}};

constexpr std::array<std::pair<std::string_view, bool>, 2> yes_words{{{"no", false}, {"yes", true}}};
constexpr std::array<std::pair<std::string_view, const Paper*>, 2> paper_words{
    {{"a4", &paper_a4}, {"letter", &paper_letter}}};
constexpr std::array<std::pair<std::string_view, RepeatUse>, 3> repeat_words{
    {{"never", RepeatUse::never}, {"found", RepeatUse::found}, {"always", RepeatUse::always}}};

template <class Value>
std::string shown_if(const std::optional<Value>& value) {
  return value ? fmt::format("{}", *value) : "";
}

std::string listed(const std::vector<std::string>& words) {
  return fmt::format("{}", fmt::join(words, ","));
}

std::string light_word(const Answer& answer) {
  std::string said = answer.text();
  if (!illuminant_named(said))
    answer.fail(fmt::format("\"{}\" is no light", said),
                fmt::format("use D65, D50, A, or daylight of {} to {} K as 6000K", coolest_daylight_k,
                            hottest_daylight_k));
  return said;
}

std::string colour_word(const Answer& answer) {
  return to_hex(answer.colour());
}

CropBox crop_box(const Answer& answer) {
  const std::vector<double> edge = answer.numbers(4, shares);
  const CropBox crop{edge[0], edge[1], edge[2], edge[3]};
  if (crop.left >= crop.right || crop.top >= crop.bottom)
    answer.fail("nothing of the picture is left",
                "give left, top, right, bottom, with left < right and top < bottom");
  return crop;
}

Techniques techniques_of(const Answer& answer) {
  Techniques techniques{false, false, false};
  for (const std::string& word : answer.texts()) {
    if (word == "stencil")
      techniques.stencil = true;
    else if (word == "fade")
      techniques.fade = true;
    else if (word == "line")
      techniques.line = true;
    else
      answer.fail(fmt::format("\"{}\" is no technique", word), "choose from stencil, fade, line");
  }
  return techniques;
}

std::string words_for(const Techniques& techniques) {
  std::vector<std::string> words;
  if (techniques.stencil)
    words.emplace_back("stencil");
  if (techniques.fade)
    words.emplace_back("fade");
  if (techniques.line)
    words.emplace_back("line");
  return listed(words);
}

constexpr std::array<std::string_view, 3> technique_names{"stencil", "fade", "line"};

// ID=VALUE, split; `what` says what it should name.
std::pair<std::string, std::string> id_and_value(const Answer& answer, const std::string& word,
                                                 std::string_view what, std::string_view remedy) {
  const std::size_t sign = word.rfind('=');
  if (sign == std::string::npos || sign == 0)
    answer.fail(fmt::format("\"{}\" names no powder and {}", word, what), std::string(remedy));
  return {word.substr(0, sign), word.substr(sign + 1)};
}

std::vector<TechniqueWish> wishes_of(const Answer& answer) {
  std::vector<TechniqueWish> wishes;
  for (const std::string& word : answer.texts()) {
    const auto [id, technique] =
        id_and_value(answer, word, "technique", "write it as ID=stencil, ID=fade or ID=line");
    TechniqueWish wish{id, technique};
    if (std::find(technique_names.begin(), technique_names.end(), wish.technique) == technique_names.end())
      answer.fail(fmt::format("\"{}\" is no technique", wish.technique), "choose from stencil, fade, line");
    wishes.push_back(std::move(wish));
  }
  return wishes;
}

std::string words_for(const std::vector<TechniqueWish>& wishes) {
  std::vector<std::string> words;
  for (const TechniqueWish& wish : wishes)
    words.push_back(wish.powder + "=" + wish.technique);
  return listed(words);
}

std::vector<FiringOfPowder> firing_wishes_of(const Answer& answer) {
  std::vector<FiringOfPowder> wishes;
  for (const std::string& word : answer.texts()) {
    const auto [id, value] = id_and_value(answer, word, "firing", "write it as ID=N, e.g. fog-white=2");
    int firing = 0;
    const auto [end, error] = std::from_chars(value.data(), value.data() + value.size(), firing);
    if (error != std::errc() || end != value.data() + value.size() || firing < firing_counts.least ||
        firing > firing_counts.most)
      answer.fail(
          fmt::format("\"{}\" is no number of a firing", value),
          fmt::format("give a whole number from {:g} to {:g}", firing_counts.least, firing_counts.most));
    wishes.push_back({id, firing});
  }
  return wishes;
}
std::string words_for(const std::vector<FiringOfPowder>& wishes) {
  std::vector<std::string> words;
  for (const FiringOfPowder& wish : wishes)
    words.push_back(fmt::format("{}={}", wish.powder, wish.firing));
  return listed(words);
}

std::vector<FinishOfPowder> finish_wishes_of(const Answer& answer) {
  std::vector<FinishOfPowder> wishes;
  for (const std::string& word : answer.texts()) {
    const auto [id, value] =
        id_and_value(answer, word, "finish", "write it as ID=tack, ID=contour or ID=full");
    const std::string& finish = value;
    const auto known = std::find_if(finish_words.begin(), finish_words.end(),
                                    [&](const auto& entry) { return entry.first == finish; });
    if (known == finish_words.end())
      answer.fail(fmt::format("\"{}\" is no finish", finish), "choose from tack, contour, full");
    wishes.push_back({id, known->second});
  }
  return wishes;
}
std::string words_for(const std::vector<FinishOfPowder>& wishes) {
  std::vector<std::string> words;
  for (const FinishOfPowder& wish : wishes)
    words.push_back(wish.powder + "=" + word_for(wish.finish, finish_words));
  return listed(words);
}

constexpr std::array<std::pair<std::string_view, bool>, 2> react_words{{{"avoid", false}, {"wish", true}}};

std::vector<ReactionWish> reaction_wishes_of(const Answer& answer) {
  std::vector<ReactionWish> wishes;
  for (const std::string& said : answer.texts()) {
    const std::size_t plus = said.find('+'), sign = said.rfind('=');
    if (plus == std::string::npos || sign == std::string::npos || plus == 0 || sign < plus + 2)
      answer.fail(fmt::format("\"{}\" names no two powders and what is wanted of them", said),
                  "write it as ID+ID=avoid or ID+ID=wish");
    const std::string word = said.substr(sign + 1);
    const auto known = std::find_if(react_words.begin(), react_words.end(),
                                    [&](const auto& known_word) { return known_word.first == word; });
    if (known == react_words.end())
      answer.fail(fmt::format("\"{}\" is none of its words", word),
                  "say avoid to keep the two apart, or wish for the dark line between them");
    wishes.push_back({said.substr(0, plus), said.substr(plus + 1, sign - plus - 1), known->second});
  }
  return wishes;
}

std::string words_for(const std::vector<ReactionWish>& wishes) {
  std::vector<std::string> words;
  for (const ReactionWish& wish : wishes)
    words.push_back(fmt::format("{}+{}={}", wish.one, wish.other, word_for(wish.wanted, react_words)));
  return listed(words);
}

using A = Answer;
using R = PlanRequest;

constexpr std::array settings{
    Setting{"piece", "image", "IMAGE", "", "photo or drawing", false,  //
            [](const A& a, R& r) { r.image = a.file(); }, [](const R& r) { return r.image.string(); }},
    Setting{"piece", "palette", "--palette", "FILE", "your shelf; give it again for a second one", true,
            [](const A& a, R& r) { r.palettes = a.files(); },
            [](const R& r) {
              std::vector<std::string> names;
              for (const auto& palette : r.palettes)
                names.push_back(palette.string());
              return listed(names);
            }},
    Setting{
        "piece", "width_mm", "--width", "MM", "of the piece", false,
        [](const A& a, R& r) { r.size.width = Millimetres(a.number(piece_edges)); },
        [](const R& r) { return r.size.width.value() > 0 ? fmt::format("{}", r.size.width.value()) : ""; }},
    Setting{"piece", "height_mm", "--height", "MM", "of the piece; else as the picture's proportions ask",
            false, [](const A& a, R& r) { r.size.height = Millimetres(a.number(piece_edges)); },
            [](const R& r) { return r.size.height ? fmt::format("{}", r.size.height->value()) : ""; }},
    Setting{"piece", "title", "--title", "TEXT", "for the pages; else the picture's name", false,
            [](const A& a, R& r) { r.title = a.text(); }, [](const R& r) { return r.title; }},
    Setting{"piece", "crop", "--crop", "L,T,R,B",
            "use a part: left, top, right, bottom in shares of the picture", false,
            [](const A& a, R& r) { r.crop = crop_box(a); },
            [](const R& r) {
              return fmt::format("{},{},{},{}", r.crop.left, r.crop.top, r.crop.right, r.crop.bottom);
            }},
    Setting{"piece", "fit", "--fit", "WORD",
            "fill: cut off what does not fit; whole: leave bare sheet round it", false,
            [](const A& a, R& r) { r.fit = one_of(a, fit_words); },
            [](const R& r) { return word_for(r.fit, fit_words); }},
    Setting{"piece", "range", "--range", "WORD",
            "fit: bring the picture's colours into reach; keep: as they are", false,
            [](const A& a, R& r) { r.range = one_of(a, range_words); },
            [](const R& r) { return word_for(r.range, range_words); }},
    Setting{"piece", "base", "--base", "ID", "sheet of the palette; auto: the plan compares them", false,
            [](const A& a, R& r) { r.base = a.text(); }, [](const R& r) { return r.base; }},
    Setting{"piece", "view", "--view", "WORD", "wall: lit from the front; window: lit from behind", false,
            [](const A& a, R& r) { r.view = one_of(a, view_words); },
            [](const R& r) { return word_for(r.view, view_words); }},
    Setting{"piece", "light", "--light", "NAME", "D65, D50, A, or daylight by temperature, e.g. 6000K", false,
            [](const A& a, R& r) { r.illuminant = light_word(a); }, [](const R& r) { return r.illuminant; }},
    Setting{"piece", "backing", "--backing", "#RRGGBB", "colour of the wall that the piece is fixed to",
            false, [](const A& a, R& r) { r.backing = colour_word(a); },
            [](const R& r) { return r.backing; }},
    Setting{"piece", "seen_from_mm", "--seen-from-mm", "MM", "distance of the eye, for the error as seen",
            false, [](const A& a, R& r) { r.seen_from = Millimetres(a.number(eye_distances)); },
            [](const R& r) { return fmt::format("{}", r.seen_from.value()); }},

    Setting{"limits", "layers", "--layers", "N", "at most so many layers of powder", false,
            [](const A& a, R& r) { r.most_layers = static_cast<std::size_t>(a.whole(layer_counts)); },
            [](const R& r) { return fmt::format("{}", r.most_layers); }},
    Setting{"limits", "firings", "--firings", "N", "at most so many firings; else as few as possible", false,
            [](const A& a, R& r) { r.firing.most_firings = a.whole(firing_counts); },
            [](const R& r) { return shown_if(r.firing.most_firings); }},
    Setting{"limits", "powders", "--powders", "N", "at most so many different powders", false,
            [](const A& a, R& r) { r.most_powders = static_cast<std::size_t>(a.whole(powder_counts)); },
            [](const R& r) { return shown_if(r.most_powders); }},
    Setting{"limits", "powders_at_a_spot", "--powders-at-a-spot", "N",
            "at most so many powders one above the other",
            false,  //
            [](const A& a, R& r) { r.most_at_a_spot = static_cast<std::size_t>(a.whole(stack_heights)); },
            [](const R& r) { return fmt::format("{}", r.most_at_a_spot); }},
    Setting{"limits", "smallest_mm", "--smallest-mm", "MM", "nothing narrower, neither powder nor opening",
            false, [](const A& a, R& r) { r.smallest = Millimetres(a.number(smallest_widths)); },
            [](const R& r) { return fmt::format("{}", r.smallest.value()); }},
    Setting{"limits", "load", "--load", "G/CM2", "most loose powder anywhere in one firing", false,
            [](const A& a, R& r) { r.firing.most_loose_load = Load(a.number(loose_loads)); },
            [](const R& r) { return fmt::format("{}", r.firing.most_loose_load.value()); }},
    Setting{"limits", "least_layer_load", "--least-layer-load", "G/CM2",
            "less than this cannot be sifted evenly", false,
            [](const A& a, R& r) { r.least_layer_load = Load(a.number(least_loads)); },
            [](const R& r) { return fmt::format("{}", r.least_layer_load.value()); }},
    Setting{"limits", "pitch_mm", "--pitch-mm", "MM", "distance of the points the plan is computed on", false,
            [](const A& a, R& r) { r.pitch = Millimetres(a.number(pitches)); },
            [](const R& r) { return fmt::format("{}", r.pitch.value()); }},
    Setting{"limits", "use", "--use", "ID,ID", "powders that must be in the plan", true,
            [](const A& a, R& r) { r.use = a.texts(); }, [](const R& r) { return listed(r.use); }},
    Setting{"limits", "without", "--without", "ID,ID", "powders that must not be in the plan", true,
            [](const A& a, R& r) { r.without = a.texts(); }, [](const R& r) { return listed(r.without); }},
    Setting{"limits", "order", "--order", "ID,ID", "powders that keep this order, bottom to top", true,
            [](const A& a, R& r) { r.order = a.texts(); }, [](const R& r) { return listed(r.order); }},

    Setting{"limits", "techniques", "--techniques", "WORD,WORD",
            "how powder may be put down: stencil, fade, line", true,
            [](const A& a, R& r) { r.techniques = techniques_of(a); },
            [](const R& r) { return words_for(r.techniques); }},

    Setting{"limits", "lay", "--lay", "ID=WORD",
            "put this powder down in one way only, e.g. fog-white=fade; again for others", true,
            [](const A& a, R& r) { r.lay = wishes_of(a); }, [](const R& r) { return words_for(r.lay); }},
    Setting{"limits", "lay_not", "--lay-not", "ID=WORD",
            "never put this powder down this way; again for others", true,
            [](const A& a, R& r) { r.lay_not = wishes_of(a); },
            [](const R& r) { return words_for(r.lay_not); }},
    Setting{"limits", "react", "--react", "ID+ID=WORD",
            "two powders that darken where they touch: avoid that, or wish for it; again for others", true,
            [](const A& a, R& r) { r.react = reaction_wishes_of(a); },
            [](const R& r) { return words_for(r.react); }},
    Setting{"limits", "soft_edge_mm", "--soft-edge-mm", "MM",
            "narrowest soft edge of a fade, from 10 to 90 % of its load: what your sifter lays when held low",
            false, [](const A& a, R& r) { r.soft_edge = Millimetres(a.number(soft_edges)); },
            [](const R& r) { return fmt::format("{}", r.soft_edge.value()); }},
    Setting{
        "stencils", "bridge_mm", "--bridge-mm", "MM",
        "width of the bridges that hold loose parts, at least smallest_mm; else 2, or smallest_mm if more",
        false, [](const A& a, R& r) { r.bridge = Millimetres(a.number(bridge_widths)); },
        [](const R& r) { return r.bridge ? fmt::format("{}", r.bridge->value()) : ""; }},
    Setting{"stencils", "border_mm", "--border-mm", "MM", "of a stencil's sheet round the piece", false,
            [](const A& a, R& r) { r.border = Millimetres(a.number(borders)); },
            [](const R& r) { return fmt::format("{}", r.border.value()); }},
    Setting{"stencils", "cut_tolerance_mm", "--cut-tolerance-mm", "MM",
            "how far cut lines may run beside the smooth edge", false,
            [](const A& a, R& r) { r.cut_tolerance = Millimetres(a.number(cut_tolerances)); },
            [](const R& r) { return fmt::format("{}", r.cut_tolerance.value()); }},
    Setting{"stencils", "paper", "--paper", "WORD", "of the printed templates: a4 or letter", false,
            [](const A& a, R& r) { r.paper = *one_of(a, paper_words); },
            [](const R& r) {
              for (const auto& [word, paper] : paper_words)
                if (paper->name == r.paper.name)
                  return std::string(word);
              return std::string();
            }},
    Setting{"stencils", "repeats", "--repeats", "WORD",
            "shapes that come again: small templates never, where found to pay, or always", false,
            [](const A& a, R& r) { r.repeats = one_of(a, repeat_words); },
            [](const R& r) { return word_for(r.repeats, repeat_words); }},

    Setting{"firing", "finish", "--finish", "WORD", "what the last firing leaves: tack, contour or full",
            false, [](const A& a, R& r) { r.firing.finish = one_of(a, finish_words); },
            [](const R& r) { return word_for(r.firing.finish, finish_words); }},
    Setting{"firing", "between", "--between", "WORD", "what the earlier firings leave: tack, contour or full",
            false, [](const A& a, R& r) { r.firing.between = one_of(a, finish_words); },
            [](const R& r) { return word_for(r.firing.between, finish_words); }},
    Setting{"firing", "raised", "--raised", "WORD",
            "stencils on spacers over loose powder: never, when-needed, or freely where that saves a firing",
            false,  //
            [](const A& a, R& r) { r.firing.raised = one_of(a, raised_words); },
            [](const R& r) { return word_for(r.firing.raised, raised_words); }},
    Setting{"firing", "in_firing", "--in-firing", "ID=N",
            "put this powder down in that firing; again for others", true,
            [](const A& a, R& r) { r.in_firing = firing_wishes_of(a); },
            [](const R& r) { return words_for(r.in_firing); }},
    Setting{"firing", "finish_of", "--finish-of", "ID=WORD",
            "what the heat leaves of this powder: tack, contour or full; again for others", true,
            [](const A& a, R& r) { r.finish_of = finish_wishes_of(a); },
            [](const R& r) { return words_for(r.finish_of); }},
    Setting{"firing", "shelf", "--shelf", "WxH",
            "of the kiln, in mm, e.g. 500x500: a larger piece is cut into panels that fit, along lines that "
            "cross little of the picture",
            false, [](const A& a, R& r) { r.shelf = shelf_size_of(a); },
            [](const R& r) { return r.shelf ? in_words(*r.shelf) : ""; }},
    Setting{"firing", "shelf_margin_mm", "--shelf-margin-mm", "MM",
            "of the shelf, left free along its edges for glass that spreads and for dams; else 15", false,
            [](const A& a, R& r) { r.shelf_margin = Millimetres(a.number(shelf_margins)); },
            [](const R& r) { return r.shelf_margin ? fmt::format("{}", r.shelf_margin->value()) : ""; }},

    Setting{"weigh", "sweep_margin_mm", "--sweep-margin-mm", "MM",
            "how far the sifter goes beyond the openings", false,
            [](const A& a, R& r) { r.weigh.sweep_margin = Millimetres(a.number(sweep_margins)); },
            [](const R& r) { return fmt::format("{}", r.weigh.sweep_margin.value()); }},
    Setting{
        "weigh", "within_stock", "--within-stock", "WORD",
        "yes: use no more of a powder than its jar holds (stock_g), and say what that costs; no: only tell",
        false, [](const A& a, R& r) { r.within_stock = one_of(a, yes_words); },
        [](const R& r) { return word_for(r.within_stock, yes_words); }},
    Setting{"weigh", "comes_back", "--comes-back", "SHARE", "of the overspill that goes back into the jar",
            false, [](const A& a, R& r) { r.weigh.comes_back = a.number(shares); },
            [](const R& r) { return fmt::format("{}", r.weigh.comes_back); }},
};

[[noreturn]] void refuse(std::string place, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::command_line, std::move(place), std::move(wrong), std::move(remedy));
}

}  // namespace

std::span<const Setting> all_settings() {
  return settings;
}

const Setting* setting_of_flag(std::string_view flag) {
  const auto at =
      std::find_if(settings.begin(), settings.end(), [&](const Setting& s) { return s.flag == flag; });
  return at == settings.end() ? nullptr : &*at;
}

std::vector<SettingText> settings_in_words(const PlanRequest& request) {
  std::vector<SettingText> words;
  for (const Setting& setting : settings) {
    const bool file = setting.flag == "IMAGE" || setting.flag == "--palette";
    if (std::string shown = file ? "" : setting.shown(request); !shown.empty())
      words.push_back({std::string(setting.flag), std::move(shown)});
  }
  return words;
}

std::optional<Missing> what_is_missing(const PlanRequest& request) {
  if (request.image.empty())
    return Missing{"IMAGE", "no picture is given", "name a photo or drawing, or a piece file with --piece",
                   "image = \"heron.jpg\""};
  if (request.palettes.empty())
    return Missing{"--palette", "no palette is given", "name the file of your shelf",
                   "palette = \"shelf.toml\""};
  if (!(request.size.width.value() > 0))
    return Missing{"--width", "the width of the piece is not given", "give it in millimetres",
                   "width_mm = 300"};
  return std::nullopt;
}

void check_together(const PlanRequest& request) {
  if (const auto missing = what_is_missing(request))
    refuse(std::string(missing->flag), std::string(missing->wrong), std::string(missing->remedy));
  if (request.bridge && *request.bridge < request.smallest)
    refuse("--bridge-mm",
           fmt::format("a bridge of {} mm is narrower than the {} mm below which nothing is cut",
                       request.bridge->value(), request.smallest.value()),
           fmt::format("give at least {} mm, or lower --smallest-mm", request.smallest.value()));
  check_shelf_room(request);
  for (const std::string& id : request.use)
    if (std::find(request.without.begin(), request.without.end(), id) != request.without.end())
      refuse("--without", fmt::format("\"{}\" is also a powder that must be in the plan", id),
             "name it in one of --use and --without");
  for (auto id = request.order.begin(); id != request.order.end(); ++id)
    if (std::find(request.order.begin(), id, *id) != id)
      refuse("--order", fmt::format("\"{}\" is named twice", *id), "name each powder once");
  for (const ReactionWish& wish : request.react)
    for (const ReactionWish& other : request.react)
      if (wish.wanted && !other.wanted &&
          ((wish.one == other.one && wish.other == other.other) ||
           (wish.one == other.other && wish.other == other.one)))
        refuse("--react",
               fmt::format("\"{}\" and \"{}\" are both to be avoided and wished for", wish.one, wish.other),
               "say one of avoid and wish for them");
}

}  // namespace powderplan
