// The parts that all worksheets share (pages/step_how.html and the like), read as paragraphs for paper.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "report/canvas.h"

namespace powderplan {

enum class ParagraphKind { words, heading, item, check };

struct PageParagraph {
  ParagraphKind kind = ParagraphKind::words;
  std::string look;  // the class of a <p>, or nothing
  Markup words;      // <br> is a line feed
};

// `html`: a part with its gaps filled. It is made of <p>, <h3>, <ul> with <li>, and in them <b>, <small>,
// <br> and entities; <p> may have a class, <ul class="checks"> is a list to tick. Throws Problem (other),
// with `name` as its place, for anything else.
std::vector<PageParagraph> paragraphs_of(std::string_view html, std::string_view name);

}  // namespace powderplan
