#include "app/interrupt.h"

#include <atomic>

namespace powderplan {
namespace {

// All that the handler touches; 0 = none came. A handler has nowhere else to leave its word.
std::atomic<int> signal_that_came{0};  // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)
static_assert(std::atomic<int>::is_always_lock_free);  // or a handler must not touch it

extern "C" void remember(int signal) {
  signal_that_came = signal;
}

}  // namespace

SignalGuard::SignalGuard() {
  signal_that_came = 0;
  struct sigaction action = {};
  action.sa_handler = remember;
  sigemptyset(&action.sa_mask);
  action.sa_flags = SA_RESTART;  // a write in progress goes on
  const auto listen = [&](int signal, struct sigaction& before) {
    sigaction(signal, nullptr, &before);
    if (before.sa_handler != SIG_IGN)
      sigaction(signal, &action, nullptr);
  };
  listen(SIGINT, before_int_);
  listen(SIGTERM, before_term_);
  listen(SIGHUP, before_hup_);
}

SignalGuard::~SignalGuard() {
  sigaction(SIGINT, &before_int_, nullptr);
  sigaction(SIGTERM, &before_term_, nullptr);
  sigaction(SIGHUP, &before_hup_, nullptr);
}

void SignalGuard::check() {
  if (const int signal = signal_that_came; signal != 0)
    throw Interrupted(signal);
}

}  // namespace powderplan
