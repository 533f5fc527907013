// For the few hot loops: compiled twice, once for every processor and once for those with wider vectors; the
// program takes the right one when it starts. Both round alike (no fused multiply-add), so the bytes are the
// same.
#pragma once

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define POWDERPLAN_WIDE_VECTORS __attribute__((target_clones("avx2", "default")))
#else
#define POWDERPLAN_WIDE_VECTORS
#endif
