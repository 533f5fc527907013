// Tables of spectra: CSV to readings that are shares.
#include <cmath>

#include "fuzz/target.h"
#include "measure/spectra_file.h"

using namespace powderplan;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return fuzz::answered([&] {
    for (const Gloss gloss : {Gloss::left_out, Gloss::included})
      read_spectra(fuzz::text_of(data, size), "steps.csv", gloss);
  });
}
