// For remap_comparison: maps a picture's 8-bit sRGB values to a fixed list of colours, in three ways, and
// judges what comes out. Colours are taken as they stand in the file, without its profile, as the other tools
// take them.
//
//   map_colours list PICTURE COUNT LIST.png     a list of colours for it, by OpenCV's k-means in Lab
//   map_colours exact PICTURE LIST.png OUT.png  each pixel by NearestRecipe (CIEDE2000)
//   map_colours lab PICTURE LIST.png OUT.png    each pixel by the nearest in Lab, all compared with
//   map_colours judge PICTURE OUT.png           mean CIEDE2000, of every seventh pixel
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <numeric>
#include <opencv2/core.hpp>
#include <opencv2/imgcodecs.hpp>
#include <set>
#include <span>
#include <string_view>
#include <tuple>
#include <vector>

#include "colour/difference.h"
#include "parallel.h"
#include "plan/flag_answer.h"
#include "problem.h"
#include "recipe/nearest_recipe.h"

namespace powderplan {
namespace {

cv::Mat read(const char* file) {
  cv::Mat picture = cv::imread(file, cv::IMREAD_COLOR | cv::IMREAD_IGNORE_ORIENTATION);
  if (picture.empty())
    throw Problem(ProblemKind::input, file, "cannot be read", "name a PNG or JPEG picture");
  return picture;
}
void write(const char* file, const cv::Mat& picture) {
  if (!cv::imwrite(file, picture, {cv::IMWRITE_PNG_COMPRESSION, 1}))
    throw Problem(ProblemKind::other, file, "cannot be written", "name another file");
}
Rgb8 rgb(const cv::Vec3b& bgr) {
  return {bgr[2], bgr[1], bgr[0]};
}

class Seconds {
 public:
  [[nodiscard]] double gone() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count();
  }

 private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

constexpr int most_samples = 40000;  // of a picture, so also of its list

void list(const char* picture_file, int count, const char* list_file) {
  const cv::Mat picture = read(picture_file);
  const std::size_t step = picture.total() / most_samples + 1;
  std::vector<cv::Vec3f> samples;
  for (std::size_t i = 0; i < picture.total(); i += step) {
    const Lab lab = to_lab(rgb(picture.at<cv::Vec3b>(static_cast<int>(i))));
    samples.emplace_back(static_cast<float>(lab.l), static_cast<float>(lab.a), static_cast<float>(lab.b));
  }
  const cv::Mat points(static_cast<int>(samples.size()), 3, CV_32F, samples.data());
  cv::Mat label, centres;
  cv::setRNGSeed(1);
  cv::kmeans(points, count, label, {cv::TermCriteria::MAX_ITER, 10, 0}, 1, cv::KMEANS_PP_CENTERS, centres);
  // Rounded to what a PNG holds; equal ones once.
  std::set<std::tuple<int, int, int>> colours;
  for (int i = 0; i < centres.rows; ++i) {
    const Lab lab{centres.at<float>(i, 0), centres.at<float>(i, 1), centres.at<float>(i, 2)};
    const Rgb8 c = to_rgb8(to_linear_rgb(to_xyz(lab)));
    colours.emplace(c.b, c.g, c.r);
  }
  cv::Mat out(1, static_cast<int>(colours.size()), CV_8UC3);
  int at = 0;
  for (const auto& [b, g, r] : colours)
    out.at<cv::Vec3b>(0, at++) =
        cv::Vec3b(static_cast<uchar>(b), static_cast<uchar>(g), static_cast<uchar>(r));
  write(list_file, out);
  std::printf("%d colours\n", out.cols);
}

// The nearest in Lab of all, the plain way.
void nearest_in_lab(std::span<const Lab> colours, std::span<const Lab> wanted,
                    std::span<std::uint32_t> nearest) {
  std::vector<float> l, a, b, far(colours.size());
  for (const Lab& c : colours) {
    l.push_back(static_cast<float>(c.l));
    a.push_back(static_cast<float>(c.a));
    b.push_back(static_cast<float>(c.b));
  }
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const auto wl = static_cast<float>(wanted[i].l), wa = static_cast<float>(wanted[i].a),
               wb = static_cast<float>(wanted[i].b);
    for (std::size_t k = 0; k < far.size(); ++k)
      far[k] = (l[k] - wl) * (l[k] - wl) + (a[k] - wa) * (a[k] - wa) + (b[k] - wb) * (b[k] - wb);
    nearest[i] = static_cast<std::uint32_t>(std::min_element(far.begin(), far.end()) - far.begin());
  }
}

void map(bool exact, const char* picture_file, const char* list_file, const char* out_file) {
  const Seconds reading;
  const cv::Mat picture = read(picture_file), listed = read(list_file);
  std::printf("decode %.2f s", reading.gone());
  const Seconds mapping;
  std::vector<Lab> colours;
  for (int i = 0; i < listed.cols; ++i)
    colours.push_back(to_lab(rgb(listed.at<cv::Vec3b>(0, i))));
  const NearestRecipe recipes(colours);
  cv::Mat out(picture.size(), CV_8UC3);
  for_each_row_band(picture.rows, [&](int begin, int end) {
    std::vector<Lab> wanted(static_cast<std::size_t>(picture.cols));
    std::vector<std::uint32_t> nearest(wanted.size());
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < picture.cols; ++x)
        wanted[static_cast<std::size_t>(x)] = to_lab(rgb(picture.at<cv::Vec3b>(y, x)));
      if (exact)
        recipes.find(wanted, nearest);
      else
        nearest_in_lab(colours, wanted, nearest);
      for (int x = 0; x < picture.cols; ++x)
        out.at<cv::Vec3b>(y, x) =
            listed.at<cv::Vec3b>(0, static_cast<int>(nearest[static_cast<std::size_t>(x)]));
    }
  });
  std::printf(", map %.2f s", mapping.gone());
  const Seconds writing;
  write(out_file, out);
  std::printf(", encode %.2f s\n", writing.gone());
}

constexpr int judged_step = 7;

void judge(const char* picture_file, const char* out_file) {
  const cv::Mat wanted = read(picture_file), got = read(out_file);
  if (wanted.size() != got.size())
    throw Problem(ProblemKind::input, out_file, "has another size than the picture", "map the same picture");
  std::vector<double> sums(static_cast<std::size_t>(wanted.rows));
  std::vector<std::size_t> counts(sums.size());
  for_each_block(sums.size(), [&](std::size_t y) {
    const int row = static_cast<int>(y);
    for (int x = row % judged_step; x < wanted.cols; x += judged_step, ++counts[y])
      sums[y] += ciede2000(to_lab(rgb(wanted.at<cv::Vec3b>(row, x))), to_lab(rgb(got.at<cv::Vec3b>(row, x))));
  });
  const double sum = std::accumulate(sums.begin(), sums.end(), 0.0);
  std::printf("%.4f\n",
              sum / static_cast<double>(std::accumulate(counts.begin(), counts.end(), std::size_t{0})));
}

}  // namespace
}  // namespace powderplan

int main(int count, char** words) {
  using namespace powderplan;
  const std::string_view what = count > 1 ? words[1] : "";
  try {
    if (what == "list" && count == 5)
      list(words[2], FlagAnswer("COUNT", {words[3]}).whole({1, most_samples}), words[4]);
    else if ((what == "exact" || what == "lab") && count == 5)
      map(what == "exact", words[2], words[3], words[4]);
    else if (what == "judge" && count == 4)
      judge(words[2], words[3]);
    else
      return std::fputs("map_colours list|exact|lab|judge ..., see the top of map_colours.cpp\n", stderr), 2;
  } catch (const Problem& problem) {
    std::fprintf(stderr, "%s\n", problem.what());
    return 1;
  }
  return 0;
}
