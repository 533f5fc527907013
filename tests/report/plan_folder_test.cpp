#include "report/plan_folder.h"

#include <gtest/gtest.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <map>
#include <mutex>

#include "parallel.h"
#include "problem.h"
#include "raster/png.h"
#include "report/files.h"
#include "report/fixture.h"
#include "report/temporary_folder.h"
#include "report/whole_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

std::map<std::string, std::vector<std::uint8_t>> contents(const fs::path& folder) {
  std::map<std::string, std::vector<std::uint8_t>> found;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (entry.is_regular_file())
      found[fs::relative(entry.path(), folder).string()] = read_file(entry.path());
  }
  return found;
}

std::size_t entries(const fs::path& folder) {
  return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

std::string refusal(const fs::path& folder, bool replace, ProblemKind kind) {
  try {
    write_plan_folder(fixture::record(), folder, replace);
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), kind) << problem.what();
    return problem.what();
  }
  return "written";
}

TEST(PlanFolder, HoldsThePlan) {
  const TemporaryFolder place;
  const PlanRecord plan = fixture::record();
  EXPECT_TRUE(write_plan_folder(plan, place.path() / "plan", false).empty());
  const auto files = contents(place.path() / "plan");
  for (const char* name : {"plan.json",
                           "worksheet.html",
                           "worksheet.pdf",
                           "proof.png",
                           "proof.pdf",
                           "grams.csv",
                           "previews/target.png",
                           "previews/unfired.png",
                           "previews/unfired-2.png",
                           "previews/firing-1.png",
                           "previews/firing-2.png",
                           "previews/fired-wall.png",
                           "previews/fired-window.png",
                           "previews/difference.png",
                           "previews/surface.png",
                           "previews/finished.png",
                           "previews/strip.png",
                           "layers/01-dune-white.png",
                           "layers/02-kelp-green.png",
                           "layers/03-kelp-green.png",
                           "layers/04-rust-red.png"})
    EXPECT_TRUE(files.contains(name)) << name;
  for (const char* stem : {"01-dune-white", "02-kelp-green", "03-kelp-green", "04-rust-red"}) {
    EXPECT_TRUE(files.contains(std::string("stencils/") + stem + ".svg")) << stem;
    EXPECT_TRUE(files.contains(std::string("stencils/") + stem + ".dxf")) << stem;
  }
  EXPECT_TRUE(files.contains("templates.pdf"));
  EXPECT_TRUE(files.contains("schedules/firing-1.svg"));
  EXPECT_TRUE(files.contains("separation/labels.png") && files.contains("separation/separation.json"));
  EXPECT_EQ(files.size(), 5 + 8 + 3 * plan.firing_plan.firings.size() + 3 * plan.layers.size() + 1 + 2);
  const Image<std::uint16_t> amount = decode_layer_png(files.at("layers/04-rust-red.png"), "04");
  for (std::size_t i = 0; i < amount.size(); ++i)
    ASSERT_EQ(amount[i], plan.layers[3].amount[i] * 257);
  EXPECT_EQ(entries(place.path()), 1u);
}

TEST(PlanFolder, HoldsTheMapOfReactionsWhereThereAreSome) {
  const TemporaryFolder place;
  write_plan_folder(fixture::record(), place.path() / "without", false);
  EXPECT_FALSE(contents(place.path() / "without").contains("previews/reactions.png"));
  write_plan_folder(fixture::record_with_reactions(), place.path() / "with", false);
  EXPECT_TRUE(contents(place.path() / "with").contains("previews/reactions.png"));
}

TEST(PlanFolder, HoldsNoCutFilesWhereNothingIsCut) {
  const TemporaryFolder place;
  PlanRecord plan = fixture::record();
  for (Layer& layer : plan.layers) {
    layer.technique = Technique::fade;
    layer.stencil.reset();
  }
  write_plan_folder(plan, place.path() / "plan", false);
  EXPECT_FALSE(fs::exists(place.path() / "plan" / "stencils"));
  EXPECT_FALSE(fs::exists(place.path() / "plan" / "templates.pdf"));
}

TEST(PlanFolder, HoldsSmallTemplatesBesideTheWholeOnes) {
  const TemporaryFolder place;
  const PlanRecord plan = fixture::record_with_repeats();
  ASSERT_GE(plan.layers[3].stencil->repeats.size(), 1u);
  write_plan_folder(plan, place.path() / "plan", false);
  const auto files = contents(place.path() / "plan");
  for (const char* name : {"stencils/04-rust-red.svg", "stencils/04-rust-red.dxf",
                           "stencils/04-rust-red-repeat-1.svg", "stencils/04-rust-red-repeat-1.dxf"})
    EXPECT_TRUE(files.contains(name)) << name;
}

TEST(PlanFolder, TheSameBytesWhateverTheThreads) {
  const TemporaryFolder place;
  const ThreadCount one(1);
  write_plan_folder(fixture::record(), place.path() / "a", false);
  const ThreadCount five(5);
  write_plan_folder(fixture::record(), place.path() / "b/", false);  // a slash at the end is fine
  EXPECT_EQ(contents(place.path() / "a"), contents(place.path() / "b"));
}

// Looks taken from before stand for the looking, to the last byte.
TEST(PlanFolder, TheSameBytesFromLooksThatWereKept) {
  const TemporaryFolder place;
  std::map<std::string, LookedAt> kept;
  std::mutex lock;
  const LookKeeper keep = [&](const std::string& name, const std::function<LookedAt()>& look) {
    const LookedAt looked = look();
    const std::lock_guard guard(lock);
    EXPECT_TRUE(kept.emplace(name, looked).second) << name << " stands for two moments";
    return looked;
  };
  const LookKeeper give = [&](const std::string& name, const std::function<LookedAt()>&) {
    const std::lock_guard guard(lock);
    return kept.at(name);
  };
  write_plan_folder(fixture::record(), place.path() / "looked", false, {}, keep);
  write_plan_folder(fixture::record(), place.path() / "given", false, {}, give);
  write_plan_folder(fixture::record(), place.path() / "plain", false);
  EXPECT_FALSE(kept.empty());
  EXPECT_EQ(contents(place.path() / "looked"), contents(place.path() / "plain"));
  EXPECT_EQ(contents(place.path() / "given"), contents(place.path() / "plain"));
}

TEST(PlanFolder, ReplacesAPlanOnRequestOnly) {
  const TemporaryFolder place;
  const fs::path plan = place.path() / "plan";
  write_plan_folder(fixture::record(), plan, false);
  EXPECT_NE(refusal(plan, false, ProblemKind::command_line)
                .find("already there; choose another name, or say --replace"),
            std::string::npos);
  std::ofstream(plan / "grams.csv") << "old";
  std::ofstream(plan / ".DS_Store") << "left by a desktop";
  EXPECT_EQ(refusal(plan, true, ProblemKind::other), "written");
  EXPECT_GT(fs::file_size(plan / "grams.csv"), 100u);
  EXPECT_EQ(entries(place.path()), 1u);
}

TEST(PlanFolder, NeverReplacesWhatIsNoPlan) {
  const TemporaryFolder place;
  const fs::path home = place.path() / "home";
  fs::create_directory(home);
  EXPECT_EQ(refusal(home, true, ProblemKind::other), "written");  // an empty folder may go
  std::ofstream(home / "letters.txt") << "mine";
  EXPECT_NE(refusal(home, true, ProblemKind::command_line).find("letters.txt"), std::string::npos);
  fs::remove(home / "letters.txt");
  fs::remove(home / "plan.json");
  EXPECT_NE(refusal(home, true, ProblemKind::command_line).find("no plan.json"), std::string::npos);
  std::ofstream(place.path() / "file") << "mine";
  EXPECT_NE(refusal(place.path() / "file", true, ProblemKind::command_line).find("no folder"),
            std::string::npos);
  EXPECT_NE(refusal("/", true, ProblemKind::command_line).find("no name"), std::string::npos);
  EXPECT_EQ(entries(place.path()), 2u);
}

TEST(PlanFolder, SaysWhereItCannotBe) {
  const TemporaryFolder place;
  std::ofstream(place.path() / "file") << "mine";
  EXPECT_NE(refusal(place.path() / "missing" / "plan", false, ProblemKind::other)
                .find("is no folder; make it first"),
            std::string::npos);
  EXPECT_NE(refusal(place.path() / "file" / "plan", false, ProblemKind::other).find("is no folder"),
            std::string::npos);
  // No one, not even root, makes folders there.
  EXPECT_NE(refusal("/proc/plan", false, ProblemKind::other).find("cannot be written"), std::string::npos);
}

// The action in a process of its own; true when it ended with 0.
template <class F>
bool in_a_child(F action) {
  const pid_t child = ::fork();
  if (child == 0)
    ::_exit(action() ? 0 : 1);
  int status = 0;
  ::waitpid(child, &status, 0);
  return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

TEST(PlanFolder, AFullDiskLeavesNothingBehindAndTheOldPlanInPlace) {
  const TemporaryFolder place;
  const fs::path plan = place.path() / "plan";
  write_plan_folder(fixture::record(), plan, false);
  const auto before = contents(plan);
  EXPECT_TRUE(in_a_child([&] {
    const ThreadCount one(1);
    ::signal(SIGXFSZ, SIG_IGN);
    const rlimit small{4096, 4096};  // no file may grow beyond this
    ::setrlimit(RLIMIT_FSIZE, &small);
    try {
      write_plan_folder(fixture::record(), plan, true);
    } catch (const Problem& problem) {
      return problem.kind() == ProblemKind::other;
    }
    return false;
  }));
  EXPECT_EQ(contents(plan), before);
  EXPECT_EQ(entries(place.path()), 1u);
}

TEST(PlanFolder, AKilledRunLeavesNoHalfPlanAndTheNextOneTidiesUp) {
  const TemporaryFolder place;
  const fs::path plan = place.path() / "plan";
  int gates[2];
  ASSERT_EQ(::pipe(gates), 0);
  const pid_t child = ::fork();
  if (child == 0) {
    WholeFolder whole(plan);
    std::ofstream(whole.path() / "plan.json") << "half";
    const char ready = 1;
    if (::write(gates[1], &ready, 1) == 1)
      ::pause();
    ::_exit(1);
  }
  char ready = 0;
  ASSERT_EQ(::read(gates[0], &ready, 1), 1);
  ::close(gates[0]);
  ::close(gates[1]);
  // While it lives, its folder is its own.
  write_plan_folder(fixture::record(), place.path() / "plan", false);
  EXPECT_EQ(entries(place.path()), 2u);
  fs::remove_all(plan);
  ::kill(child, SIGKILL);
  ::waitpid(child, nullptr, 0);
  EXPECT_FALSE(fs::exists(plan));
  write_plan_folder(fixture::record(), plan, false);
  EXPECT_EQ(entries(place.path()), 1u);
}

TEST(WholeFolder, FollowsALinkToTheOldPlan) {
  const TemporaryFolder place;
  fs::create_directory(place.path() / "real");
  write_plan_folder(fixture::record(), place.path() / "real" / "plan", false);
  fs::create_directory_symlink(place.path() / "real" / "plan", place.path() / "link");
  write_plan_folder(fixture::record(), place.path() / "link", true);
  EXPECT_TRUE(fs::is_symlink(place.path() / "link"));
  EXPECT_TRUE(fs::exists(place.path() / "real" / "plan" / "plan.json"));
  EXPECT_EQ(entries(place.path() / "real"), 1u);
}

TEST(PlanFolder, IdsCannotLeaveTheFolder) {
  const TemporaryFolder place;
  PlanRecord plan = fixture::record();
  plan.palette.powders[0].id = "../../etc/x";
  write_plan_folder(plan, place.path() / "plan", false);
  EXPECT_TRUE(fs::exists(place.path() / "plan" / "layers" / "01-______etc_x.png"));
}

}  // namespace
}  // namespace powderplan
