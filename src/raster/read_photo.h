// Photos that are measured or drawn on: all their pixels are held as linear light.
#pragma once

#include <filesystem>

#include "raster/picture.h"

namespace powderplan {

// As read_picture with its usual cap, which nobody can raise: a photo above it is to be scaled down.
Picture read_photo(const std::filesystem::path& file);

}  // namespace powderplan
