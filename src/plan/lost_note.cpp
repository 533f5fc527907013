#include "plan/lost_note.h"

#include <fmt/format.h>

namespace powderplan {

std::string lost_note(double share, const PlanRequest& request) {
  if (share < noted_lost_detail)
    return {};
  return fmt::format(
      "{:.0f} % of the fine detail is lost (previews/lost-detail.png): it is finer than the {:.3g} mm that a "
      "stencil may be narrow, and no drawn line. A larger --width or a smaller --smallest-mm keeps more{}",
      100 * share, request.smallest.value(),
      request.techniques.line ? "" : "; if the picture is a drawing, so does \"line\" among --techniques");
}

}  // namespace powderplan
