// The least that any program must spend on a plan: decoding the picture and encoding the plan's own PNG files
// again with the program's own settings. Usage: measure_floor PICTURE PLAN_FOLDER THREADS Prints "decode
// SECONDS" and "encode SECONDS" (wall clock, the best of three) and how many files and points.
#include <algorithm>
#include <chrono>
#include <exception>
#include <filesystem>
#include <functional>
#include <iostream>
#include <variant>
#include <vector>

#include "parallel.h"
#include "plan/flag_answer.h"
#include "raster/decoders.h"
#include "raster/png.h"
#include "report/files.h"

namespace {

using namespace powderplan;
namespace fs = std::filesystem;

double seconds_of(const std::function<void()>& work) {
  double best = 1e30;
  for (int time = 0; time < 3; ++time) {
    const auto began = std::chrono::steady_clock::now();
    work();
    best = std::min(best, std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count());
  }
  return best;
}

// What a file holds, as the program had it before it wrote the file.
using Kept = std::variant<Image<Rgb8>, Image<std::uint16_t>>;

Kept read_back(const fs::path& file) {
  const StoredPicture stored = decode_png(load_picture_file(file), {most_layer_pixels});
  if (stored.model == ColourModel::grey)
    return decode_layer_png(read_file(file), file);
  Image<Rgb8> picture(stored.width, stored.height);
  for (std::size_t i = 0; i < picture.size(); ++i)
    picture[i] = {stored.samples[3 * i], stored.samples[3 * i + 1], stored.samples[3 * i + 2]};
  return picture;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) {
    std::cerr << "usage: measure_floor PICTURE PLAN_FOLDER THREADS\n";
    return 2;
  }
  try {
    const ThreadCount threads(static_cast<unsigned>(FlagAnswer("THREADS", {argv[3]}).whole({1, 256})));
    const PictureFile picture = load_picture_file(argv[1]);
    const double decode = seconds_of([&] {
      if (picture.kind == FileKind::jpeg)
        decode_jpeg(picture, {});
      else
        decode_png(picture, {});
    });
    std::vector<fs::path> files;
    for (const auto& entry : fs::recursive_directory_iterator(argv[2]))
      if (entry.path().extension() == ".png")
        files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    // One at a time is held where there is one thread, so that large plans fit as well.
    double encode = 0;
    std::size_t points = 0;
    const std::size_t together = std::max(1U, ThreadCount::current());
    for (std::size_t first = 0; first < files.size(); first += together) {
      std::vector<Kept> kept;
      for (std::size_t i = first; i < std::min(files.size(), first + together); ++i)
        kept.push_back(read_back(files[i]));
      for (const Kept& one : kept)
        points += std::visit([](const auto& image) { return image.size(); }, one);
      encode += seconds_of([&] {
        for_each_block(kept.size(), [&](std::size_t i) {
          std::visit([](const auto& image) { return encode_png(image, Millimetres(0.25)).size(); }, kept[i]);
        });
      });
    }
    std::cout << "decode " << decode << "\nencode " << encode << "\nfiles " << files.size() << "\npoints "
              << points << "\n";
  } catch (const std::exception& error) {
    std::cerr << "measure_floor: " << error.what() << "\n";
    return 1;
  }
}
