// Piece files: TOML to a request, whose settings can be said again.
#include "fuzz/target.h"
#include "plan/piece_file.h"
#include "plan/settings.h"

using namespace powderplan;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return fuzz::answered([&] {
    const PlanRequest request = parse_piece(fuzz::text_of(data, size), "piece.toml");
    for (const SettingText& setting : settings_in_words(request))
      fuzz::promise(!setting.flag.empty(), "every setting has a flag");
    check_together(request);
  });
}
