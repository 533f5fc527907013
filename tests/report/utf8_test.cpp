#include "report/utf8.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

TEST(PlainText, LeavesTextAlone) {
  for (const char* text : {"", "Kelp green", "\xc3\xa9 \xe6\xb9\xbf \xf0\x9f\x98\x80", "\xef\xbf\xbd",
                           "\xef\xb7\x8f", "\xef\xb7\xb0", "\xf0\x9f\xbf\xbd", "\xf0\xae\xbf\xbf"})
    EXPECT_EQ(plain_text(text), text);
}

TEST(PlainText, ControlCharactersBecomeSpaces) {
  EXPECT_EQ(plain_text("a\tb\x7f\xc2\x85"), "a b  ");
}

// Unicode 15, section 23.7: 66 code points that stand for no character.
TEST(PlainText, WhatIsNoCharacterIsReplaced) {
  for (const char* text : {"\xff", "\xef\xb7\x90", "\xef\xb7\xaf", "\xef\xbf\xbe", "\xef\xbf\xbf",
                           "\xf0\x9f\xbf\xbe", "\xf0\x9f\xbf\xbf", "\xf4\x8f\xbf\xbf"})
    EXPECT_EQ(plain_text(text), "\xef\xbf\xbd");
}

TEST(Shortened, KeepsWhatFitsAndCutsByWholeCharacters) {
  const auto within = [](std::size_t bytes) {
    return [bytes](const std::string& text) { return text.size() <= bytes; };
  };
  EXPECT_EQ(shortened("reed", within(4)), "reed");
  EXPECT_EQ(shortened("", within(0)), "");
  EXPECT_EQ(shortened("reed", within(3)), "\xe2\x80\xa6");
  EXPECT_EQ(shortened("saltmarsh", within(6)), "sal\xe2\x80\xa6");
  // Two bytes a letter: half of one never stays.
  EXPECT_EQ(shortened("\xc3\xbc\xc3\xb6\xc3\xa4\xc3\xbc", within(7)), "\xc3\xbc\xc3\xb6\xe2\x80\xa6");
  EXPECT_EQ(shortened("\xc3\xbc\xc3\xb6\xc3\xa4\xc3\xbc", within(6)), "\xc3\xbc\xe2\x80\xa6");
}

}  // namespace
}  // namespace powderplan
