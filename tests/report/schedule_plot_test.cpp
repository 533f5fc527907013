#include "report/schedule_plot.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "firing/starting_schedule.h"

namespace powderplan {
namespace {

const GlassConstants glass;

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++count;
  return count;
}

TEST(SchedulePlot, NamesTheGlassPointsAndEveryHold) {
  const std::string svg = schedule_plot_svg(
      {{300, Celsius(615), 20}, {300, Celsius(690), 10}, {500, Celsius(515), 75}, {100, Celsius(50), 0}},
      glass);
  for (const char* words : {">softening 680\u00b0<", ">anneal 515\u00b0<", ">strain 480\u00b0<",
                            ">615\u00b0, 20 min<", ">690\u00b0, 10 min<", ">515\u00b0, 1 h 15 min<"})
    EXPECT_EQ(count_of(svg, words), 1u) << words;
  EXPECT_EQ(count_of(svg, "stroke-dasharray"), 3u) << "one dash for each point of the glass";
  EXPECT_EQ(svg.find(">50\u00b0"), std::string::npos) << "no hold there";
}

// A text of the file as it is read; an apostrophe is the only sign in it that must be escaped.
std::string read_text(const std::string& text) {
  const std::string apostrophe = "&apos;";
  std::string read;
  std::size_t from = 0;
  for (std::size_t at = text.find(apostrophe); at != std::string::npos; at = text.find(apostrophe, from)) {
    read += text.substr(from, at - from) + '\'';
    from = at + apostrophe.size();
  }
  read += text.substr(from);
  EXPECT_EQ(read.find('&'), std::string::npos) << read;
  return read;
}

// A file of its own can be carried away from the page that says so.
TEST(SchedulePlot, TheFileSaysWhatComesBeforeIt) {
  const Schedule schedule = starting_schedule(glass, Millimetres(3), Finish::full, Millimetres(0.1));
  std::string words;
  bool in_mark = false;
  for (const char c : schedule_plot_svg(schedule, glass)) {
    in_mark = c == '<' || (in_mark && c != '>');
    if (!in_mark && c != '>')
      words += c == '\n' ? ' ' : c;
  }
  words = read_text(words);
  EXPECT_NE(words.find("starting point: the glass maker's chart,"), std::string::npos) << words;
  EXPECT_NE(words.find("test piece come first."), std::string::npos) << words;
  EXPECT_EQ(schedule_plot_element(schedule, glass).find("Computed"), std::string::npos)
      << "the page says it beside the plot";
}

double letters_of(const std::string& text) {
  return static_cast<double>(
      std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

// Time is to scale: a leg of two hours is twice as wide as one of one hour.
TEST(SchedulePlot, IsToScale) {
  const std::string svg = schedule_plot_svg({{300, Celsius(620), 0}, {600, Celsius(20), 0}}, glass);
  struct Leg {
    double from_x = 0, from_y = 0, to_x = 0, to_y = 0;
  };
  std::vector<Leg> legs;
  for (std::size_t at = svg.find('M'); at != std::string::npos; at = svg.find('M', at + 1)) {
    Leg leg;
    int end = 0;
    // NOLINTNEXTLINE(cert-err34-c): places of a drawing of our own
    std::sscanf(svg.c_str() + at, "M%lf %lfL%lf %lf\" stroke=\"#000\" stroke-width=\"6\"%n", &leg.from_x,
                &leg.from_y, &leg.to_x, &leg.to_y, &end);
    if (end > 0)
      legs.push_back(leg);
  }
  ASSERT_EQ(legs.size(), 2u);
  EXPECT_NEAR(legs[0].to_x - legs[0].from_x, 2 * (legs[1].to_x - legs[1].from_x), 0.3);
  EXPECT_EQ(legs[0].from_y, legs[1].to_y) << "both ends at room temperature";
  EXPECT_LT(legs[0].to_y, legs[0].from_y) << "hot is up";
}

// Words stay inside and off each other, for every thickness and finish.
TEST(SchedulePlot, WordsDoNotLieOnEachOther) {
  struct Place {
    double left, right, baseline;
    std::string text;
  };
  for (const double thickness : {1.0, 3.0, 6.0, 10.0, 25.0}) {
    for (const Finish finish : {Finish::tack, Finish::contour, Finish::full}) {
      const std::string svg = schedule_plot_svg(
          starting_schedule(glass, Millimetres(thickness), finish, Millimetres(0.1)), glass);
      std::vector<Place> places;
      for (std::size_t at = svg.find("<text "); at != std::string::npos; at = svg.find("<text ", at + 1)) {
        double x = 0, y = 0;
        char word[16] = "";
        ASSERT_EQ(
            // NOLINTNEXTLINE(cert-err34-c): as above
            std::sscanf(svg.c_str() + at, "<text x=\"%lf\" y=\"%lf\" text-anchor=\"%15[a-z]\"", &x, &y, word),
            3);
        const std::size_t begin = svg.find('>', at) + 1;
        const std::string text = read_text(svg.substr(begin, svg.find('<', begin) - begin)), anchor = word;
        const double wide = 15.5 * letters_of(text);
        const double left = anchor == "start" ? x : anchor == "end" ? x - wide : x - wide / 2;
        places.push_back({left, left + wide, y, text});
        EXPECT_GE(left, 0) << svg;
        EXPECT_LE(left + wide, 1001) << text;
      }
      ASSERT_FALSE(places.empty());
      for (std::size_t a = 0; a < places.size(); ++a) {
        for (std::size_t b = 0; b < a; ++b) {
          const bool apart = places[a].right <= places[b].left || places[b].right <= places[a].left ||
                             std::abs(places[a].baseline - places[b].baseline) >= 22;
          EXPECT_TRUE(apart) << thickness << " mm: " << places[a].text << " on " << places[b].text;
        }
      }
    }
  }
}

TEST(SchedulePlot, APngIsAPng) {
  const std::vector<std::uint8_t> png = schedule_plot_png({{300, Celsius(700), 10}}, glass);
  ASSERT_GT(png.size(), 1000u);
  EXPECT_EQ(png[1], 'P');
}

}  // namespace
}  // namespace powderplan
