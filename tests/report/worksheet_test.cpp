#include "report/worksheet.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "parallel.h"
#include "report/bench_numbers.h"
#include "report/fade_words.h"
#include "report/files.h"
#include "report/fixture.h"
#include "report/layer_names.h"
#include "report/pages.h"
#include "report/stencil_files.h"

namespace powderplan {
namespace {

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// A worksheet of a plan whose plan.json does not matter here.
std::string worksheet(const PlanRecord& plan) {
  return worksheet(plan, std::string(64, 'c'));
}

// The words on a page without its marks, one blank between any two.
std::string words_of(const std::string& html) {
  std::string words;
  bool in_mark = false;
  for (const char c : html) {
    in_mark = c == '<' || (in_mark && c != '>');
    const bool blank = in_mark || c == '>' || c == '\n' || c == ' ';
    if (!blank)
      words += c;
    else if (!words.ends_with(' '))
      words += ' ';
  }
  return words;
}

TEST(Worksheet, TheCoverSaysWhatOtherNumbersOfFiringsCost) {
  PlanRecord plan = fixture::record();
  ASSERT_EQ(plan.firing_plan.firings.size(), 3u);
  EXPECT_TRUE(holds(words_of(worksheet(plan)),
                    "1 firing all flat 25 % farther off 1 firing 2 on spacers 12 % farther off 2 "
                    "firings all flat 6 % farther off 3 firings all flat as planned here 4 firings all "
                    "flat 10 % closer Mean difference"))
      << words_of(worksheet(plan));
  // The plan needs another number than any that was tried.
  plan.firing_trials = {{1, 0, 1, 4, 4}, {2, 0, 3, 2, 2}};
  EXPECT_TRUE(holds(words_of(worksheet(plan)),
                    "1 firing all flat 100 % farther off 2 firings all flat the closest of these"));
  plan.firing_trials.clear();
  for (int firings = 1; firings <= 8; ++firings)
    plan.firing_trials.push_back({firings, 0, 1, 20.0 - firings, 20.0 - firings});
  const std::string words = words_of(worksheet(plan));
  EXPECT_TRUE(holds(words, " 5 firings all flat"));
  EXPECT_FALSE(holds(words, " 6 firings all flat"));
  plan.firing_trials.resize(1);
  EXPECT_FALSE(holds(worksheet(plan), "quick trials"));
}

// So that the cover fits on one sheet of paper.
TEST(Worksheet, GoesOnAfterWhatIsDone) {
  PlanRecord plan = fixture::record();
  ASSERT_EQ(plan.firing_plan.firings.size(), 3u);
  const std::size_t lie = plan.firing_plan.firings[0].layers.size();
  plan.firings_done = 1;
  const std::string words = words_of(worksheet(plan));
  EXPECT_TRUE(holds(words, "2 firings still to come, 1 firing done already"));
  EXPECT_FALSE(holds(words, fmt::format("step {} of {}, firing 1", lie, plan.layers.size())));
  EXPECT_TRUE(holds(words, fmt::format("step {} of {}, firing 2", lie + 1, plan.layers.size())));
  plan.firings_done = 0;
  const std::string whole = words_of(worksheet(plan));
  EXPECT_FALSE(holds(whole, "done already"));
  EXPECT_TRUE(holds(whole, fmt::format("step {} of {}, firing 1", lie, plan.layers.size())));
}

TEST(Worksheet, ALongCoverIsSetSmaller) {
  PlanRecord plan = fixture::record();
  plan.firing_trials.clear();
  const auto crowded = [&] { return holds(worksheet(plan), "cover crowded\""); };
  EXPECT_FALSE(crowded());
  while (plan.weights.totals.size() + plan.firing_plan.firings.size() < 10)
    plan.weights.totals.push_back(plan.weights.totals.front());
  EXPECT_TRUE(crowded());
  EXPECT_TRUE(holds(worksheet(plan), "\"sheet one cover"));
  plan.weights.totals.resize(40, plan.weights.totals.front());
  EXPECT_FALSE(holds(worksheet(plan), "\"sheet one cover"));
}

TEST(Worksheet, KilnPagesSayWhyThereIsThisFiring) {
  PlanRecord plan = fixture::record();
  plan.firing_plan.firings[0].why = "What lies <lowest> comes first.";
  plan.firing_plan.firings[1].why = "Needed by step 3.";
  EXPECT_TRUE(holds(worksheet(plan), "<b>Why this firing.</b> What lies &lt;lowest&gt; comes first.</p>"));
  EXPECT_TRUE(holds(worksheet(plan), "<b>Why this firing.</b> Needed by step 3.</p>"));
}

TEST(Worksheet, NamesStayText) {
  const std::string html = worksheet(fixture::record());
  EXPECT_FALSE(holds(html, fixture::wild_name));
  EXPECT_FALSE(holds(html, "<i>marks</i>"));
  EXPECT_TRUE(holds(html, "&lt;b&gt;&amp;&quot;&apos;\xf0\x9f\x98\x80 {{title}}"));
  // And within the script's data.
  EXPECT_TRUE(holds(html, "\"title\":\"Trial \\u003cb\\u003e\\u0026\\\"'\xf0\x9f\x98\x80 {{title}}\""));
}

TEST(Worksheet, ControlCharactersAndBrokenBytesAreMended) {
  PlanRecord plan = fixture::record();
  plan.palette.powders[0].name = std::string("Nul\0 bell\x07 \xff", 12);
  const std::string html = worksheet(plan);
  EXPECT_EQ(html.find('\0'), std::string::npos);
  EXPECT_EQ(html.find('\x07'), std::string::npos);
  EXPECT_EQ(html.find('\xff'), std::string::npos);
}

TEST(Worksheet, ShowsWhatIsShort) {
  const std::string html = worksheet(fixture::record());  // the jar of green holds 0.2 g
  EXPECT_TRUE(holds(html, "A jar does not hold enough"));
  PlanRecord plan = fixture::record();
  plan.palette.powders[1].stock = Grams(1000);
  plan.weights = weigh(plan.separation, plan.layers, plan.palette, plan.weigh_rules);
  EXPECT_FALSE(holds(worksheet(plan), "A jar does not hold enough"));
}

TEST(Worksheet, SaysHowEachTechniqueIsDone) {
  PlanRecord plan = fixture::record();
  plan.layers[1].technique = Technique::fade;
  plan.layers[1].stencil.reset();
  plan.layers[2].technique = Technique::line;
  plan.layers[2].stencil.reset();
  plan.firing_plan.places[3].raised = true;
  const std::string html = worksheet(plan);
  EXPECT_TRUE(holds(html, "<b>fade</b> by hand"));
  EXPECT_TRUE(holds(html, "<b>lines</b> by hand"));
  EXPECT_TRUE(holds(html, "<b>raised on spacers</b>"));
  EXPECT_TRUE(holds(html, "flat on the glass"));
}

TEST(Worksheet, SaysHowAFadeIsLaid) {
  const PlanRecord plan = fixture::record_with_fades();
  const std::string html = worksheet(plan);
  std::size_t fades = 0;
  for (std::size_t i = 0; i < plan.layers.size(); ++i) {
    const std::optional<FadeBench> bench = bench_of_fade(plan, i);
    if (!bench)
      continue;
    ++fades;
    EXPECT_TRUE(holds(html, course_words(*bench, plan.width, plan.height)));
    EXPECT_TRUE(holds(html, edge_words(*bench)));
    ASSERT_FALSE(bench->levels.empty());
    for (const FadeLevel& level : bench->levels) {
      const PointMm first = level.lines.at(0).at(0);
      EXPECT_TRUE(holds(html, fmt::format("<path d=\"M{:g} {:g}l", std::round(first.x * 10) / 10,
                                          std::round(first.y * 10) / 10)));
      EXPECT_TRUE(holds(html, fmt::format(">{}</text>", shown_share(level.share))));
    }
    for (const FadeBand& band : bench->bands)
      EXPECT_TRUE(holds(html, fmt::format("<b>{}</b>", shown(band.lands))));
    // An eighth of what ten square centimetres of the fullest take.
    EXPECT_TRUE(holds(html, fmt::format("<span>{}</span>", shown(Grams(bench->full.value() * 10 / 8)))));
  }
  EXPECT_EQ(fades, 2u);
  EXPECT_TRUE(holds(html, "Inside its openings a <b>fade</b> by hand."));
  EXPECT_TRUE(holds(html, "No stencil: a <b>fade</b> by hand"));
  EXPECT_TRUE(holds(html, "Hold the sifter <b>low, about 10 cm</b>"));
  EXPECT_TRUE(holds(html, "Hold the sifter <b>high, about 30 cm</b>"));
}

TEST(Worksheet, SaysWhatToCutAndFromWhat) {
  PlanRecord plan = fixture::record();
  plan.layers[1].technique = Technique::fade;  // with a template
  const std::string html = worksheet(plan);
  EXPECT_TRUE(holds(html, "Cut before the first day"));
  EXPECT_TRUE(holds(html, "to cut before the first day: <b>4 stencils</b>"));
  EXPECT_TRUE(holds(html, "Blades and cut edges are sharp: cut on a mat"));
  EXPECT_TRUE(holds(html, "Inside its openings a <b>fade</b> by hand."));
  EXPECT_FALSE(holds(html, "No stencil: a <b>fade</b> by hand"));
  EXPECT_TRUE(holds(html, "the pins fit only one way"));
  for (std::size_t i = 0; i < plan.layers.size(); ++i) {
    const CutStencil& cut = *plan.layers[i].stencil;
    EXPECT_TRUE(holds(html, cut.stock.reason)) << cut.stock.reason;
    EXPECT_TRUE(holds(html, "stencils/" + layer_file_stem(plan, i) + ".svg, page " +
                                std::to_string(first_pages(plan)[i]) + " of templates.pdf"));
  }
}

TEST(Worksheet, WithoutStencilsThereIsNothingToCut) {
  PlanRecord plan = fixture::record();
  for (Layer& layer : plan.layers) {
    layer.technique = Technique::fade;
    layer.stencil.reset();
  }
  EXPECT_FALSE(holds(worksheet(plan), "before the first day"));
  EXPECT_FALSE(holds(worksheet(plan), "templates.pdf"));
}

TEST(Worksheet, SaysWhereASmallTemplateIsLaid) {
  const PlanRecord plan = fixture::record_with_repeats();
  ASSERT_FALSE(plan.layers[3].stencil->repeats.empty());
  const Repeat& repeat = plan.layers[3].stencil->repeats[0].repeat;
  ASSERT_FALSE(repeat.too_close.empty());
  const std::string html = worksheet(plan);
  EXPECT_TRUE(holds(html, "cut one small template (stencils/04-rust-red-repeat-1.svg) and lay it " +
                              std::to_string(repeat.places.size()) + " times"));
  EXPECT_TRUE(holds(html, fmt::format("<td class=\"n\">{:.1f}</td><td class=\"n\">{:.1f}</td>",
                                      repeat.places[1].centre.x, repeat.places[1].centre.y)));
  EXPECT_TRUE(holds(html, fmt::format("Mind place {}", repeat.too_close[0] + 1)));
}

TEST(Worksheet, WarnsOnEveryPageWithARisk) {
  const PlanRecord plan = fixture::record();
  const std::string html = worksheet(plan);
  const auto count = [&](const std::string& what) {
    std::size_t found = 0;
    for (std::size_t at = html.find(what); at != std::string::npos; at = html.find(what, at + 1))
      ++found;
    return found;
  };
  EXPECT_EQ(count("Respirator on."), plan.layers.size());
  EXPECT_EQ(count("A computed starting point:"), plan.firing_plan.firings.size());
}

TEST(Worksheet, TheSameBytesWhateverTheThreads) {
  const ThreadCount one(1);
  const std::string alone = worksheet(fixture::record());
  const ThreadCount five(5);
  EXPECT_EQ(worksheet(fixture::record()), alone);
}

TEST(Worksheet, APlanWithoutLayersHasItsOpeningPages) {
  PlanRecord plan = fixture::record();
  plan.layers.clear();
  plan.firing_plan = {};
  plan.weights = {};
  EXPECT_TRUE(holds(worksheet(plan), "Before the first step"));
}

TEST(Worksheet, TellsWhichPowdersWereNeverMeasured) {
  PlanRecord plan = fixture::record();
  plan.fidelity.expected_de00 = 3;
  for (Powder& powder : plan.palette.powders)
    powder.measured = true;
  EXPECT_FALSE(holds(worksheet(plan), "ever measured"));
  Powder& guessed = plan.palette.powders[plan.layers[1].powder];
  guessed.measured = false;
  guessed.name = "Guess & Co";
  plan.layers[1].expected_de00 = 4.5;
  const std::string page = worksheet(plan);
  EXPECT_TRUE(holds(page, "Never measured: Guess &amp; Co."));
  EXPECT_TRUE(holds(page, "<b>never measured</b>, \u00b1 4.5"));
}

std::vector<std::string> all_between(const std::string& text, const std::string& begin,
                                     const std::string& end) {
  std::vector<std::string> parts;
  for (std::size_t at = text.find(begin); at != std::string::npos; at = text.find(begin, at)) {
    at += begin.size();
    parts.push_back(text.substr(at, text.find(end, at) - at));
  }
  return parts;
}

// Nothing runs and nothing colours the page but what the policy names by its fingerprint.
TEST(Worksheet, ItsPolicyNamesEachScriptAndTheStyle) {
  const std::string html = worksheet(fixture::record());
  const auto fingerprint = [](const std::string& text) {
    const std::string hex = sha256({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
    std::vector<std::uint8_t> bytes;
    for (std::size_t i = 0; i < hex.size(); i += 2)
      bytes.push_back(static_cast<std::uint8_t>(std::stoul(hex.substr(i, 2), nullptr, 16)));
    return fmt::format("'sha256-{}'", base64(bytes));
  };
  const std::string policy = all_between(html, "Security-Policy\" content=\"", "\"").at(0);
  std::string wished = fmt::format(
      "default-src 'none'; base-uri 'none'; form-action 'none'; img-src data:; style-src {}; script-src",
      fingerprint(all_between(html, "<style>", "</style>").at(0)));
  const std::vector<std::string> scripts = all_between(html, "<script>", "</script>");
  EXPECT_EQ(scripts.size(), bench_scripts.size());
  for (const std::string& script : scripts)
    wished.append(" ").append(fingerprint(script));
  EXPECT_EQ(policy, wished);
  EXPECT_FALSE(holds(html, "http:") || holds(html, "https:") || holds(html, " style=\""));
}

TEST(Worksheet, CarriesThePlansFingerprint) {
  EXPECT_TRUE(holds(worksheet(fixture::record(), std::string(64, '7')),
                    fmt::format("\"plan_sha256\":\"{}\"", std::string(64, '7'))));
}

TEST(Pages, UnknownOnesAreEmpty) {
  EXPECT_TRUE(page_named("no-such-page.html").empty());
  EXPECT_TRUE(page_named("step.html").starts_with("<section"));
}

// The kiln page draws its schedule, and names the powders that the same heat leaves otherwise.
TEST(Worksheet, KilnPagesKnowTheHeat) {
  PlanRecord plan = fixture::record();
  plan.limits.reference_grain = Millimetres(0.1);
  for (Powder& powder : plan.palette.powders)
    powder.optics.grain = Millimetres(0.1);
  const std::string alike = worksheet(plan);
  EXPECT_TRUE(holds(alike, "for grains of 0.1 mm.</p>"));
  EXPECT_FALSE(holds(alike, "Others: "));
  EXPECT_TRUE(holds(alike, ">softening 680"));
  plan.palette.powders[0].optics.grain = Millimetres(0.4);
  const Firing& first = plan.firing_plan.firings[0];
  const FinishValues coarse = fired_values(first.flow, Millimetres(0.4));
  EXPECT_TRUE(
      holds(worksheet(plan), fmt::format("Others: Dune White (0.4 mm): below tack, {:.0f} % and {:.0f} %.",
                                         100 * coarse.fused, 100 * coarse.matte)));
}

}  // namespace
}  // namespace powderplan
