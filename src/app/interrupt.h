// Ctrl-C and a polite kill, while files are being written.
//
// As long as nothing is on the disk they end the program at once, as always. While this guard lives they only
// raise a flag; the work looks at it between its steps and gives up by an exception, so that everything it
// had begun to write is taken away again. A signal that the caller has us ignore (nohup) stays ignored.
#pragma once

#include <csignal>
#include <exception>

namespace powderplan {

// No Problem: nobody did anything wrong.
class Interrupted : public std::exception {
 public:
  explicit Interrupted(int signal) : signal_(signal) {}
  [[nodiscard]] int signal() const { return signal_; }
  [[nodiscard]] const char* what() const noexcept override { return "interrupted"; }

 private:
  int signal_;
};

class SignalGuard {
 public:
  SignalGuard();
  ~SignalGuard();
  SignalGuard(const SignalGuard&) = delete;
  SignalGuard& operator=(const SignalGuard&) = delete;
  // Throws Interrupted when a signal has come since the guard was made; from any thread.
  static void check();

 private:
  struct sigaction before_int_ = {}, before_term_ = {}, before_hup_ = {};
};

// What a look at the disk gives, which may try to write there. A signal that comes meanwhile ends the program
// when the look is over, and nothing is left of the try.
template <class Look>
auto looked_at(const Look& look) {
  const SignalGuard guard;
  auto found = look();
  SignalGuard::check();
  return found;
}

}  // namespace powderplan
