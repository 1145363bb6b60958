/* The threads table. */
#include "core/base/sources.h"
#include "tufa/clean.h"

static const tufa_thread THREADS[] = {
#define X(name, src, ...) {.source = src, __VA_ARGS__},
#include "core/clean/threads.def"
#undef X
};
enum { THREAD_COUNT = sizeof THREADS / sizeof THREADS[0] };

size_t tufa_thread_count(void) { return THREAD_COUNT; }
const tufa_thread *tufa_thread_at(size_t i) { return i < THREAD_COUNT ? &THREADS[i] : NULL; }
