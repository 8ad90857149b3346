// fontconfig keeps one small table (288 bytes, whatever is drawn) until the process
// ends; the leak checker need not say so. Read only by programs with that checker.
extern "C" const char* __lsan_default_suppressions() { return "leak:libfontconfig\n"; }
