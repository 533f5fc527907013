#include "report/typesetter.h"

#include <fontconfig/fontconfig.h>
#include <pango/pangofc-fontmap.h>

#include <cmath>

#include "problem.h"
#include "utf8.h"

namespace powderplan {
namespace {

[[noreturn]] void no_memory() {
  throw Problem(ProblemKind::other, "text", "there is no memory for its letters",
                "close other programs and try again");
}

std::string elements(const char* name, FcStrList* list) {
  std::string text;
  while (const FcChar8* folder = FcStrListNext(list)) {
    char* escaped = g_markup_escape_text(reinterpret_cast<const char*>(folder), -1);
    text += std::string("<") + name + ">" + escaped + "</" + name + ">";
    g_free(escaped);
  }
  FcStrListDone(list);
  return text;
}

// The computer's own configuration is kept beside what is made of it.
struct FontConfig {
  FcConfig *system, *ours;
};

// The computer's typefaces without its rules for them (boldness, slant, substitutes, hinting). Left out are
// those with colours or of fixed size: pages are black, and printed large.
FontConfig without_rules() {
  const FontConfig config{FcInitLoadConfig(), FcConfigCreate()};
  if (config.system == nullptr || config.ours == nullptr)
    no_memory();
  const std::string text =
      "<fontconfig>" + elements("dir", FcConfigGetFontDirs(config.system)) +
      elements("cachedir", FcConfigGetCacheDirs(config.system)) +
      "<selectfont><rejectfont>"
      "<pattern><patelt name=\"color\"><bool>true</bool></patelt></pattern>"
      "<pattern><patelt name=\"scalable\"><bool>false</bool></patelt></pattern>"
      "</rejectfont></selectfont>"
      // Pango asks for pictographs by a family of their own.
      "<match target=\"pattern\"><edit name=\"family\" mode=\"append\" binding=\"strong\">"
      "<string>DejaVu Sans</string></edit></match></fontconfig>";
  if (FcConfigParseAndLoadFromMemory(config.ours, reinterpret_cast<const FcChar8*>(text.c_str()), FcTrue) ==
          FcFalse ||
      FcConfigBuildFonts(config.ours) == FcFalse)
    no_memory();
  return config;
}

int in_units(double length) {
  return static_cast<int>(std::lround(length * PANGO_SCALE));
}

PangoAlignment to_pango(Align align) {
  return align == Align::left    ? PANGO_ALIGN_LEFT
         : align == Align::right ? PANGO_ALIGN_RIGHT
                                 : PANGO_ALIGN_CENTER;
}

struct LineOfText {
  PangoLayoutLine* line = nullptr;
  double left = 0;
};

LineOfText line_at(PangoLayout* layout, std::size_t i) {
  const std::unique_ptr<PangoLayoutIter, void (*)(PangoLayoutIter*)> at(pango_layout_get_iter(layout),
                                                                        pango_layout_iter_free);
  for (; i > 0; --i)
    pango_layout_iter_next_line(at.get());
  PangoRectangle room;
  pango_layout_iter_get_line_extents(at.get(), nullptr, &room);
  return {pango_layout_iter_get_line_readonly(at.get()), static_cast<double>(room.x) / PANGO_SCALE};
}

}  // namespace

std::size_t SetText::lines() const {
  return static_cast<std::size_t>(pango_layout_get_line_count(layout_.get()));
}

double SetText::width() const {
  PangoRectangle room;
  pango_layout_get_extents(layout_.get(), nullptr, &room);
  return static_cast<double>(room.width) / PANGO_SCALE;
}

void SetText::place(cairo_t* pen, std::size_t i, double x, double y) const {
  cairo_move_to(pen, x + line_at(layout_.get(), i).left, y);
}

void SetText::show(cairo_t* pen, std::size_t i, double x, double y) const {
  place(pen, i, x, y);
  pango_cairo_show_layout_line(pen, line_at(layout_.get(), i).line);
}

void SetText::outline(cairo_t* pen, std::size_t i, double x, double y) const {
  place(pen, i, x, y);
  pango_cairo_layout_line_path(pen, line_at(layout_.get(), i).line);
}

Typesetter::Typesetter()
    : fonts_(pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT), g_object_unref),
      context_(nullptr, g_object_unref) {
  if (!fonts_)
    no_memory();
  // Read once, never changed and never given up: another thread may be setting text as the program ends.
  static const FontConfig* const config = new FontConfig(without_rules());
  pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(fonts_.get()), config->ours);
  pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(fonts_.get()), 72);
  context_.reset(pango_font_map_create_context(fonts_.get()));
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context_.get(), options);
  cairo_font_options_destroy(options);
  pango_context_set_round_glyph_positions(context_.get(), FALSE);
  // Not the locale's: the pages are in English.
  pango_context_set_language(context_.get(), pango_language_from_string("en"));
}

SetText::Layout Typesetter::layout(cairo_t* pen, const TextSetting& setting) const {
  pango_cairo_update_context(pen, context_.get());
  SetText::Layout layout(pango_layout_new(context_.get()), g_object_unref);
  PangoFontDescription* font = pango_font_description_from_string("DejaVu Sans");
  pango_font_description_set_weight(font,
                                    setting.weight == Weight::bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font, setting.size * PANGO_SCALE);
  pango_layout_set_font_description(layout.get(), font);
  pango_font_description_free(font);
  if (setting.width > 0) {
    pango_layout_set_width(layout.get(), in_units(setting.width));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    pango_layout_set_alignment(layout.get(), to_pango(setting.align));
  } else {
    pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
  }
  return layout;
}

SetText Typesetter::set(cairo_t* pen, const std::string& utf8, const TextSetting& setting) const {
  return set(pen, marked(utf8), setting);
}

SetText Typesetter::set(cairo_t* pen, const Markup& text, const TextSetting& setting) const {
  SetText::Layout layout = this->layout(pen, setting);
  PangoAttrList* attributes = nullptr;
  char* plain = nullptr;
  GError* error = nullptr;
  if (pango_parse_markup(text.text.c_str(), -1, 0, &attributes, &plain, nullptr, &error) == FALSE) {
    const std::string message = error->message;
    g_error_free(error);
    throw Problem(ProblemKind::other, "text", "its markup is damaged: " + message, "build powderplan anew");
  }
  // A long name is broken as it is: a hyphen would be read as part of it.
  pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
  pango_layout_set_text(layout.get(), plain, -1);
  pango_layout_set_attributes(layout.get(), attributes);
  pango_attr_list_unref(attributes);
  g_free(plain);
  return SetText(std::move(layout));
}

}  // namespace powderplan
