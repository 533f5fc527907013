#include <fmt/format.h>
#include <gtest/gtest.h>
#include <functional>
#include <chrono>
#include <cstdlib>
#include "colour/difference.h"
#include "photo/card_photo.h"
#include "photo/mark_candidates.h"
#include "photo/photo_light.h"
#include "problem.h"
#include "trial_card.h"
namespace powderplan {
namespace {
void report(const char* name, const TrialCard& card, const Shot& shot, const Picture& p, const PhotoRules& rules = {}) {
  fmt::print("== {}\n", name);
  const auto t2 = std::chrono::steady_clock::now();
  try {
    const CardPhoto photo(p, card.scene.card, rules, "shot.jpg");
    const auto t3 = std::chrono::steady_clock::now();
    fmt::print("  {:.3f} s\n", std::chrono::duration<double>(t3-t2).count());
    for (const auto& n : photo.notes()) fmt::print("  note {}\n", n);
    double worst = 0;
    for (std::size_t i = 0; i < 4; ++i) {
      const PointMm at = place_of(card.scene, shot, photo.marks()[i]);
      worst = std::max(worst, std::hypot(at.x - card.scene.card.marks[i].x, at.y - card.scene.card.marks[i].y));
    }
    std::string line;
    for (std::size_t i = 0; i < card.fields.size(); ++i) {
      try {
      const FieldReading r = photo.read(card.fields[i], fmt::format("field {}", i));
      line += fmt::format("{:.2f}/{:.2f}/{:.2f} ", ciede2000(to_lab(card.colours[i]), to_lab(r.colour)), r.used, r.unevenness);
      } catch (const Problem& pr) { line += fmt::format("[{}] ", pr.what()); }
    }
    fmt::print("  worst {:.3f} mm; {}\n", worst, line);
    fmt::print("  {:.3f} s read\n", std::chrono::duration<double>(std::chrono::steady_clock::now()-t3).count());
  } catch (const Problem& pr) { 
    fmt::print("  {:.3f} s\n", std::chrono::duration<double>(std::chrono::steady_clock::now()-t2).count());
    fmt::print("  REFUSED {}\n", pr.what());
    if (getenv("CAND")) { for (const auto& c : mark_candidates(luminance_of(p.pixels)))
    fmt::print("{} {} match {} eye {} lead {} ppm {} {}\n", c.centre.x, c.centre.y, c.match, c.has_eye, c.eye_lead, pixels_per_mm(c.slope)[0], pixels_per_mm(c.slope)[1]);
  for (auto m : card.scene.card.marks) { auto q = seen_at(card.scene, shot, m); fmt::print("true {} {}\n", q.x, q.y); } }
  }
}
TEST(Explore, All) {
  TrialCard card = trial_card();
  Shot base;
  base.tilt = 15; base.tilt_axis = 40; base.turn = 20; base.falloff = 0.2; base.vignetting = 0.1; base.fills = .75;
  auto go = [&](const char* name, const std::function<void(TrialCard&, Shot&)>& f) {
    if (getenv("ONLY") && std::string(name).find(getenv("ONLY")) == std::string::npos) return;
    TrialCard c = card; Shot s = base; f(c, s);
    PhotoRules rules; if (std::string(name).find("neutral") != std::string::npos) rules.reference = NeutralReference{};
    report(name, c, s, photograph(c.scene, s), rules);
  };
  go("plain", [](auto&, auto&) {});
  go("clipped", [](auto&, auto& s) { s.exposure = 1.6; });
  go("clipped a bit", [](auto&, auto& s) { s.exposure = 1.2; });
  go("white out", [](auto&, auto& s) { s.exposure = 20; });
  go("dark", [](auto&, auto& s) { s.exposure = 0.1; });
  go("very dark", [](auto&, auto& s) { s.exposure = 0.01; });
  go("black", [](auto&, auto& s) { s.exposure = 0.0001; });
  go("blur 3", [](auto&, auto& s) { s.blur = 3; });
  go("blur 5", [](auto&, auto& s) { s.blur = 5; });
  go("blur 9", [](auto&, auto& s) { s.blur = 9; });
  go("covered", [](auto& c, auto&) { c.scene.discs.push_back({{196, 134}, 9, {.3, .3, .2}}); });
  go("half covered", [](auto& c, auto&) { c.scene.discs.push_back({{200, 138}, 9, {.3, .3, .2}}); });
  go("mirrored", [](auto&, auto& s) { s.mirrored = true; });
  go("glare field 4", [](auto& c, auto& s) { s.glare = Glare{{(c.fields[4].left + c.fields[4].right) / 2, 40}, 4, 1.0}; });
  go("soft glare field 6", [](auto& c, auto& s) { s.glare = Glare{{(c.fields[6].left + c.fields[6].right) / 2, 40}, 5, 0.2}; });
  go("big glare field 6", [](auto& c, auto& s) { s.glare = Glare{{(c.fields[6].left + c.fields[6].right) / 2, 46}, 14, 0.5}; });
  go("glare on mark 2", [](auto&, auto& s) { s.glare = Glare{{190, 130}, 8, 1.5}; });
  go("weak glare on mark 2", [](auto&, auto& s) { s.glare = Glare{{190, 130}, 8, 0.3}; });
  go("shadow 30", [](auto&, auto& s) { s.shadow = 0.3; });
  go("shadow 10", [](auto&, auto& s) { s.shadow = 0.1; });
  go("colour changes", [](auto&, auto& s) { s.far_gains = {1.1, 1, 0.85}; });
  go("tilt 35", [](auto&, auto& s) { s.tilt = 35; s.fills = .6; });
  go("tilt 44", [](auto&, auto& s) { s.tilt = 44; s.fills = .55; });
  go("tilt 50", [](auto&, auto& s) { s.tilt = 50; s.fills = .55; });
  go("small 2.2 px", [](auto&, auto& s) { s.fills = .45; });
  go("small 1.3", [](auto&, auto& s) { s.fills = .24; });
  go("small 1", [](auto&, auto& s) { s.fills = .18; });
  go("grain", [](auto& c, auto& s) { for (auto& b : c.scene.boxes) b.grain = 0.35; s.tilt = 0; s.width=3000; s.height=2250; });
  go("12 MP", [](auto&, auto& s) { s.width = 4000; s.height = 3000; s.blur = 1.5;});
  go("12 MP clutter noise", [](auto&, auto& s) { s.width = 4000; s.height = 3000; s.blur = .5; s.noise = .03;});
  go("lens 0.5", [](auto&, auto& s) { s.barrel = .005;});
  go("lens 1", [](auto&, auto& s) { s.barrel = .01;});
  go("lens 2", [](auto&, auto& s) { s.barrel = .02;});
  go("neutral", [](auto& c, auto&) { c.scene.boxes.push_back({*c.scene.card.reference, to_xyz(LinearRgb{.18, .18, .18})}); });
  go("no neutral", [](auto&, auto&) { });
  go("noise", [](auto&, auto& s) { s.noise = .05;});
  go("one white box covered", [](auto& c, auto&) { c.scene.boxes.push_back({{26, 70, 184, 78}, {.2, .2, .2}}); });
  go("two white boxes covered", [](auto& c, auto&) { c.scene.boxes.push_back({{26, 70, 184, 78}, {.2, .2, .2}});  c.scene.boxes.push_back({{26, 5, 184, 23}, {.3, .3, .2}}); });
}
TEST(Explore, NoCard) {
  TrialCard card = trial_card();
  auto go = [&](const char* name, const std::function<void(cv::Mat3b&)>& draw) {
    cv::Mat3b m(900, 1200, cv::Vec3b(220, 220, 220)); draw(m);
    report(name, card, {}, photographed::decoded(m));
  };
  go("noise", [](cv::Mat3b& m) { cv::RNG r(3); r.fill(m, cv::RNG::UNIFORM, 0, 255); });
  go("grey", [](cv::Mat3b&) {});
  go("chess", [](cv::Mat3b& m) { for (int y = 0; y < m.rows; ++y) for (int x = 0; x < m.cols; ++x) if ((x / 60 + y / 60) % 2) m(y, x) = {20, 20, 20}; });
  go("circles", [](cv::Mat3b& m) { for (int j = 0; j < 6; ++j) for (int i = 0; i < 8; ++i) for (int r = 6; r > 0; --r) cv::circle(m, {75 + 150 * i, 75 + 150 * j}, r * 11, r % 2 ? cv::Scalar(230, 230, 230) : cv::Scalar(20, 20, 20), -1, cv::LINE_AA); });
  go("circles 2", [](cv::Mat3b& m) { for (int j = 0; j < 6; ++j) for (int i = 0; i < 8; ++i) { for (int r = 0; r < 3 + (i+j)%2; ++r) cv::circle(m, {75 + 150 * i, 75 + 150 * j}, static_cast<int>(6 * std::array{7.0, 5.0, 3.2, 1.3}[static_cast<std::size_t>(r)]), r % 2 ? cv::Scalar(230, 230, 230) : cv::Scalar(20, 20, 20), -1, cv::LINE_AA);} });
}
}  // namespace
}  // namespace powderplan
