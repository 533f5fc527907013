#include "raster/read_photo.h"

#include "raster/picture_file.h"

namespace powderplan {

Picture read_photo(const std::filesystem::path& file) {
  try {
    return read_picture(file);
  } catch (const TooManyPixels& problem) {
    throw Problem(problem.kind(), problem.place(), problem.wrong(), "scale the picture down");
  }
}

}  // namespace powderplan
