// A value for every setting that a user has, for tests.
#pragma once

#include <fmt/format.h>

#include <map>
#include <string>

#include "plan/settings.h"

namespace powderplan {

// A value for every key, none of them the default, as written in TOML and as shown.
struct Sample {
  std::string toml, shown;
};
inline const std::map<std::string, Sample>& samples() {
  static const std::map<std::string, Sample> all{
      {"image", {R"("photos/my heron.jpg")", "work/photos/my heron.jpg"}},
      {"palette", {R"(["../shelf.toml", "/glass/more.toml"])", "work/../shelf.toml,/glass/more.toml"}},
      {"width_mm", {"300", "300"}},
      {"height_mm", {"212.5", "212.5"}},
      {"title", {R"("Reiher, früh")", "Reiher, früh"}},
      {"crop", {"[0.1, 0, 0.9, 0.75]", "0.1,0,0.9,0.75"}},
      {"fit", {R"("whole")", "whole"}},
      {"range", {R"("keep")", "keep"}},
      {"base", {R"("clear")", "clear"}},
      {"view", {R"("window")", "window"}},
      {"light", {R"("6000K")", "6000K"}},
      {"backing", {R"("#102030")", "#102030"}},
      {"seen_from_mm", {"2000", "2000"}},
      {"layers", {"5", "5"}},
      {"firings", {"2", "2"}},
      {"powders", {"4", "4"}},
      {"powders_at_a_spot", {"2", "2"}},
      {"smallest_mm", {"1.5", "1.5"}},
      {"load", {"0.5", "0.5"}},
      {"least_layer_load", {"0.02", "0.02"}},
      {"pitch_mm", {"0.5", "0.5"}},
      {"use", {R"(["a", "b"])", "a,b"}},
      {"without", {R"(["c"])", "c"}},
      {"order", {R"(["b", "a"])", "b,a"}},
      {"techniques", {R"(["stencil", "line"])", "stencil,line"}},
      {"lay", {R"(["a=fade", "b=line"])", "a=fade,b=line"}},
      {"lay_not", {R"(["c=stencil"])", "c=stencil"}},
      {"react", {R"(["a+b=avoid", "b+c=wish"])", "a+b=avoid,b+c=wish"}},
      {"soft_edge_mm", {"12", "12"}},
      {"bridge_mm", {"3.5", "3.5"}},
      {"border_mm", {"30", "30"}},
      {"cut_tolerance_mm", {"0.2", "0.2"}},
      {"paper", {R"("letter")", "letter"}},
      {"repeats", {R"("always")", "always"}},
      {"finish", {R"("contour")", "contour"}},
      {"between", {R"("full")", "full"}},
      {"raised", {R"("freely")", "freely"}},
      {"shelf", {R"("500x400")", "500x400"}},
      {"shelf_margin_mm", {"20", "20"}},
      {"in_firing", {R"(["a=2", "b=1"])", "a=2,b=1"}},
      {"finish_of", {R"(["a=tack", "b=contour"])", "a=tack,b=contour"}},
      {"sweep_margin_mm", {"20", "20"}},
      {"within_stock", {"\"yes\"", "yes"}},
      {"comes_back", {"0.5", "0.5"}},
  };
  return all;
}

// The key alone in its table.
inline std::string line_of(const Setting& setting, const std::string& value) {
  return fmt::format("[{}]\n{} = {}\n", setting.table, setting.key, value);
}

}  // namespace powderplan
