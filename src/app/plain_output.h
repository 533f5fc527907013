// What the commands say, made fit for a terminal.
#pragma once

#include <ostream>
#include <streambuf>
#include <string>

namespace powderplan {

// A stream that passes everything on as plain text (utf8.h), line by line: names of files, powders and pieces
// stand in the summaries of all commands, and none may move the cursor, colour the screen or turn the order
// of the words round. What is flushed in the middle of a line must end with a whole character. It fails when
// the stream behind it does, which must outlive it.
class PlainOutput : public std::ostream {
 public:
  explicit PlainOutput(std::ostream& behind);

 private:
  class Lines : public std::streambuf {
   public:
    explicit Lines(std::ostream& behind) : behind_(behind) {}

   private:
    int_type overflow(int_type c) override;
    int sync() override;
    std::ostream& behind_;
    std::string line_;
  };
  Lines lines_;
};

}  // namespace powderplan
