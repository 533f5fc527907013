// A proof in a folder of its own, made after its plan: with the client's room, if there is a photo of it.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>

#include "report/own_folder.h"
#include "report/plan_record.h"
#include "report/room_picture.h"

namespace powderplan {

// A room, and where in it the piece hangs.
struct RoomWish {
  Room room;
  std::optional<PointMm> middle;  // of the piece, mm from the corner; not given: the middle of the rectangle
};

// Where it would go, checked before any work is done. Throws Problem as check_own_folder.
OwnPlace check_proof_folder(const std::filesystem::path& folder, bool replace);

// proof.png and proof.pdf, with a room also room.png: whole or not at all. Returns what the user should know.
// Throws Problem as write_own_folder and room_picture do; its place is then "--at-mm" or "--wall".
std::vector<std::string> write_proof(const PlanRecord& record, const std::optional<RoomWish>& wish,
                                     const OwnPlace& place, const std::function<void()>& may_go_on = {});

}  // namespace powderplan
