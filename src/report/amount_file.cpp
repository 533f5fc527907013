#include "report/amount_file.h"

#include "raster/png.h"

namespace powderplan {
namespace {

constexpr unsigned in_file = 65535 / whole_amount;
static_assert(in_file * whole_amount == 65535);

}  // namespace

std::vector<std::uint8_t> amount_png(const Image<Amount>& amount, Millimetres pitch) {
  Image<std::uint16_t> words(amount.width(), amount.height());
  for (std::size_t i = 0; i < words.size(); ++i)
    words[i] = static_cast<std::uint16_t>(amount[i] * in_file);
  return encode_png(words, pitch);
}

Image<Amount> amount_of_png(const std::vector<std::uint8_t>& bytes, const std::filesystem::path& name) {
  const Image<std::uint16_t> words = decode_layer_png(bytes, name);
  Image<Amount> amount(words.width(), words.height());
  for (std::size_t i = 0; i < words.size(); ++i)
    amount[i] = static_cast<Amount>((words[i] + in_file / 2) / in_file);
  return amount;
}

}  // namespace powderplan
