#include "plan/plan_steps.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "places.h"
#include "problem.h"
#include "report/files.h"
#include "separation/target.h"

namespace powderplan {
namespace {

PlanRequest marsh_tile() {
  PlanRequest request;
  request.image = testing::source_folder() + "/examples/marsh-tile/picture.png";
  request.size.width = Millimetres(60);
  request.pitch = Millimetres(0.5);
  return request;
}

TEST(PictureAgain, IsWhatItWas) {
  const PlanRequest request = marsh_tile();
  std::vector<std::string> notes;
  const Image<PackedLab> before = target_of(fitted_picture(request, notes)).wanted;
  const Image<PackedLab> again = picture_again(request, sha256(read_file(request.image)));
  ASSERT_EQ(again.width(), 120);
  ASSERT_EQ(again.size(), before.size());
  EXPECT_TRUE(std::equal(before.data(), before.data() + before.size(), again.data()));
}

TEST(PictureAgain, IsRefusedWhenTheFileIsAnother) {
  const PlanRequest request = marsh_tile();
  try {
    picture_again(request, sha256(std::string("another picture")));
    FAIL() << "was taken";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_EQ(problem.place(), request.image.string());
  }
}

}  // namespace
}  // namespace powderplan
