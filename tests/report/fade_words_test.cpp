#include "report/fade_words.h"

#include <gtest/gtest.h>

#include "fades.h"
#include "optics/grain.h"
#include "report/fixture.h"

namespace powderplan {
namespace {

using namespace trial_fade;
constexpr Millimetres width{120}, height{80};

template <class Amount>
std::string course(Amount&& amount) {
  return course_words(free_fade(amount).bench, width, height);
}

TEST(FadeWords, SayWhereFromAndWhereTo) {
  EXPECT_EQ(course([](double, double y) { return 0.9 - y / 100; }), "From the top edge towards the bottom.");
  EXPECT_EQ(course([](double x, double y) { return x / 240 + y / 160; }),
            "From the bottom right corner towards the top left.");
  EXPECT_EQ(course([](double x, double) { return x / 120; }), "From the right edge towards the left.");
  EXPECT_EQ(course([](double x, double y) { return 1 - std::hypot(x - 60, y - 40) / 50; }),
            "From the middle outwards.");
  EXPECT_EQ(course([](double x, double y) { return std::hypot(x - 60, y - 40) / 70; }),
            "From all round inwards, thinnest at the middle.");
  EXPECT_EQ(course([](double, double y) { return std::abs(y - 40) / 40; }),
            "From two sides, the top and the bottom, towards a band between them.");
  EXPECT_EQ(course([](double, double) { return 0.5; }), "Nearly even.");
}

TEST(FadeWords, NameTheCrispEdges) {
  const auto box = [](double x, double y) { return x > 20 && x < 100 && y > 15 && y < 65; };
  EXPECT_EQ(edge_words(bounded_fade([](double, double y) { return y / 80; }, box).bench),
            "Crisp along the bottom edge, thins out upwards.");
  EXPECT_EQ(edge_words(bounded_fade([](double x, double y) { return 0.5 + (x + y - 100) / 60; },
                                    [](double x, double y) { return std::hypot(x - 60, y - 40) < 30; })
                           .bench),
            "Crisp along the right and bottom edges, thins out up and to the left.");
  EXPECT_EQ(edge_words(bounded_fade([](double, double) { return 1.0; }, box).bench), "Crisp all round.");
  EXPECT_EQ(edge_words(free_fade([](double, double y) { return y / 80; }).bench), "");
}

TEST(FadeWords, PassesAreThin) {
  const Palette shelf = fixture::shelf();
  const Powder& powder = shelf.powders[0];
  const Load cover = load_of_one_cover(powder.optics.grain, shelf.glass.density);
  EXPECT_EQ(passes_for(cover, powder, shelf.glass.density), fewest_passes);
  EXPECT_EQ(passes_for(cover * 19.5, powder, shelf.glass.density), 10);
}

TEST(FadeWords, SharesAreFractions) {
  EXPECT_EQ(shown_share(0.125), "\u215b");
  EXPECT_EQ(shown_share(1), "full");
  EXPECT_EQ(shown_share(0.3), "30 %");
}

}  // namespace
}  // namespace powderplan
