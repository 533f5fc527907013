// The plan.json of a whole plan folder, read back; and the other files of JSON that go with it.
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "fuzz/target.h"
#include "report/fixture.h"
#include "report/plan_folder.h"
#include "report/plan_reader.h"
#include "report/plan_totals.h"
#include "report/taken_record.h"

using namespace powderplan;

namespace {

// A plan whose plan.json is written anew each time; gone at the end.
class PlanFolder {
 public:
  PlanFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "powderplan-XXXXXX").string();
    fuzz::promise(mkdtemp(name.data()) != nullptr, "there is a folder for temporary files");
    parent_ = name;
    write_plan_folder(fixture::record(), folder(), false);
  }
  ~PlanFolder() { std::filesystem::remove_all(parent_); }
  PlanFolder(const PlanFolder&) = delete;
  PlanFolder& operator=(const PlanFolder&) = delete;
  [[nodiscard]] std::filesystem::path folder() const { return parent_ / "plan"; }

 private:
  std::filesystem::path parent_;
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const PlanFolder plan;
  static const Palette palette = fixture::shelf();
  const std::string text = fuzz::text_of(data, size);
  fuzz::answered([&] { parse_plan_totals(text, "plan.json"); });
  fuzz::answered([&] { parse_taken(text, "taken.json"); });
  std::ofstream(plan.folder() / "plan.json", std::ios::binary) << text;
  return fuzz::answered([&] { read_plan(plan.folder(), palette); });
}
