#include "report/amount_file.h"

#include "raster/png.h"

namespace powderplan {
namespace {

constexpr unsigned in_file = 65535 / whole_amount;
static_assert(in_file * whole_amount == 65535);

}  // namespace

std::vector<std::uint8_t> amount_png(const Image<Amount>& amount, Millimetres pitch) {
  return encode_png(PictureRows<std::uint16_t>{amount.width(), amount.height(),
                                               [&amount](int y, std::uint16_t* row) {
                                                 const Amount* const from = amount.row(y);
                                                 for (int x = 0; x < amount.width(); ++x)
                                                   row[x] = static_cast<std::uint16_t>(from[x] * in_file);
                                               }},
                    pitch);
}

Image<Amount> amount_of_png(const std::vector<std::uint8_t>& bytes, const std::filesystem::path& name) {
  const Image<std::uint16_t> words = decode_layer_png(bytes, name);
  Image<Amount> amount(words.width(), words.height());
  for (std::size_t i = 0; i < words.size(); ++i)
    amount[i] = static_cast<Amount>((words[i] + in_file / 2) / in_file);
  return amount;
}

}  // namespace powderplan
