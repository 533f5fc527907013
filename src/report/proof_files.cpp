#include "report/proof_files.h"

#include <fmt/format.h>

#include <array>

#include "raster/png.h"
#include "report/lit_piece.h"
#include "report/own_folder.h"
#include "report/proof.h"
#include "report/stage.h"
#include "report/whole_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 3> entries{"proof.pdf", "proof.png", "room.png"};

}  // namespace

void check_proof_folder(const fs::path& folder, bool replace) {
  check_own_folder(folder, replace, {"proof", "proof.pdf", entries});
}

std::vector<std::string> write_proof(const PlanRecord& record, const std::optional<RoomWish>& wish,
                                     const fs::path& folder, bool replace,
                                     const std::function<void()>& may_go_on) {
  check_proof_folder(folder, replace);
  const ProofPictures pictures = proof_pictures(record);
  RoomPicture room;
  if (wish) {
    const Image<Rgb8> piece = lit_piece(record, moment_finished(record), record.view, pictures.surface, {});
    const PointMm middle =
        wish->middle.value_or(PointMm{wish->room.width.value() / 2, wish->room.height.value() / 2});
    room = room_picture(wish->room, piece, record.width, record.height, middle, record.view);
  }
  WholeFolder whole(folder);
  const auto put = [&](std::string_view name, const std::vector<std::uint8_t>& bytes) {
    if (may_go_on)
      may_go_on();
    write_bytes(whole.path() / name, bytes);
  };
  put("proof.png", encode_png(proof(record, pictures, room.picture), proof_pitch));
  put("proof.pdf", proof_pdf(record, pictures, room.picture));
  // A photo has no size on paper: as on a screen of 96 points an inch.
  if (wish)
    put("room.png", encode_png(room.picture, Millimetres(25.4 / 96)));
  if (may_go_on)
    may_go_on();
  check_proof_folder(folder, replace);
  std::vector<std::string> notes = std::move(room.notes);
  if (const auto left = whole.commit(replace))
    notes.push_back(fmt::format("the old proof could not be removed and lies in {} now", left->string()));
  return notes;
}

}  // namespace powderplan
