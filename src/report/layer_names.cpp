#include "report/layer_names.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/stage.h"

namespace powderplan {

std::string safe_in_path(const std::string& id) {
  constexpr std::size_t longest = 48;
  std::string safe = id.substr(0, longest);
  std::replace_if(
      safe.begin(), safe.end(),
      [](char c) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                           c == '-' || c == '_';
        return !plain;
      },
      '_');
  return safe;
}

std::string layer_file_stem(const PlanRecord& record, std::size_t layer) {
  return fmt::format("{:02}-{}", layer + 1, safe_in_path(powder_of(record, record.layers[layer]).id));
}

}  // namespace powderplan
