// The picture of a layer in the plan folder: 16-bit grey, value / 65535 = amount of the layer's load.
#pragma once

#include <cstdint>
#include <filesystem>
#include <vector>

#include "layers/layer.h"

namespace powderplan {

std::vector<std::uint8_t> amount_png(const Image<Amount>& amount, Millimetres pitch);

// The reverse; what lies between two 255ths goes to the nearer one. `name` is for messages.
// Throws Problem (input) when the bytes are no such picture.
Image<Amount> amount_of_png(const std::vector<std::uint8_t>& bytes, const std::filesystem::path& name);

}  // namespace powderplan
