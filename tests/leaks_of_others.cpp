// For LeakSanitizer, built into the sanitized program, because what runs it may take its environment away: as
// leaks_of_others.txt says, fontconfig keeps a few patterns until the process ends. LeakSanitizer asks for
// these two names.
extern "C" {
// NOLINTBEGIN(bugprone-reserved-identifier, readability-identifier-naming)
__attribute__((visibility("default"))) const char* __lsan_default_suppressions() {
  return "leak:libfontconfig.so\n";
}
__attribute__((visibility("default"))) const char* __lsan_default_options() {
  return "print_suppressions=0";
}
// NOLINTEND(bugprone-reserved-identifier, readability-identifier-naming)
}
