#include <csignal>
#include <iostream>

#include "app/exit_code.h"
#include "app/program.h"

int main(int argc, char** argv) {
  const int code = powderplan::run(argc, argv, std::cout, std::cerr);
  // A shell's loop stops only when it sees that its command died of the signal.
  if (code > powderplan::exit_by_signal)
    std::raise(code - powderplan::exit_by_signal);
  return code;
}
