#include "plan/lost_note.h"

#include <fmt/format.h>

namespace powderplan {

std::string lost_note(double share, const PlanRequest& request) {
  if (share < noted_lost_detail)
    return {};
  const bool lines_alone = request.techniques.line && !request.techniques.stencil && !request.techniques.fade;
  const std::string why =
      lines_alone ? "it is no line that a hand can draw"
                  : fmt::format("it is finer than {:.3g} mm, and no drawn line", request.smallest.value());
  return fmt::format(
      "{:.0f} % of the fine detail is lost (previews/lost-detail.png): {}; a larger --width{} keeps more{}",
      100 * share, why, lines_alone ? "" : " or a smaller --smallest-mm",
      request.techniques.line ? "" : ", and in drawings \"line\" among --techniques");
}

}  // namespace powderplan
