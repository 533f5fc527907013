// What earlier runs have worked out and this one can use again: results of the slow steps, by everything that
// they depend on.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "plan/kept_values.h"
#include "plan/request.h"
#include "report/plan_record.h"
#include "report/result_store.h"
#include "separation/separate.h"

namespace powderplan {

// Steps whose results are kept. The settings that a step does not depend on stand in kept_results.cpp; all
// others are part of its key, with the input files' fingerprints, the program's build and the machine's kind:
// a step that is not told of a setting is computed anew when it changes, never wrongly taken from before.
enum class KeptStep { base, nests, separation, layers, judgement, pictures };
// Flags of the settings that the step does not depend on.
std::vector<std::string_view> no_matter_to(KeptStep step);

// What the steps after the layers look at, as a name for their results: layers and labels, without their
// templates, and how they are fired. Settings that act through these alone need not be in the key.
std::string fingerprint_of_piece(const PlanRecord& record);
// What a separation works by: the choice that it begins with, and all limits.
std::string fingerprint_of_rules(const SeparationRules& rules);

class KeptResults {
 public:
  [[nodiscard]] bool keeps() const { return store_.has_value(); }

  // `inputs`: the picture and the palettes, read. Nothing is kept where the request names no folder.
  KeptResults(const PlanRequest& request, const std::vector<InputFile>& inputs);

  // Fills the values with what was kept, or by make(), and then keeps them. `which` tells results of one step
  // apart. May be called from several threads at once.
  template <class Make, class... Values>
  void fill(KeptStep step, const std::string& which, const Make& make, Values&... values) const {
    if (!store_) {
      make();
      return;
    }
    const std::string key = key_of(step, which);
    if (store_->find(key, [&](std::istream& stream) {
          // Into values of their own: what is damaged after all must not leave half of itself behind.
          std::tuple<Values...> found;
          cereal::BinaryInputArchive archive(stream);
          std::apply([&](auto&... parts) { archive(parts...); }, found);
          std::tie(values...) = std::move(found);
        }))
      return;
    make();
    // Files of pictures are packed already.
    store_->keep(
        key,
        [&](std::ostream& stream) {
          cereal::BinaryOutputArchive archive(stream);
          archive(values...);
        },
        step == KeptStep::pictures ? Packing::as_it_is : Packing::deflated);
  }

 private:
  [[nodiscard]] std::string key_of(KeptStep step, const std::string& which) const;

  std::optional<ResultStore> store_;
  std::vector<SettingText> settings_;
  std::string rest_;  // whatever else all steps depend on
};

}  // namespace powderplan
