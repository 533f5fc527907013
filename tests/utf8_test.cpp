#include "utf8.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

// RFC 3629: no overlong forms, no surrogates, nothing beyond U+10FFFF.
TEST(Utf8, Lengths) {
  EXPECT_EQ(utf8_length("a"), 1u);
  EXPECT_EQ(utf8_length("\xc3\xa9x"), 2u);
  EXPECT_EQ(utf8_length("\xe2\x82\xac"), 3u);
  EXPECT_EQ(utf8_length("\xf0\x9f\x98\x80"), 4u);
  for (const char* bad : {"\x80", "\xc0\xaf", "\xc1\xbf", "\xe0\x80\xaf", "\xed\xa0\x80", "\xf0\x80\x80\xaf",
                          "\xf4\x90\x80\x80", "\xf5\x80\x80\x80", "\xff", "\xc3", "\xe2\x82"})
    EXPECT_EQ(utf8_length(bad), 0u) << bad;
  EXPECT_EQ(utf8_length(""), 0u);
}

TEST(PlainText, LeavesTextAlone) {
  for (const char* text : {"", "Kelp green", "\xc3\xa9 \xe6\xb9\xbf \xf0\x9f\x98\x80", "\xef\xbf\xbd",
                           "\xef\xb7\x8f", "\xef\xb7\xb0", "\xf0\x9f\xbf\xbd", "\xf0\xae\xbf\xbf"})
    EXPECT_EQ(plain_text(text), text);
}

TEST(PlainText, ControlCharactersBecomeSpaces) {
  EXPECT_EQ(plain_text("a\tb\x7f\xc2\x85"), "a b  ");
  EXPECT_EQ(plain_text("\u009b2Ja\u2028b\u2029c"), " 2Ja b c");
}

// UAX #9: what turns the order of the words round goes; marks of direction and the scripts themselves stay.
TEST(PlainText, NothingTurnsTheOrderRound) {
  EXPECT_EQ(plain_text("reed\u202egnp.\u202c\u2066x\u2069"), "reedgnp.x");
  EXPECT_EQ(plain_text("\u202a\u202b\u202d\u2067\u2068"), "");
  for (const char* text : {"\u202f", "\u2065", "\u206a", "\u200f", "\u05d0\u05d1"})
    EXPECT_EQ(plain_text(text), text);
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

// Each question sets the whole text in letters.
TEST(Shortened, AsksAFewTimesOfALongText) {
  int asked = 0;
  const std::string text = shortened(std::string(10'000, 'a'), [&](const std::string& shorter) {
    ++asked;
    return shorter.size() <= 103;
  });
  EXPECT_EQ(text, std::string(100, 'a') + "\u2026");
  EXPECT_LE(asked, 20);
}

}  // namespace
}  // namespace powderplan
