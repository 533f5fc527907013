#include "report/proof_files.h"

#include <array>

#include "raster/png.h"
#include "report/lit_piece.h"
#include "report/own_folder.h"
#include "report/proof.h"
#include "report/stage.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 3> entries{"proof.pdf", "proof.png", "room.png"};

constexpr FolderKind kind{"proof", "proof.pdf", entries};

}  // namespace

OwnPlace check_proof_folder(const fs::path& folder, bool replace) {
  return check_own_folder(folder, replace, kind);
}

std::vector<std::string> write_proof(const PlanRecord& record, const std::optional<RoomWish>& wish,
                                     const OwnPlace& place, const std::function<void()>& may_go_on) {
  const auto go_on = [&] {
    if (may_go_on)
      may_go_on();
  };
  PointMm middle;
  if (wish) {
    middle = wish->middle.value_or(PointMm{wish->room.width.value() / 2, wish->room.height.value() / 2});
    check_place(wish->room, record.width, record.height, middle);  // before the seconds of drawing
  }
  go_on();
  const ProofPictures pictures = proof_pictures(record);
  go_on();
  RoomPicture room;
  if (wish) {
    const Image<Rgb8> piece = lit_piece(record, moment_finished(record), record.view, pictures.surface, {});
    room = room_picture(wish->room, piece, record.width, record.height, middle, record.view);
  }
  std::vector<OwnFile> files{
      {"proof.png", [&] { return encode_png(proof(record, pictures, room.picture), proof_pitch); }},
      {"proof.pdf", [&] { return proof_pdf(record, pictures, room.picture); }}};
  // A photo has no size on paper: as on a screen of 96 points an inch.
  if (wish)
    files.push_back({"room.png", [&] { return encode_png(room.picture, Millimetres(25.4 / 96)); }});
  std::vector<std::string> notes = std::move(room.notes);
  if (std::string note = write_own_folder(place, kind, files, may_go_on); !note.empty())
    notes.push_back(std::move(note));
  return notes;
}

}  // namespace powderplan
