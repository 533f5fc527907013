// Settings of LeakSanitizer, built into whatever is built with the sanitizers, because what runs it may take
// its environment away. LeakSanitizer asks for these two names.
//
// fontconfig keeps a few patterns until the process ends, the same few however much text is drawn.
//
// Until GCC 13 and LLVM 16 the sanitizers take a thread's block of variables that lies 16 bytes into a page,
// as one does now and then by chance, for one with the header of a glibc before 2.25, and the look for
// leaks then reads where nothing lies: "Tracer caught signal 11" (github.com/google/sanitizers, issue 1322).
// Without that interceptor the blocks are found as any other memory.
extern "C" {
// NOLINTBEGIN(bugprone-reserved-identifier, readability-identifier-naming)
__attribute__((visibility("default"))) const char* __lsan_default_suppressions() {
  return "leak:libfontconfig.so\n";
}
__attribute__((visibility("default"))) const char* __lsan_default_options() {
  return "print_suppressions=0:intercept_tls_get_addr=0";
}
// NOLINTEND(bugprone-reserved-identifier, readability-identifier-naming)
}
