#include "core/base/sources.h"
#include "core/base/status.h"

const char *tufa_code_words(tufa_code code)
{
    switch (code) {
#define X(id, exit_code, words) case TUFA_##id: return words;
#include "tufa/errors.def"
#undef X
    case TUFA_CODE_COUNT: break;
    }
    return "unknown status";
}

int tufa_code_exit(tufa_code code)
{
    switch (code) {
#define X(id, exit_code, words) case TUFA_##id: return exit_code;
#include "tufa/errors.def"
#undef X
    case TUFA_CODE_COUNT: break;
    }
    return 1;
}

static const tufa_source SOURCES[] = {
#define X(id, what, verified) {#id, what, verified},
#include "core/base/sources.def"
#undef X
};

size_t tufa_source_count(void) { return SOURCE_COUNT; }

const tufa_source *tufa_source_at(size_t i) { return i < SOURCE_COUNT ? &SOURCES[i] : NULL; }
