#include "report/taken_record.h"

#include <gtest/gtest.h>

#include <fstream>

#include "problem.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

TEST(TakenRecord, ReadsBackWhatItWrites) {
  const TakenRecord record{
      {"ab12", "Avocet \"at\" dusk", {{1, "tide-blue", Grams(0.1 + 0.2)}, {3, "x", Grams(0)}}},
      {"ab12", "Avocet", {{1, "tide-blue", Grams(2)}}}};
  const TakenRecord back = parse_taken(taken_json(record), "t");
  ASSERT_EQ(back.size(), 2u);
  EXPECT_EQ(back[0].title, record[0].title);
  EXPECT_EQ(back[0].layers[0].grams, Grams(0.1 + 0.2));
  EXPECT_EQ(taken_json(back), taken_json(record));
  EXPECT_EQ(times_taken(back, "ab12", 1), 2u);
  EXPECT_EQ(times_taken(back, "ab12", 3), 1u);
  EXPECT_EQ(times_taken(back, "ab12", 2), 0u);
  EXPECT_EQ(times_taken(back, "cd34", 1), 0u);
}

TEST(TakenRecord, LiesBesideTheRealPalette) {
  const TemporaryFolder folder;
  namespace fs = std::filesystem;
  fs::create_directory(folder.path() / "store");
  std::ofstream(folder.path() / "store/jars.toml") << "";
  fs::create_symlink("store/jars.toml", folder.path() / "shelf.toml");
  EXPECT_EQ(taken_record_of(folder.path() / "shelf.toml"),
            fs::canonical(folder.path() / "store") / "jars.taken.json");
}

TEST(TakenRecord, ADamagedOneIsRefused) {
  for (const char* text : {"", "{}", "{\"schema\": 1}", "{\"schema\": 1, \"taken\": [{\"plan_sha256\": 3}]}",
                           "{\"schema\": 2, \"taken\": []}"})
    EXPECT_THROW((void)parse_taken(text, "t"), Problem) << text;
}

}  // namespace
}  // namespace powderplan
