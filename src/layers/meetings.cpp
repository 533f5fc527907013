#include "layers/meetings.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "layers/border_length.h"
#include "parallel.h"

namespace powderplan {
namespace {

using CoatOrder = std::vector<std::size_t>;  // powders, bottom to top

const auto least_amount = static_cast<Amount>(std::lround(least_share_that_reacts * whole_amount));

CoatOrder coats_at(const Spots& spots, std::size_t spot, const std::vector<Layer>& layers) {
  CoatOrder coats;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    if (spots.amount(spot, i) >= least_amount && (coats.empty() || coats.back() != layers[i].powder))
      coats.push_back(layers[i].powder);
  }
  return coats;
}

// Of one pair at a spot.
enum class Here : std::uint8_t { neither, one, other, both_apart, both_touching };

Here powders_at(const CoatOrder& coats, std::size_t one, std::size_t other) {
  bool has_one = false, has_other = false;
  for (std::size_t i = 0; i < coats.size(); ++i) {
    has_one = has_one || coats[i] == one;
    has_other = has_other || coats[i] == other;
    if (i > 0 && ((coats[i - 1] == one && coats[i] == other) || (coats[i - 1] == other && coats[i] == one)))
      return Here::both_touching;
  }
  if (has_one && has_other)
    return Here::both_apart;
  return has_one ? Here::one : has_other ? Here::other : Here::neither;
}

Here at_spot(const CoatOrder& coats, const Reaction& pair) {
  if (pair.other)
    return powders_at(coats, pair.powder, *pair.other);
  return !coats.empty() && coats.front() == pair.powder ? Here::both_touching : Here::neither;
}

Meeting meeting_of(const Reaction& pair, const std::vector<CoatOrder>& coats,
                   const Image<std::uint32_t>& spot_at, const Grid& grid) {
  std::vector<Here> here(coats.size());
  for (std::size_t spot = 0; spot < coats.size(); ++spot)
    here[spot] = at_spot(coats[spot], pair);
  Image<std::uint8_t> one(grid.width, grid.height, 0), other(grid.width, grid.height, 0);
  Meeting meeting{pair, {}, 0, Image<std::uint8_t>(grid.width, grid.height, 0)};
  std::size_t touching = 0;
  for (std::size_t i = 0; i < spot_at.size(); ++i) {
    const Here state = here[spot_at[i]];
    one[i] = state == Here::one ? 1 : 0;
    other[i] = state == Here::other ? 1 : 0;
    if (state == Here::both_touching) {
      meeting.where[i] = meets_on_another;
      ++touching;
    }
  }
  meeting.overlap_cm2 = static_cast<double>(touching) * grid.point_cm2();
  const CommonBorder border = common_border(one, other, grid.pitch);
  meeting.border = border.length;
  for (std::size_t i = 0; i < border.points.size(); ++i) {
    if (border.points[i] != 0)
      meeting.where[i] = meets_beside;
  }
  if (touching == 0 && !(border.length > Millimetres(0)))
    meeting.where = {};
  return meeting;
}

}  // namespace

std::vector<Meeting> meetings_of(const std::vector<Reaction>& pairs, const std::vector<Layer>& layers,
                                 const Spots& spots, std::size_t sheet, const Grid& grid) {
  std::set<std::size_t> laid;
  for (const Layer& layer : layers)
    laid.insert(layer.powder);
  std::vector<Reaction> used;
  for (const Reaction& pair : pairs) {
    if (laid.contains(pair.powder) && (pair.other ? laid.contains(*pair.other) : pair.sheet == sheet))
      used.push_back(pair);
  }
  std::vector<CoatOrder> coats(used.empty() ? 0 : spots.count());
  for (std::size_t spot = 0; spot < coats.size(); ++spot)
    coats[spot] = coats_at(spots, spot, layers);
  std::vector<Meeting> meetings(used.size());
  for_each_block(used.size(),
                 [&](std::size_t i) { meetings[i] = meeting_of(used[i], coats, spots.at(), grid); });
  return meetings;
}

}  // namespace powderplan
